"""Attacks on the gate through the conversation: what somebody in a hurry, careless or hostile types at a list.

Each holds over the shipped dryer, at a return test's list, where what is typed decides whether a machine goes out.
"""

from __future__ import annotations

from functools import cache

import pytest
from program_walk import all_well, one_answer
from proposer import WorkOut, few, unadvised
from reading_once import shipped
from talking import Chat

from faultfinder.dialogue.converse import start
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.trial import AskTrial
from faultfinder.dialogue.talk import Over
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.state import JobState, fold
from faultfinder.knowledge.model import Need
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS
from faultfinder.safety.gate import owed_tests

FACTS = {"type": "vented", "connection": "plug", "protection": "class_i"}
CUT = ("switched_off", "plug_out", "plug_in_sight")


@cache
def in_danger(*more: Event) -> JobState:
    """A dryer that gave a tingle, its supply cut: earth and insulation are owed."""
    facts = [happened.FactGiven(name, value) for name, value in FACTS.items()]
    events: list[Event] = [happened.Complaint("x"), *facts, happened.DangerSeen("tingle"), *more]
    job, troubles = fold(shipped("tumble_dryer"), [*events, *map(happened.Confirmed, CUT)])
    assert not troubles
    return job


def at_the_tests(*more: Event, advised: WorkOut = unadvised) -> Chat:
    return _at_the_tests(*more, advised=advised).again()


@cache
def _at_the_tests(*more: Event, advised: WorkOut) -> Chat:
    talking = Chat(start(in_danger(*more), work_out=advised))
    while not talking.talk.dangers_done:
        talking.say("none")
    talking.say("measure")
    assert talking.current == AskCard(Need.IN_USE, ("earth_at_plug", "insulation_at_plug"))
    return talking


def measured(talking: Chat) -> list[tuple[str, str, str]]:
    return [(e.test, e.outcome, e.reads) for e in talking.events if isinstance(e, happened.ReturnTested)]


NO_FIGURE = (
    # words for a figure, other digits, signs, what was on another day or is only thought to be so
    "same", "as before", "same as before", "ditto", "as last time", "zero", "nought point one", "half an ohm", "none",
    "-0.05", "\u22120.05", "-OL", "\u0660.\u0660\u0665", "\uff10.\uff10\uff15", "1: \uff10.\uff10\uff15",
    "\u00bd", "\u221e", "nan", "inf",
    "about 0.05", "~0.05", "0.05?", "0.05 or so", "0.05 last week", "0.05 yesterday on another machine", "not 0.05",
    "0.05 before, 5 now", "0.05 but jumping", "0.05 by multimeter", "no tester, say 0.05", "0.05 to 5", "0.05-0.5",
    "0.0.5", "0..1", "1e-3", "0.5/0.05", "0.05 then 5", "0.05, 5 at the drum", "0.05 0.05 0.05", "1: 0.05, 1: 5",
    # of another unit, or of one that either of the two could have
    "0.05 V", "0.05A", "5%", "12 mohm", "50m", "0.05 kohm", "0.05 200V", "1: 0.05 V", "m05",
    "passed", "passed 0.05", "5 passed", "both fine", "within the limit", "1: ok 2: ok",
    "9" * 400, "1: " + "9" * 400, "1: 1e400", "0.05 " * 1000,
)  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("line", NO_FIGURE, ids=lambda line: line[:24])
def test_what_is_no_figure_of_now_passes_no_return_test(line: str) -> None:
    talking = at_the_tests()
    talking.say(line)
    assert not [test for test in measured(talking) if test[1] == "passed"]
    assert owed_tests(talking.talk.gate) == ("earth_at_plug", "insulation_at_plug")
    assert talking.talk.gate.signs


TAKEN = (
    ("0,05 200M", ("passed", "passed")),
    ("0.05\n200M", ("passed", "passed")),  # pasted as two lines
    ("200M 0.05", ("passed", "passed")),
    ("0,12", ("failed",)),
    ("5 0.05", ("failed",)),
    ("OL 200M", ()),
    ("1: OL 2: 200M", ("failed",)),
    ("<5", ("failed",)),
    ("0.100001", ("failed",)),
    ("0.05, OL@0.5", ("passed", "failed")),
    ("0.05, >0.2M", ("passed", "failed")),
    ("0.05, 200 kohm", ("passed", "failed")),
    ("0.05, 0,5", ("passed", "failed")),
    ("0.05, 0", ("passed", "failed")),
    ("0.05 cannot", ("passed", "skipped")),
    ("cannot 200M", ("skipped", "passed")),
    ("failed", ("failed",)),
)


@pytest.mark.slow
@pytest.mark.parametrize(("line", "outcomes"), TAKEN, ids=[line for line, _ in TAKEN])
def test_a_figure_is_held_against_its_own_limit_however_it_is_written(
    line: str, outcomes: tuple[str, ...]
) -> None:
    talking = at_the_tests()
    talking.say(line)
    assert tuple(outcome for _, outcome, _ in measured(talking)) == outcomes


@pytest.mark.slow
def test_pasted_words_of_a_whole_job_confirm_nothing_but_the_list_they_are_pasted_at() -> None:
    talking = at_the_tests()
    talking.say("0.05 200M\n1 2 3\n1 2 3 4 5 6\n230 0 0 0 230\nfit_for_use")
    assert talking.talk.gate.access == "isolated" and talking.talk.job.closed is None
    assert not [event for event in talking.events if isinstance(event, happened.Confirmed)]


@pytest.mark.slow
def test_a_class_said_otherwise_while_the_earth_is_owed_is_asked_about() -> None:
    talking = at_the_tests()
    assert "Which is right?" in talking.say("plate protection class_ii")


def _closed_by(talking: Chat, answers: dict[str, str]) -> list[str]:
    """The tests that were asked for until the job closed as fit for use, by somebody for whom all is well."""
    asked = []
    for _ in range(80):
        match talking.current:
            case Over():
                return asked
            case AskCard(_, actions):
                talking.say(all_well(actions))
            case AskClose():
                talking.say("fit_for_use")
            case AskTrial():
                talking.say("gone")
            case AskRound():
                talking.say("none")
            case AskTest(target):
                asked.append(target)
                talking.say(answers.get(target, "cannot"))
            case _:
                talking.say("end")
    return asked


@pytest.mark.slow
def test_after_a_trip_on_heat_the_job_leads_to_the_heater_and_then_to_the_heat_and_to_nothing_else() -> None:
    """The plug does not see a heater behind an open relay, and a heater may leak only once it is hot."""
    trips = [("trips_supply", "yes"), ("trip_device", "rcd"), ("trip_moment", "on_heat")]
    # An adviser that finds nothing likely: what stands is the finding alone.
    talking = at_the_tests(*(happened.Answered(name, answer) for name, answer in trips), advised=few)
    # Whoever cannot open it measures the leakage; both are good, or the machine stays out of use.
    asked = _closed_by(talking, {"element_insulation": "180 Mohm", "heat_held": "no"})
    assert asked == ["element_insulation", "heat_held"]
    assert talking.talk.job.closed is not None and talking.talk.job.closed.state == "fit_for_use"
    held = [e for e in talking.events if isinstance(e, happened.Answered) and e.observation == "heat_held"]
    assert [event.access for event in held] == ["in_use"]
    for answers in ({"heat_held": "no"}, {"element_insulation": "180 Mohm"}, {}):
        other = at_the_tests(*(happened.Answered(name, answer) for name, answer in trips), advised=few)
        _closed_by(other, answers)
        closed = other.talk.job.closed
        assert closed is None or closed.state != "fit_for_use", answers


def test_at_no_list_is_a_return_test_passed_by_its_number_or_by_a_word() -> None:
    """The same at each list on the way, early and late: ticking all of it passes no test."""
    talking = at_the_tests()
    seen = 0
    for _ in range(12):
        if not isinstance(talking.current, AskCard):
            break
        actions = talking.current.actions
        due = [action for action in actions if action in RETURN_TESTS]
        seen += len(due)
        before = owed_tests(talking.talk.gate)
        talking.say(" ".join(str(number) for number in range(1, len(actions) + 1)))
        if due:
            assert owed_tests(talking.talk.gate) == before
        if talking.current.__class__ is AskCard and talking.current.actions == actions:
            talking.say(
                ", ".join(one_answer(n, a, ACTIONS[a].outcomes[0].id) for n, a in enumerate(actions, 1))
            )
    assert seen
