"""Exercises: the apprentice chooses everything, what is unsafe ends it, what is out of order is marked."""

from __future__ import annotations

import pytest

from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.job.audit import audit
from faultfinder.knowledge.model import Pack
from faultfinder.practice import exercise as work
from faultfinder.practice.description import Description
from faultfinder.practice.draw import draw_job
from faultfinder.practice.exercise import Exercise
from faultfinder.practice.review import review, what_shows
from faultfinder.practice.written import read_job

USE = ("dangers_answered", "plug_flex_whole", "casing_whole", "notices_looked_up", "supply_on")
CUT = ("switched_off", "plug_out", "plug_in_sight")
OPEN = ("tester_here", "return_testers_here", "covers_off")
DEAD = (
    "tester_proved",
    "dead_line_neutral",
    "dead_line_earth",
    "dead_neutral_earth",
    "tester_proved_again",
    "capacitors_discharged",
    "board_waited",
    "parts_cooled",
    "parts_at_rest",
)
BACK = (
    "earth_inside",
    "insulation_inside",
    "inside_clear",
    "covers_on",
    "earth_at_plug",
    "insulation_at_plug",
)


def lamp_with(lamp: Pack, lamp_machines: Description, *causes: str, complaint: str = "dark") -> Exercise:
    faults = ", ".join(f"{cause}: {{}}" for cause in causes)
    text = (
        f"practice: {{seed: 3, machine: {{kind: plain}}, faults: {{{faults}}}, complaint: {{{complaint}: yes}}, "
        "says: No light}"
    )
    return work.begin(read_job(text.encode(), "lamp.yaml", lamp, lamp_machines))


def do(exercise: Exercise, *actions: str) -> None:
    for action in actions:
        told = work.act(exercise, action)
        assert not told.ended, (action, told.lines)


def test_it_begins_with_the_owners_words_and_the_plate(lamp: Pack, lamp_machines: Description) -> None:
    said = work.opening(lamp_with(lamp, lamp_machines, "bulb_blown"))
    assert said[0] == 'The owner says: "No light."'
    assert "What kind of lamp: Plain" in said


@pytest.mark.slow
def test_a_whole_job_without_a_slip_has_no_marks_and_a_clean_record(
    lamp: Pack, lamp_machines: Description
) -> None:
    exercise = lamp_with(lamp, lamp_machines, "switch_worn")
    do(exercise, *CUT)
    assert work.ask(exercise, "bulb_resistance").lines[0].endswith("ohm")
    do(exercise, *OPEN, *DEAD)
    work.ask(exercise, "switch_resistance")
    work.put_right(exercise, "switch_worn")
    work.ask(exercise, "switch_resistance")
    do(exercise, *BACK, *USE)
    assert work.ask(exercise, "dark").lines == ("No",)
    assert work.close(exercise, "fit_for_use").ended
    result = review(exercise)
    assert not result.marks and not result.unsafe and not result.left
    assert result.closed == "fit_for_use" and result.minutes > 15
    assert [fault.found for fault in result.faults] == [True]
    assert result.tool_path and result.tool_minutes > 0
    assert audit(exercise.work.events, lamp).clean


@pytest.mark.slow
@pytest.mark.parametrize(
    ("before", "act", "words"),
    [
        ((), ("do", "covers_off"), "supply not confirmed cut"),
        (USE, ("do", "covers_off"), "supply not confirmed cut"),
        ((), ("do", "supply_on"), "before the list was gone through"),
        (USE[:2], ("do", "supply_on"), "before the list was gone through"),
        ((*CUT, *OPEN), ("do", "supply_on"), "must not run"),
        ((), ("ask", "fuse_resistance"), "needs the supply cut"),
        (USE, ("ask", "fuse_resistance"), "needs the supply cut"),
        (CUT, ("ask", "switch_resistance"), "open and proved dead"),
        ((*CUT, *OPEN), ("ask", "switch_resistance"), "open and proved dead"),
        ((*CUT, *OPEN, *DEAD[:5]), ("ask", "switch_resistance"), "open and proved dead"),
        ((*CUT, *OPEN), ("right", "switch_worn"), "open and proved dead"),
        ((), ("right", "bulb_blown"), "needs the supply cut"),
        (CUT, ("close", "fit_for_use"), "without having been run again"),
    ],
)
def test_what_is_unsafe_ends_it_with_the_reason(
    lamp: Pack, lamp_machines: Description, before: tuple[str, ...], act: tuple[str, str], words: str
) -> None:
    exercise = lamp_with(lamp, lamp_machines, "switch_worn")
    do(exercise, *before)
    moves = {"do": work.act, "ask": work.ask, "right": work.put_right, "close": work.close}
    told = moves[act[0]](exercise, act[1])
    assert told.ended and exercise.over
    assert words in exercise.unsafe
    assert review(exercise).unsafe == exercise.unsafe
    with pytest.raises(FaultFinderError, match="over"):
        work.ask(exercise, "dark")


def test_a_machine_that_owes_its_tests_may_not_be_connected(lamp: Pack, lamp_machines: Description) -> None:
    exercise = lamp_with(lamp, lamp_machines, "switch_worn")
    do(exercise, *CUT, *OPEN, *DEAD, "inside_clear", "covers_on")
    told = work.act(exercise, "supply_on")
    assert told.ended and "must not run" in exercise.unsafe


def test_a_bad_cord_is_found_by_the_look_before_switching_on(lamp: Pack, lamp_machines: Description) -> None:
    exercise = lamp_with(lamp, lamp_machines, "cord_chafed", "fuse_blown")
    do(exercise, "dangers_answered")
    told = work.act(exercise, "plug_flex_whole")
    assert "damaged" in told.lines[0]
    assert work.ask(exercise, "bulb_look").ended, "after a danger sign the supply is cut before anything else"


def test_what_is_out_of_turn_costs_a_mark(lamp: Pack, lamp_machines: Description) -> None:
    exercise = lamp_with(lamp, lamp_machines, "bulb_blown")
    assert not work.act(exercise, "plug_in_sight").ended
    assert not work.act(exercise, "covers_on").ended
    assert len(exercise.marks) == 2 and "out of turn" in exercise.marks[0].what


@pytest.mark.slow
def test_what_is_left_undone_is_marked_and_parts_for_nothing_are_counted(
    lamp: Pack, lamp_machines: Description
) -> None:
    exercise = lamp_with(lamp, lamp_machines, "switch_worn")
    do(exercise, *CUT)
    work.put_right(exercise, "bulb_blown")
    assert not work.close(exercise, "handed_over").lines[0].startswith("UNSAFE")
    result = review(exercise)
    assert result.for_nothing == ("bulb_blown",) and result.parts_for_nothing == 1
    assert [fault.found for fault in result.faults] == [False]
    assert result.left == ("switch_worn",)
    told = " ".join(mark.what for mark in result.marks)
    assert "not proved: Bulb blown" in told and "was not looked at again" in told
    fault = result.faults[0]
    assert fault.shown_by[0].observation == "switch_resistance", "a measurement says more than what is told"
    known = {each.observation for each in fault.known}
    assert known == {"dark"}, "what the owner said spoke for it"
    assert not known & {each.observation for each in fault.shown_by}


def test_what_was_measured_may_be_measured_again_and_both_readings_count(
    lamp: Pack, lamp_machines: Description
) -> None:
    exercise = lamp_with(lamp, lamp_machines, "bulb_blown")
    do(exercise, *CUT)
    first, again = work.ask(exercise, "bulb_resistance"), work.ask(exercise, "bulb_resistance")
    assert first.lines == again.lines == ("OL",)
    given = [each for each in exercise.work.case.answers if each.observation == "bulb_resistance"]
    assert [each.take for each in given] == [0, 1], "the second reading stands beside the first"


def test_names_that_do_not_exist_are_told_and_change_nothing(lamp: Pack, lamp_machines: Description) -> None:
    exercise = lamp_with(lamp, lamp_machines, "bulb_blown")
    before = list(exercise.work.events)
    for move, name, meant in (
        (work.ask, "fuse_resistence", "fuse_resistance"),
        (work.act, "plug_outt", "plug_out"),
        (work.put_right, "bulb_blow", "bulb_blown"),
    ):
        with pytest.raises(UnknownName, match=meant):
            move(exercise, name)
    assert exercise.work.events == before


def test_what_can_be_asked_and_done_is_listed_without_advice(lamp: Pack, lamp_machines: Description) -> None:
    exercise = lamp_with(lamp, lamp_machines, "bulb_blown")
    needs = [item.need for item in work.askable(exercise)]
    assert needs == sorted(needs, key=list(type(needs[0])).index)
    names = [action.id for action in work.actions(exercise)]
    assert "plug_out" in names and "isolator_locked" not in names
    assert {cause.id for cause in work.remedies(exercise)} >= {"bulb_blown", "cord_chafed"}


@pytest.mark.slow
def test_the_what_shows_a_fault_are_the_ones_it_changes(pack: Pack, description: Description) -> None:
    job = draw_job(pack, description, "12")
    for fault in job.machine.faults:
        for shown in what_shows(job.machine, fault.cause):
            assert shown.answer != shown.instead_of
