"""Worked cases: they hold or say what differs, why, and what they lean on."""

from __future__ import annotations

import pytest
from talking import small_pack
from worked import BLOCKED, ELEMENT, WRONG

from faultfinder.job.cases.coverage import Part, coverage
from faultfinder.job.cases.worked import (
    BESIDES,
    CANNOT_FAIL,
    WorkedCase,
    answers_of,
    brought_about,
    carrying,
    leans_on,
    run_case,
)
from faultfinder.job.record.lines import parse_record
from faultfinder.knowledge.analysis.link_strengths import Tie, strengths, without


def case(text: str, name: str = "one") -> WorkedCase:
    contents = parse_record(text.encode(), f"cases/{name}.yaml")
    return WorkedCase(name, f"cases/{name}.yaml", contents.events, contents.lines, contents.problems)


# -- running ----------------------------------------------------------------------------------------------


def test_a_case_names_what_is_present_and_counts_what_it_states() -> None:
    blocked = case(BLOCKED)
    assert blocked.present == ("cut_out_open", "inlet_blocked")
    assert blocked.expectations == 2 and blocked.readable


@pytest.mark.parametrize("text", [ELEMENT, BLOCKED])
def test_a_case_whose_expectations_come_out_holds(text: str) -> None:
    assert run_case(small_pack(), case(text)).holds


def test_a_failing_case_gives_the_line_the_difference_and_nothing_else() -> None:
    (failure,) = run_case(small_pack(), case(WRONG)).failures
    assert failure.line == 4
    assert failure.what == "likely inlet_blocked" and failure.expected == "at least 0.9"
    assert str(failure).startswith("likely inlet_blocked: expected at least 0.9, got 0.")


def test_it_says_which_answers_pulled_which_way_strongest_first() -> None:
    (failure,) = run_case(small_pack(), case(WRONG)).failures
    pulls = {pull.observation: pull.decibans for pull in failure.pulls}
    assert pulls["air_weak"] > 0.0 > pulls["noise"]
    sizes = [abs(pull.decibans) for pull in failure.pulls]
    assert sizes == sorted(sizes, reverse=True)
    # The inlet has no way to the noise: it weighs through the worn fan, which accounts for the weak air.
    assert next(pull for pull in failure.pulls if pull.observation == "noise").through == "fan_worn"
    assert run_case(small_pack(), case(WRONG), explain=False).failures[0].pulls == ()


def test_an_event_that_cannot_be_taken_fails_the_case() -> None:
    (failure,) = run_case(
        small_pack(),
        case("- {opened: fan_heater}\n- {answer: no_heet, is: yes}\n- {unlikely: {fan_worn: 0.5}}\n"),
    ).failures
    assert failure.line == 2 and str(failure).startswith("not taken: ") and "no_heet" in str(failure)


def test_a_first_step_that_nothing_of_the_pack_can_be_is_told_with_the_nearest_name() -> None:
    text = "- {opened: fan_heater}\n- {answer: no_heat, is: yes}\n- {first_step_one_of: [inlet_lok]}\n"
    (failure,) = run_case(small_pack(), case(text)).failures
    assert str(failure) == (
        "not taken: 'inlet_lok' is nothing that can be asked or put right; did you mean \"inlet_look\"?"
    )


def test_what_is_likely_besides_the_faults_of_a_failing_case_is_told_likeliest_first() -> None:
    (failure,) = run_case(small_pack(), case(WRONG)).failures
    names = [name for name, _ in failure.besides]
    chances = [chance for _, chance in failure.besides]
    assert names == ["fan_worn"] and chances == sorted(chances, reverse=True) and chances[0] > BESIDES
    assert run_case(small_pack(), case(WRONG), explain=False).failures[0].besides == ()


def test_a_case_that_states_nothing_can_never_fail_and_is_told_so() -> None:
    result = run_case(small_pack(), case("- {opened: fan_heater}\n- {answer: no_heat, is: yes}\n"))
    assert [str(failure) for failure in result.failures] == [CANNOT_FAIL]
    assert result.failures[0].line == 2


def test_what_we_left_wrong_ourselves_is_expected_as_it_stands_now() -> None:
    text = "- {opened: fan_heater}\n- {reassembled: yes}\n- {answer: no_heat, is: yes}\n"
    assert run_case(small_pack(), case(text + "- {likely: {our_own_work: 0.03}}\n")).holds


# -- what it leans on -------------------------------------------------------------------------------------


def test_a_case_leans_on_a_tie_without_which_it_fails() -> None:
    tie = leans_on(small_pack(), case(ELEMENT))
    assert tie == Tie("element_open", "element_resistance", "open")
    assert not run_case(without(small_pack(), tie), case(ELEMENT), explain=False).holds


def test_a_case_that_would_hold_without_any_one_tie_leans_on_nothing() -> None:
    assert leans_on(small_pack(), case("- {opened: fan_heater}\n- {likely: {element_open: 0.001}}\n")) is None


def test_only_ties_between_a_fault_of_the_case_and_its_answers_carry() -> None:
    result = run_case(small_pack(), case(BLOCKED))
    carried = carrying(small_pack(), result.case, answers_of(result.end))
    assert carried == {
        Tie("cut_out_open", "no_heat", "yes"),
        Tie("cut_out_open", "cut_out_continuity", "open"),
        Tie("inlet_blocked", "inlet_look", "blocked"),
        Tie("inlet_blocked", "cut_out_open"),
    }


def test_states_that_a_fault_brings_about_are_there_with_it() -> None:
    assert brought_about(small_pack(), ["fan_worn"]) == {"fan_worn"}


def test_readings_count_as_the_band_they_fall_in() -> None:
    result = run_case(small_pack(), case(ELEMENT))
    assert answers_of(result.end)["element_resistance"] == ("open",)


# -- coverage ---------------------------------------------------------------------------------------------


def test_coverage_names_what_no_case_exercises_with_its_place() -> None:
    pack = small_pack()
    found = coverage(pack, [run_case(pack, case(ELEMENT)), run_case(pack, case(BLOCKED))])
    assert found.causes.covered == 3
    assert {each.what for each in found.causes.missing} == {
        "fan_worn",
        "flex_damaged",
        "something_else_fan_heater",
        "our_own_work",
    }
    assert {each.what for each in found.bands.missing} == {
        "element_resistance: normal",
        "element_resistance: low",
        "element_resistance: high",
    }
    assert "noise: squeal" in {each.what for each in found.answers.missing}
    assert all(
        each.mark.file.endswith("fan_heater.yaml") and each.mark.line > 1 for each in found.causes.missing
    )
    assert found.ties.total == len(strengths(pack)) and found.ties.covered == 6


def test_a_share_is_never_rounded_up_to_all() -> None:
    pack = small_pack()
    missing = coverage(pack, []).causes.missing[:1]
    assert Part("links", 1000, missing).percent == 99
    assert Part("links", 1000, ()).percent == 100 and Part("links", 0, ()).percent == 100


def test_every_case_of_a_pack_without_cases_is_missing() -> None:
    found = coverage(small_pack(), [])
    assert all(part.covered == 0 for part in found)
