"""A job taken up again: what was not answered at its beginning is asked, and nothing is asked twice."""

from __future__ import annotations

import pytest
from talking import BEGUN, OPEN, OPENED, Chat, chat, small_pack, text

from faultfinder.dialogue.converse import start
from faultfinder.dialogue.prompts.complaint import AskComplaint, AskSymptoms
from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.dialogue.prompts.machine import AskMachine
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.job import events as happened
from faultfinder.job.state import fold
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack

DRYER = ("takes ages since we moved", "takes_too_long", "none", "vented plug 238V 2480W")


def taken_up(before: Chat, pack: Pack) -> Chat:
    """The same job from its record alone."""
    job, troubles = fold(pack, before.events)
    assert troubles == []
    again = Chat(start(job, "a_job", resumed=True), [*before.events], before.at)
    again.events += again.turn.events
    return again


@pytest.mark.parametrize("count", range(len(BEGUN) + 1))
def test_left_after_any_line_of_the_beginning_it_goes_on_with_the_question_it_was_left_at(count: int) -> None:
    before = chat(*BEGUN[:count])
    again = taken_up(before, small_pack())
    assert again.current == before.current, count


@pytest.mark.slow
@pytest.mark.parametrize("count", range(len(DRYER) + 1))
def test_the_same_on_a_shipped_pack(count: int) -> None:
    pack = load_pack("tumble_dryer")
    before = chat(*DRYER[:count], pack=pack)
    assert taken_up(before, pack).current == before.current, count


def test_after_the_complaint_the_symptoms_that_it_names_are_offered_and_none_is_written_twice() -> None:
    again = taken_up(chat("it is cold"), small_pack())
    assert isinstance(again.current, AskSymptoms) and again.current.offered == (("no_heat", "yes"),)
    again.say("1")
    assert [e.text for e in again.events if isinstance(e, happened.Complaint)] == ["it is cold"]
    assert isinstance(again.current, AskDangers)
    again.say("none")
    assert "dangers_answered" in [e.action for e in again.events if isinstance(e, happened.Confirmed)]


def test_taken_up_again_and_again_nothing_of_the_beginning_is_passed_over() -> None:
    asked = []
    talking = chat()
    for line in BEGUN:
        talking = taken_up(talking, small_pack())
        asked.append(type(talking.current))
        talking.say(line)
    assert asked == [AskComplaint, AskDangers, AskMachine]


def test_a_danger_told_with_the_complaint_does_not_answer_the_list() -> None:
    before = chat("burning smell")
    assert isinstance(before.current, AskDangers)
    assert isinstance(taken_up(before, small_pack()).current, AskDangers)


@pytest.mark.slow
@pytest.mark.parametrize("more", [("element OL",), (OPEN[0],), ("element OL", "correct", "1", "26")])
def test_whoever_was_further_is_not_asked_for_the_beginning_again(more: tuple[str, ...]) -> None:
    again = taken_up(chat(*OPENED, *more), small_pack())
    assert not isinstance(again.current, AskComplaint | AskSymptoms | AskDangers | AskMachine)


def test_a_closed_job_and_a_stopped_one_are_not_asked_for_their_beginning() -> None:
    stopped = taken_up(chat("stays cold", "1"), small_pack())
    assert "STOP" in text(stopped.turn.said) or type(stopped.current).__name__ == "AskStopped"
    assert not isinstance(stopped.current, AskTest)
