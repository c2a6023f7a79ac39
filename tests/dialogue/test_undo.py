"""`undo` takes back what the last line told, all of it, says what that was, and asks again what was asked."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from program_walk import all_well
from reading_once import shipped
from talking import Chat, chat

from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.complaint import AskSymptoms
from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.dialogue.prompts.machine import AskMachine
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.talk import Over
from faultfinder.job import events as happened
from faultfinder.job.state import fold
from faultfinder.knowledge.model import Pack

MACHINE = "vented 230V 2350W class 1 plug"
DENIED = ["tingle_felt", "burning_smell_reported"]
"""What is told with 'none' at the danger list."""


@pytest.fixture(scope="module")
def dryer() -> Pack:
    return shipped("tumble_dryer")


def answered(talking: Chat) -> list[str]:
    return [given.observation for given in talking.talk.case.answers]


@cache
def isolated_at_round() -> Chat:
    isolated = chat("takes too long", "none", MACHINE, "later", pack=shipped("tumble_dryer"))
    for _ in range(30):
        if isinstance(isolated.current, AskCard) and isolated.talk.gate.access != "isolated":
            isolated.say(all_well(isolated.current.actions))
            break
        isolated.say("later")
    names = ("smells", "drum_edge_look", "years_since_clean", "moisture_strips_look")
    talk = replace(isolated.talk, current=AskRound("outside", names), chosen="", wanted=None)
    isolated.turn = replace(isolated.turn, talk=talk)
    return isolated


def at_round() -> Chat:
    """A conversation at a list of the last round that has more than looks in it."""
    return isolated_at_round().again()


@pytest.mark.slow
def test_a_list_of_the_last_round_goes_back_as_one(dryer: Pack) -> None:
    talking = at_round()
    before, listed = answered(talking), talking.current
    assert isinstance(listed, AskRound)
    talking.say("2")
    told = set(answered(talking)) - set(before)
    assert len(told) >= 3
    heard = talking.say("undo")
    assert answered(talking) == before
    assert all(name.replace("_", " ") in heard for name in told if name in listed.targets)
    state, troubles = fold(dryer, talking.events)
    assert not troubles and state.given == talking.talk.job.given


@pytest.mark.slow
def test_two_lists_go_back_one_after_the_other(dryer: Pack) -> None:
    talking = at_round()
    names = talking.current.targets  # type: ignore[attr-defined]
    before = answered(talking)
    first, second = AskRound("outside", names[:2]), AskRound("outside", names[2:])
    talking.turn = replace(talking.turn, talk=replace(talking.talk, current=first))
    talking.say("none")
    after_one = answered(talking)
    talking.turn = replace(talking.turn, talk=replace(talking.talk, current=second))
    talking.say("none", "undo")
    assert answered(talking) == after_one
    talking.say("undo")
    assert answered(talking) == before


@pytest.mark.slow
def test_the_machines_line_goes_back_and_no_complaint(dryer: Pack) -> None:
    talking = chat("takes too long", "none", "condenser 230V 2350W plug class 1", pack=dryer)
    heard = talking.say("undo")
    assert isinstance(talking.current, AskMachine)
    assert answered(talking) == ["takes_too_long", *DENIED]
    assert "type" in heard and not set(dryer.facts) & set(talking.talk.job.facts)
    talking.say(MACHINE)
    assert talking.talk.job.facts["type"] == "vented"


@pytest.mark.slow
def test_a_fact_that_was_known_stands_again_as_it_was(dryer: Pack) -> None:
    talking = chat("takes too long", "none", MACHINE, pack=dryer)
    talking.say("plate volts 220V")
    heard = talking.say("undo")
    assert talking.talk.job.facts["volts"] == "230V" and "230V" in heard


@pytest.mark.slow
def test_from_the_machine_back_over_the_danger_list_to_the_complaint(dryer: Pack) -> None:
    talking = chat("takes two hours to dry and stops part way", "1 2", "none", MACHINE, pack=dryer)
    assert len(answered(talking)) == 2 + len(DENIED)
    talking.say("undo", "undo")
    assert isinstance(talking.current, AskDangers)
    talking.say("undo")
    assert isinstance(talking.current, AskSymptoms) and not answered(talking)
    talking.say("2", "none", MACHINE)
    assert answered(talking)[1:] == DENIED


@pytest.mark.slow
def test_a_line_of_several_readings_goes_back_whole(dryer: Pack) -> None:
    talking = chat("takes too long", "none", MACHINE, pack=dryer)
    talking.say("hose crushed seen yes; wall duct clear; filter thick with fluff")
    assert len(answered(talking)) == 4 + len(DENIED)
    talking.say("undo")
    assert answered(talking) == ["takes_too_long", *DENIED]


@pytest.mark.slow
def test_a_correction_goes_back_to_what_stood(dryer: Pack) -> None:
    talking = chat("takes too long", "none", MACHINE, "hose crushed seen yes", pack=dryer)
    talking.say("correct hose crushed seen", "no", "undo")
    given = talking.talk.case.latest("hose_crushed_seen")
    assert given is not None and talking.talk.case.judged(given).answer == "yes"


@pytest.mark.slow
def test_what_was_passed_over_is_asked_again(dryer: Pack) -> None:
    talking = chat("takes too long", "none", MACHINE, pack=dryer)
    asked = talking.current
    assert isinstance(asked, AskTest)
    talking.say("dk")
    assert talking.current != asked
    talking.say("undo")
    assert talking.current == asked


@pytest.mark.slow
def test_what_was_done_at_the_machine_is_not_undone_and_that_is_said(dryer: Pack) -> None:
    talking = chat("takes too long", "none", MACHINE, "hose crushed seen yes", pack=dryer)
    while not isinstance(talking.current, AskCard):
        talking.say("later")
    card = talking.current
    talking.say(all_well(card.actions))
    access, before = talking.talk.gate.access, answered(talking)
    heard = talking.say("undo")
    assert "not undone" in heard and talking.talk.gate.access == access and answered(talking) == before
    talking.say("undo")
    assert answered(talking) == before[:-1] and talking.talk.gate.access == access


@pytest.mark.slow
def test_a_danger_sign_outlives_the_answer_that_brought_it(dryer: Pack) -> None:
    talking = chat("burning smell earlier", pack=dryer)
    while not isinstance(talking.current, AskDangers):
        talking.say("1")
    signs = talking.talk.gate.signs
    assert signs
    heard = talking.say("undo")
    assert (
        talking.talk.gate.signs == signs and "still counts. It is lifted when earth and insulation" in heard
    )


@pytest.mark.slow
def test_undo_with_nothing_told_changes_nothing(dryer: Pack) -> None:
    talking = chat("takes too long", pack=dryer)
    talking.say("undo", "undo", "undo", "undo")
    assert not answered(talking) and not isinstance(talking.current, Over)
    assert not [event for event in talking.events if isinstance(event, happened.PutRight)]


def test_a_correction_says_what_stands_now_and_so_does_its_undoing(dryer: Pack) -> None:
    """'Corrected: pump heard' was said both ways, and nobody knew which stood."""
    talking = chat("takes too long", "none", MACHINE, pack=dryer)
    talking.say("outlet airflow weak", "correct outlet airflow")
    assert "Corrected: outlet airflow, now Strong" in talking.say("strong")
    assert "Corrected: outlet airflow, now Weak" in talking.say("undo")


def test_a_mistyped_danger_sign_is_not_undone_and_how_it_is_lifted_is_said_at_once() -> None:
    talking = chat("takes too long", "8", pack=shipped("tumble_dryer"))
    lifted = "lifted when earth and insulation have been measured and both pass"
    assert lifted in talking.say("undo")
    assert isinstance(talking.current, AskDangers) and "repeated_tripping" in talking.talk.gate.signs
    assert lifted in talking.say("none")


def test_the_danger_list_comes_at_once_whatever_was_not_asked_yet() -> None:
    talking = chat("", pack=shipped("tumble_dryer"))
    assert isinstance(talking.current, AskSymptoms)
    talking.say("danger")
    assert isinstance(talking.current, AskDangers)
    talking.say("6")
    assert "tingle" in talking.talk.gate.signs
