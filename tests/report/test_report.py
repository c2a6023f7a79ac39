"""The report's content: what it says of found, done, proved, left and open, and where its figures come from."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from reporting import DEAD, EXPECTED, INSIDE, ISOLATE, OPEN, events, expected_path, report, report_of_file
from talking import small_pack

from faultfinder import Case
from faultfinder.job.record.record import read_record
from faultfinder.job.state import fold
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.inference.weighing import log_odds
from faultfinder.report.findings import report_of
from faultfinder.report.forms import sections
from faultfinder.report.model import CUSTOMER, FORMS, WORKSHOP, Fault, Report
from faultfinder.report.text import markdown
from faultfinder.report.timeline import told_case, walk


def fault(written: Report, cause: str) -> Fault:
    return next(each for each in written.found if each.cause == cause)


@pytest.mark.parametrize(("name", "form"), EXPECTED)
def test_the_text_is_the_one_that_was_read_and_accepted(name: str, form: str) -> None:
    """If this fails on purpose: PYTHONPATH=. python tests/helpers/reporting.py, and read the difference."""
    assert markdown(report_of_file(name, form), form) == expected_path(name, form).read_text(encoding="utf-8")


# -- every figure traced --------------------------------------------------------------------------------


def test_every_figure_of_the_customers_form_is_from_the_record_or_reckoned_from_the_pack() -> None:
    """Each number of the text stands in this list, with where it comes from; and none of the list is missing."""
    right = 230**2 / 2000
    figures = {
        "2026-03-02": "the day of the last entry",
        f"{0.9 * right:.3g}": "lower limit: 0.9 * volts ** 2 / watts",
        f"{1.1 * right:.3g}": "upper limit",
        f"{right:.3g}": "expected",
        "26.1": "read after the work",
        "2": "upper limit of the cut-out; the second work",
        "0.3": "read",
        "1": "the first work",
    }
    text = markdown(report_of_file("element"))
    found = set(re.findall(r"\d{4}-\d\d-\d\d|\d+(?:\.\d+)?", text))
    assert found == set(figures)


def test_chances_are_those_of_a_case_told_the_same() -> None:
    written = report(
        "answer: no_heat, is: yes",
        "answer: element_resistance, reads: OL",
        "answer: inlet_look, is: blocked",
        "put_right: inlet_blocked",
    )
    case = Case(small_pack())
    case.record("no_heat", "yes", complaint=True)
    case.record("element_resistance", "OL")
    case.record("inlet_look", "blocked")
    case.put_right("inlet_blocked")
    begin, now = case.found(), case.confidence()
    for each in written.found:
        assert each.chance == pytest.approx(begin[each.cause], abs=1e-12)
        assert each.now == pytest.approx(now[each.cause], abs=1e-12)


def test_the_weights_of_a_cause_lead_from_its_prior_to_its_chance() -> None:
    """In the order answered the weights add up to the change of the log odds; what is not shown is under 0.5."""
    written = report_of_file("isolated", WORKSHOP)
    assert written.evidence is not None
    answers = 4 + 2
    for each in written.evidence.standings:
        change = log_odds(each.begin) - log_odds(each.prior)
        left_out = answers - len(each.weights)
        assert sum(weight.decibans for weight in each.weights) == pytest.approx(
            change, abs=0.5 * left_out + 1e-6
        )


def test_limits_follow_from_the_facts_and_what_was_assumed_is_named() -> None:
    told = report('fact: watts, is: "1000 W"', "answer: element_resistance, reads: 52R")
    (reading,) = told.readings
    assert reading.expected == pytest.approx(230**2 / 1000)
    assert (reading.bands[0].low, reading.bands[0].high) == pytest.approx((0.9 * 52.9, 1.1 * 52.9))
    assert reading.stands_on == (("rated voltage 230 V", True), ("rated power 1000 W", False))
    assert [(line.fact, line.value, line.given) for line in told.facts] == [
        ("watts", "1000 W", True),
        ("volts", "230 V", False),
    ]


def test_no_fact_is_called_assumed_on_which_no_reading_stands() -> None:
    assert report("answer: no_heat, is: yes").facts == ()


# -- readings, old against new --------------------------------------------------------------------------


def test_a_reading_after_the_repair_stands_beside_the_one_before() -> None:
    (reading,) = report(
        "answer: element_resistance, reads: OL",
        "put_right: element_open",
        "answer: element_resistance, reads: 26R5",
    ).readings
    assert [(take.works, take.value, take.answer, take.healthy) for take in reading.takes] == [
        (0, math.inf, "open", False),
        (1, 26.5, "normal", True),
    ]


def test_a_reading_taken_once_more_stands_and_counts_beside_the_first() -> None:
    (reading,) = report(
        "answer: element_resistance, reads: 12R", "answer: element_resistance, reads: 26R"
    ).readings
    assert [(take.value, take.beside, take.replaced, take.counts) for take in reading.takes] == [
        (12.0, True, False, False),
        (26.0, False, False, True),
    ]
    assert [take.value for take in reading.counted] == [26.0]


def test_what_was_told_anew_takes_the_place_of_what_was_told_before() -> None:
    (told,) = report("answer: no_heat, is: yes", "answer: no_heat, is: no").looks
    assert [(take.answer, take.beside, take.replaced) for take in told.takes] == [
        ("yes", False, True),
        ("no", False, False),
    ]


def test_a_correction_tells_what_stood_there_and_what_was_taken_back_is_gone() -> None:
    written = report(
        "answer: air_weak, is: yes",
        "answer: noise, is: squeal",
        "correct: air_weak, is: no",
        "withdraw: noise",
    )
    (look,) = written.looks
    assert (look.observation, look.takes[0].answer, look.takes[0].was) == ("air_weak", "no", "Yes")


def test_of_a_list_only_the_answer_that_was_corrected_is_called_so() -> None:
    dryer = load_pack("tumble_dryer")
    written = report(
        "fact: type, is: vented",
        "choice: walk_round, is: [thick, none]",
        "correct: filter_look, is: clean",
        pack=dryer,
    )
    was = {look.observation: look.takes[0].was for look in written.looks}
    assert len(was) > 5
    thick = next(each.text for each in dryer.observations["filter_look"].answers if each.id == "clogged")
    assert {name: text for name, text in was.items() if text} == {"filter_look": thick}
    assert [reading.takes[0].was for reading in written.readings] == ["" for _ in written.readings]


def test_a_reading_brought_from_elsewhere_is_marked() -> None:
    written = report('answer: element_resistance, reads: "26", access: not confirmed here, how: told')
    (take,) = written.readings[0].takes
    assert (take.access, take.told) == ("not confirmed here", True)
    assert "told, not measured here" in markdown(written, WORKSHOP)
    assert "access not confirmed here" in markdown(written, WORKSHOP)


def test_a_band_that_was_told_has_no_figure() -> None:
    (reading,) = report("answer: element_resistance, is: high").readings
    assert (reading.takes[0].value, reading.takes[0].answer) == (None, "high")


def test_a_reading_on_the_edge_names_both_sides() -> None:
    (reading,) = report(
        "fact: watts, is: 2000", "fact: volts, is: 230", "answer: element_resistance, reads: 29.1"
    ).readings
    take = reading.takes[0]
    assert take.on_edge
    assert {take.verdict, take.second} == {"Normal", "High"}


# -- found, proved, open --------------------------------------------------------------------------------


def test_a_repair_is_proved_by_the_observation_that_the_rules_name() -> None:
    before = ("answer: element_resistance, reads: OL", "put_right: element_open")
    assert fault(report(*before), "element_open").proof == "unproved"
    good = fault(report(*before, "answer: element_resistance, reads: 26R"), "element_open")
    assert (good.proof, good.how) == ("proved", ("Resistance of the element, cold",))
    bad = fault(report(*before, "answer: element_resistance, reads: OL"), "element_open")
    assert bad.proof == "still"


def test_a_proof_made_before_the_repair_proves_nothing() -> None:
    written = report(
        "answer: element_resistance, reads: 26R",
        "put_right: element_open",
    )
    assert fault(written, "element_open").proof == "unproved"


def test_what_was_put_right_is_named_although_it_was_not_likely() -> None:
    written = report("put_right: fan_worn")
    assert [each.cause for each in written.found] == ["fan_worn"]
    assert "not likely" in markdown(written, WORKSHOP)


def test_the_cause_of_a_fault_is_named_beside_it() -> None:
    written = report(
        "answer: no_heat, is: yes", "answer: cut_out_continuity, reads: OL", "answer: inlet_look, is: blocked"
    )
    assert fault(written, "cut_out_open").brought_on_by == ("Inlet blocked with fluff",)


def test_what_is_likely_and_not_put_right_is_advised() -> None:
    written = report("answer: no_heat, is: yes", "answer: element_resistance, reads: OL")
    assert written.not_done[0].cause == "element_open"
    assert written.not_done[0].why == "advised"


def test_a_remedy_begun_and_left_says_so_until_it_is_done() -> None:
    begun = ("answer: element_resistance, reads: OL", "remedy: element_open")
    assert report(*begun).not_done[0].why == "left"
    assert report(*begun, "not_done: element_open").not_done[0].why == "left"
    assert all(each.cause != "element_open" for each in report(*begun, "put_right: element_open").not_done)


def test_a_fault_is_in_one_of_the_open_lists_only() -> None:
    for name in ("element", "isolated"):
        written = report_of_file(name)
        lists = [written.not_done, written.possible, written.not_looked_at]
        names = [each.cause for group in lists for each in group]
        assert len(names) == len(set(names))


def test_what_was_never_raised_is_not_called_possible() -> None:
    """Before any answer nothing is likelier than on any machine: a page of priors would say nothing."""
    assert report("fact: supply, is: single_phase").possible == ()


def test_a_machine_outside_the_pack_is_told_so_and_nothing_is_found() -> None:
    written = report("fact: supply, is: other", "answer: no_heat, is: yes")
    assert written.outside.startswith("This supply is outside the pack.")
    assert (written.found, written.not_done, written.possible) == ((), (), ())
    assert "This supply is outside the pack." in markdown(written)


def test_advice_comes_with_what_was_found_and_each_text_once() -> None:
    assert report_of_file("element").advice == ("Keep the grille clear.", "Clean the inlet every month.")


# -- how it was left ------------------------------------------------------------------------------------


def test_an_open_job_says_so() -> None:
    left = report("answer: inlet_look, is: clear").left
    assert (left.state, left.notice) == ("open", "")


def test_a_machine_left_isolated_carries_the_notice() -> None:
    left = report("fact: connection, is: plug", *ISOLATE, "closed: left_isolated").left
    assert left.state == "left_isolated"
    assert left.notice.startswith("DO NOT USE THIS MACHINE.")


def test_an_open_danger_sign_is_in_the_notice_by_name() -> None:
    written = report("danger: tingle")
    assert "gave a tingle or shock" in written.left.notice
    assert [(sign.sign, sign.settled) for sign in written.signs] == [("tingle", False)]


def test_a_danger_sign_that_was_settled_by_tests_is_kept_for_the_workshop_and_makes_no_notice() -> None:
    written = report(
        "danger: tingle",
        "fact: connection, is: plug",
        *ISOLATE,
        "return_test: earth_at_plug, outcome: passed",
        "return_test: insulation_at_plug, outcome: passed",
    )
    assert [(sign.sign, sign.settled) for sign in written.signs] == [("tingle", True)]
    assert written.left.notice == ""


def test_a_grave_fault_not_put_right_makes_a_notice_whatever_the_record_says() -> None:
    """A record that a hand closed as fit over a fire hazard: the closing is refused and told."""
    written = report(
        "answer: inlet_look, is: blocked",
        "answer: air_weak, is: yes",
        "answer: smell_hot, is: yes",
        "closed: fit_for_use, found: [inlet_blocked]",
    )
    assert written.left.state == "refused"
    assert written.left.notice and written.left.unsafe == ("Inlet blocked with fluff",)
    assert any("not taken" in problem for problem in written.problems)
    assert "The record says 'fit for use'" in markdown(written)


def test_tests_still_owed_are_named() -> None:
    written = report(*INSIDE)
    assert written.left.owed == ("earth_inside", "insulation_inside", "earth_at_plug", "insulation_at_plug")
    assert "Still to be made" in markdown(written, WORKSHOP)


def test_a_failed_test_shouts() -> None:
    written = report(*INSIDE, 'return_test: earth_inside, outcome: failed, reads: "4 ohm", limit: "0.1 ohm"')
    assert "4 ohm, OUTSIDE the limit (limit 0.1 ohm)" in markdown(written)
    assert written.left.notice


def test_a_return_test_is_told_with_the_unit_that_it_was_taken_in() -> None:
    for test, reads, told in (
        ("earth_inside", "0.08", "0.08 ohm, within"),
        ("earth_inside", "80 mohm", "80 mohm, within"),
        ("insulation_inside", "150", "150 Mohm, within"),
        ("insulation_inside", ">200", ">200 Mohm, within"),
        ("insulation_inside", ">200M", ">200M, within"),
        ("insulation_inside", "OL", "OL, within"),
    ):
        line = f'return_test: {test}, outcome: passed, reads: "{reads}", limit: "at least 1 Mohm"'
        assert told in markdown(report(*INSIDE, line), WORKSHOP)


def test_more_than_a_range_holds_is_told_with_the_range_where_it_was_said() -> None:
    for reads, told in (
        (">2k", "as found: above 2 kohm"),
        ("OL", "as found: OL"),
        ("OL@200", "above 200 ohm"),
    ):
        written = report("answer: no_heat, is: yes", f'answer: element_resistance, reads: "{reads}"')
        for form in (CUSTOMER, WORKSHOP):
            assert told in markdown(written, form)


def test_a_stop_is_told() -> None:
    written = report(
        "danger: gas_smell", "confirm: supply_cut_from_afar, outcome: cannot", "closed: left_isolated"
    )
    assert written.left.stopped
    assert "Work was stopped for danger." in markdown(written)


def test_a_job_taken_up_again_counts_how_often_it_was_closed() -> None:
    lines = ("fact: connection, is: plug", *ISOLATE, "closed: left_isolated")
    assert report(*lines).reopened == 0
    assert report(*lines, "resumed: back again").reopened == 1
    again = (
        "resumed: back again",
        "confirm: still_isolated",
        "confirm: nobody_else",
        "closed: left_isolated",
    )
    assert report(*lines, *again).reopened == 1


# -- the record itself ----------------------------------------------------------------------------------


def test_an_event_that_cannot_be_is_left_out_and_told_with_its_line() -> None:
    told = events("answer: no_heat, is: yes", "answer: no_such_thing, is: yes")
    written = report_of(small_pack(), told, lines=[4, 9])
    assert len(written.problems) == 1
    assert written.problems[0].startswith("line 9, not taken: there is no observation 'no_such_thing'")
    assert [look.observation for look in written.looks] == ["no_heat"]


def test_other_rules_than_the_jobs_own_are_told() -> None:
    written = report(
        'opened: small_pack, version: "0.9", fingerprint: "00112233"', "answer: no_heat, is: yes"
    )
    assert written.rules.changed
    assert "begun with other rules (version 0.9, fingerprint 00112233)" in markdown(written, WORKSHOP)


def test_an_empty_record_makes_a_report_that_says_nothing_false() -> None:
    written = report()
    for form in FORMS:
        text = markdown(written, form)
        assert "No complaint is recorded." in text
        assert "No fault is more likely than not." in text
        assert "Nothing was put right." in text


def test_the_workshops_form_holds_what_was_passed_over_and_the_remarks() -> None:
    written = report(
        "without: multimeter", "skip: noise, because: not_competent", "note: a remark", workshop=True
    )
    assert written.skipped == (("What does it sound like, running?", "not_competent"),)
    assert written.without == ("Multimeter, fused, CAT III",)
    text = markdown(written, WORKSHOP)
    for piece in ("not competent for it", "not at hand: Multimeter", "a remark"):
        assert piece in text
        assert piece not in markdown(written, CUSTOMER)


def test_an_observation_skipped_and_answered_later_is_not_left_out() -> None:
    assert report("skip: noise, because: dont_know", "answer: noise, is: quiet").skipped == ()


def test_the_meter_that_weighed_the_readings_is_named() -> None:
    reading = "answer: element_resistance, reads: 26R"
    own = "resistance up to 200 ohm: 0.8 % + 3 digits of 0.1 ohm"
    assert "by an ordinary meter" in markdown(report(reading), WORKSHOP)
    assert own in markdown(report(f'meter: ["{own}"]', reading), WORKSHOP)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", ["element", "isolated"])
def test_no_section_is_empty_and_the_danger_notice_comes_first(name: str, form: str) -> None:
    parts = sections(report_of_file(name, form), form)
    assert all(part.items or part.readings for part in parts)
    assert (parts[0].key == "head_notice") == (name == "isolated")


def test_a_walk_comes_to_the_same_as_folding() -> None:
    for lines in ((*INSIDE,), ("answer: no_heat, is: yes", "answer: x, is: y", *ISOLATE, *OPEN, *DEAD)):
        happened = events(*lines)
        state, troubles = fold(small_pack(), happened)
        walked = walk(small_pack(), happened)
        assert walked.state == state
        assert list(walked.troubles) == troubles


def test_covers_that_were_off_are_no_work_yet() -> None:
    """A machine that was opened and closed again, nothing put right: what is seen then is still as found."""
    (look,) = report(
        *INSIDE, "confirm: inside_clear", "confirm: covers_on", "answer: inlet_look, is: blocked"
    ).looks
    assert look.takes[0].works == 0


def test_the_workshop_sees_every_test() -> None:
    passed, failed = "outcome: passed, reads: ", "outcome: failed, reads: "
    tests = [("4 ohm", failed), ("0.09 ohm", passed), ("0.05 ohm", passed)]
    written = report(*INSIDE, *(f'return_test: earth_inside, {outcome}"{reads}"' for reads, outcome in tests))
    workshop = markdown(written, WORKSHOP)
    assert all(reads in workshop for reads, _ in tests)


def test_answers_that_hang_together_too_widely_are_called_close_not_exact() -> None:
    written = replace(report_of_file("element", WORKSHOP), exact=False)
    assert written.evidence is not None and written.evidence.exact
    assert "close, not exact" in markdown(written, WORKSHOP)
    assert "close, not exact" not in markdown(report_of_file("element"), WORKSHOP)
    loose = replace(written, exact=True, evidence=replace(written.evidence, exact=False))
    assert "close, not exact" in markdown(loose, WORKSHOP)


@pytest.mark.slow
def test_weights_of_many_answers_add_up_to_about_where_the_cause_stands() -> None:
    """The demo of three faults ends so: answers are weighed one after another by messages there, and run only where
    they move a cause. Together they must lead from the prior to what is shown."""
    record = Path(__file__).parents[2] / "transcripts_demo" / "three_faults.yaml"
    case = told_case(walk(dryer(), read_record(record).events).state)[0]
    found, prior, weighing = case.found(), case.prior(), case.weighing()
    assert not case.exact and weighing is not None
    for name in ("tension_pulley_worn", "machine_pushed_back"):
        node = weighing.built.begin[name]
        weights = sum(weighing.ordered(node))
        assert log_odds(prior[name]) + weights == pytest.approx(log_odds(found[name]), abs=3.0)


# -- plate values that do not go together ---------------------------------------------------------------

PLATE = ("fact: type, is: vented", 'fact: volts, is: "240"', 'fact: total_watts, is: "2400"')


@cache
def dryer() -> Pack:
    return load_pack("tumble_dryer")


@pytest.mark.slow
def test_plate_values_that_contradict_are_told_to_the_workshop_with_the_one_relied_on() -> None:
    """2400 W at 240 V are 10 A; a plate read as 5 A cannot be."""
    lines = (*PLATE, 'fact: rated_amps, is: "5"')
    written = report(*lines, pack=dryer())
    (told,) = written.contradictions
    assert told.startswith(
        "These do not go together: rated power, watts in all 2400 W, rated current 5 A. 2400 W at 240 V is 10.0 A"
    )
    assert told.endswith("The power is relied on.")
    assert told in markdown(report(*lines, pack=dryer(), workshop=True), WORKSHOP)


def test_plate_values_that_agree_are_not_told() -> None:
    assert report(*PLATE, 'fact: rated_amps, is: "10"', pack=dryer()).contradictions == ()


@pytest.mark.slow
def test_a_limit_names_the_fact_set_aside_and_the_one_worked_out() -> None:
    """80 ohm marked on the high section are 720 W at 240 V: 1400 W given for it does not count; the low section's
    ohms alone give its watts."""
    lines = (
        *PLATE,
        'fact: high_section_watts, is: "1400"',
        'fact: high_section_ohms, is: "80"',
        'fact: low_section_ohms, is: "42"',
        'answer: high_section_resistance, reads: "81"',
        'answer: low_section_resistance, reads: "43"',
    )
    text = markdown(report(*lines, pack=dryer(), workshop=True), WORKSHOP)
    assert "watts of the high section 720 W (not the 1400 W given)" in text
    assert "watts of the low section 1371 W (worked out from the others)" in text


def test_a_machine_left_after_a_danger_sign_is_not_said_to_be_disconnected_unless_it_was() -> None:
    for asked, words in (
        ((), "nobody confirmed that it is disconnected"),
        (("confirm: supply_cut_from_afar",), "Left disconnected."),
    ):
        sign = "gas_smell" if not asked else "smoke_or_flame"
        made = report("fact: connection, is: plug", f"danger: {sign}", *asked, "closed: left_isolated")
        text = markdown(made, CUSTOMER)
        assert words in text and "DO NOT USE THIS MACHINE." in text
        assert made.left.state == "left_isolated" and made.left.as_found == (not asked)


# -- electrical tests and danger signs, each at its time ----------------------------------------------------


AT_PLUG = (
    'return_test: earth_at_plug, outcome: passed, reads: "0.06", limit: "at most 0.1 ohm"',
    'return_test: insulation_at_plug, outcome: passed, reads: "120 Mohm", limit: "at least 2 Mohm"',
)
TINGLED = ("fact: connection, is: plug", *ISOLATE, "danger: tingle")
IN_USE = (
    "confirm: dangers_answered",
    "confirm: plug_flex_whole",
    "confirm: casing_whole",
    "confirm: notices_looked_up",
    "confirm: supply_on",
    "closed: fit_for_use",
)


def test_each_electrical_test_says_before_or_after_which_work_it_was_made() -> None:
    lines = (*TINGLED, *AT_PLUG, "put_right: vent_hose_crushed", *AT_PLUG)
    written = report(*lines, pack=load_pack("tumble_dryer"), workshop=True)
    assert [(test.works, test.last) for test in written.tests] == [(0, False)] * 2 + [(1, True)] * 2
    text = markdown(written, WORKSHOP)
    told = text[text.index("## Electrical safety tests") :]
    assert told.index("as found") < told.index("after the work")


def test_the_customer_is_told_tests_after_the_work_only_where_they_came_after_it() -> None:
    pack = load_pack("tumble_dryer")
    work = "put_right: vent_hose_crushed"
    for lines, told in (
        ((*TINGLED, *AT_PLUG, *IN_USE), "The electrical safety tests were made, and passed."),
        ((*TINGLED, *AT_PLUG, work, *IN_USE), "tests were made before the work, and passed"),
        ((*TINGLED, work, *AT_PLUG, *IN_USE), "After the work the electrical safety tests were made"),
    ):
        written = report(*lines, pack=pack)
        assert not written.problems
        assert told in markdown(written), told


def test_a_test_names_where_its_limit_stands_and_no_source_that_it_was_not_held_against() -> None:
    """IET Code of Practice, as quoted: class I 1 Mohm, class II 2 Mohm (trade/electrical/in_service_limits.py)."""
    test = "return_test: insulation_at_plug, outcome: passed, reads: 40 Mohm"
    isolated = ("fact: connection, is: plug", *ISOLATE)
    earthed = (*isolated, "fact: protection, is: class_i")
    unknown = report(*isolated, f"{test}, limit: at least 2 Mohm").tests[0]
    assert "class II 2 Mohm" in unknown.source and "strictest" in unknown.source
    class_i = report(*earthed, f"{test}, limit: at least 1 Mohm").tests[0]
    assert "class I 1 Mohm" in class_i.source
    assert report(*earthed, f"{test}, limit: at least 2 Mohm").tests[0].source == ""
    assert report(*isolated, test).tests[0].source == ""


def test_a_test_taken_back_says_so_and_does_not_count_for_the_customer() -> None:
    failed = 'return_test: earth_at_plug, outcome: failed, reads: "7", limit: "at most 0.1 ohm"'
    lines = (*TINGLED, failed, "take_back: earth_at_plug", *AT_PLUG, *IN_USE)
    written = report(*lines, pack=load_pack("tumble_dryer"), workshop=True)
    assert [test.taken_back for test in written.tests] == [True, False, False]
    assert markdown(written, WORKSHOP).count("taken back: it was not so") == 1
    assert "OUTSIDE" not in markdown(written)


def test_a_sign_that_a_correction_lifted_is_not_said_to_be_settled_by_tests() -> None:
    pack = load_pack("tumble_dryer")
    low = ("answer: insulation_resistance, reads: 0.4 Mohm, access: not confirmed here",)
    right = (*low, "correct: insulation_resistance, reads: 150 Mohm")
    assert [(sign.settled, sign.lifted) for sign in report(*low, pack=pack).signs] == [(False, False)]
    written = report(*right, pack=pack)
    assert [(sign.settled, sign.lifted) for sign in written.signs] == [(True, True)]
    text = markdown(written, WORKSHOP)
    assert "what it came of was corrected" in text and "tests passed" not in text
    again = report(*right, *low, pack=pack)
    assert [(sign.settled, sign.lifted) for sign in again.signs] == [(False, False)]
