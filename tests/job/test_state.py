"""What the events come to: the gate, what a Case is told, and what cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest
from reporting import events
from talking import small_pack

from faultfinder.errors import BadFact, FaultFinderError, Refused, UnknownName
from faultfinder.job import events as happened
from faultfinder.job.return_tests import outside_its_limit
from faultfinder.job.state import JobState, apply, begin, fold, replayed
from faultfinder.job.told import Given
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Access
from faultfinder.reasoning.case import Case
from faultfinder.safety.gate import owed_tests, way


def job(*lines: str) -> JobState:
    state = begin(small_pack())
    for event in events(*lines):
        state = apply(state, event)
    return state


ISOLATE = ("confirm: switched_off", "confirm: plug_out", "confirm: plug_in_sight")
OPEN = ("confirm: tester_here", "confirm: return_testers_here", "confirm: covers_off")
DEAD = (
    "confirm: tester_proved",
    "confirm: dead_line_neutral, outcome: dead",
    "confirm: dead_line_earth, outcome: dead",
    "confirm: dead_neutral_earth, outcome: dead",
    "confirm: tester_proved_again",
    "confirm: capacitors_discharged, outcome: none_there",
    "confirm: board_waited, outcome: none_there",
    "confirm: parts_cooled",
    "confirm: parts_at_rest",
)
INSIDE = ("fact: connection, is: plug", *ISOLATE, *OPEN, *DEAD)
CLOSE_UP = ("confirm: inside_clear", "confirm: covers_on")
TESTS = ("return_test: earth_inside, outcome: passed", "return_test: insulation_inside, outcome: passed")
AT_PLUG = (
    "return_test: earth_at_plug, outcome: passed, reads: 0.08 ohm",
    "return_test: insulation_at_plug, outcome: passed",
)
USE = (
    "confirm: dangers_answered",
    "confirm: plug_flex_whole",
    "confirm: casing_whole",
    "confirm: notices_looked_up",
    "confirm: supply_on",
)


def test_a_whole_job_from_the_complaint_to_fit_for_use() -> None:
    state = job(
        "opened: small_pack, version: 1, fingerprint: abc",
        'complaint: "it stays cold"',
        "fact: supply, is: single_phase",
        "answer: no_heat, is: yes",
        *INSIDE,
        "advice: element_resistance, access: open_dead",
        "answer: element_resistance, reads: OL, access: open_dead, inside: yes",
        "remedy: element_open, minutes: 25",
        "put_right: element_open, access: open_dead, inside: yes",
        "answer: element_resistance, reads: 26R",
        *TESTS,
        *CLOSE_UP,
        *AT_PLUG,
        *USE,
        "answer: no_heat, is: no",
        "closed: fit_for_use, found: [element_open]",
    )
    assert state.gate.access is Access.IN_USE and state.closed is not None
    assert state.put_right == ("element_open",) and state.complaint == "it stays cold"
    assert [test.reads for test in state.tests] == ["", "", "0.08 ohm", ""]
    assert state.rules_changed
    case = replayed(state)
    assert case.access is Access.IN_USE
    assert case.found()["element_open"] > 0.9 > 0.1 > case.confidence()["element_open"]
    # told 0.5, isolated 2, open 8, dead 5, reading 3, remedy 25, reading 3, isolated 2, in use 2, told 0.5 (pack and
    # default minutes)
    assert state.minutes == pytest.approx(0.5 + 2 + 8 + 5 + 3 + 25 + 3 + 2 + 2 + 0.5)


def test_what_is_replayed_stands_in_order_and_covers_back_on_count_as_put_together() -> None:
    state = job(
        "fact: volts, is: 240",
        "answer: no_heat, is: yes",
        "skip: noise, because: cannot_here",
        "without: multimeter",
        *INSIDE,
        "put_right: element_open",
        "confirm: inside_clear",
        "confirm: covers_on",
        "fact: volts, is: unknown",
    )
    assert state.given == (
        Given("fact", "volts", "240"),
        Given("answer", "no_heat", "yes", complaint=True),
        Given("skip", "noise", "cannot_here"),
        Given("without", "multimeter"),
        Given("fact", "connection", "plug"),
        Given("put_right", "element_open"),
        Given("reassembled", ""),
        Given("fact", "volts", ""),
    )
    assert "volts" not in replayed(state).facts


def test_a_machine_run_over_a_new_cut_out_tells_the_case_so() -> None:
    """Only where something was put right that comes back while what brings it on is left."""
    small = small_pack()
    cause = small.causes["element_open"]
    returning = replace(small, causes={**small.causes, "element_open": replace(cause, returns=0.8)})
    run = (*INSIDE, "put_right: element_open", *TESTS, *CLOSE_UP, *AT_PLUG, *USE)
    for pack, told in ((small, False), (returning, True)):
        state = begin(pack)
        for event in events(*run):
            state = apply(state, event)
        assert state.gate.access is Access.IN_USE
        assert (Given("ran_again", "") in state.given) is told
        assert replayed(state).not_run_since == ()


def test_a_correction_stands_in_the_place_of_what_it_corrects() -> None:
    state = job(
        "answer: no_heat, is: yes",
        "answer: noise, is: squeal",
        "put_right: fan_worn",
        "answer: air_weak, is: yes",
        "correct: no_heat, is: no",
        "withdraw: noise",
    )
    assert state.given == (
        Given("answer", "no_heat", "no", complaint=True),
        Given("put_right", "fan_worn"),
        Given("answer", "air_weak", "yes"),
    )


def test_what_a_job_begins_with_is_its_complaint_and_what_is_asked_later_is_none() -> None:
    def given_in(*lines: str) -> list[tuple[str, bool]]:
        return [(each.name, each.complaint) for each in job(*lines).given if each.kind == "answer"]

    told = "answer: no_heat, is: yes"
    assert given_in("fact: volts, is: 240", told) == [("no_heat", True)]
    assert given_in(told, "answer: air_weak, is: yes") == [("no_heat", True), ("air_weak", True)]
    measured = "answer: element_resistance, reads: OL"
    assert given_in(measured, told) == [("element_resistance", False), ("no_heat", False)]
    assert given_in(told, measured, "answer: air_weak, is: yes")[-1] == ("air_weak", False)
    assert given_in(told, "correct: no_heat, is: no") == [("no_heat", True)]
    assert replayed(job(told)).answers[0].complaint
    assert not replayed(job(told, "correct: no_heat, is: no")).answers[0].complaint, "taken back it is none"


def test_an_answer_that_is_a_danger_sign_reaches_the_gate_by_itself() -> None:
    assert job("answer: smell_hot, is: yes").gate.signs == ("burning_smell_earlier",)
    assert job("answer: smell_hot, is: no", "correct: smell_hot, is: yes").gate.signs == (
        "burning_smell_earlier",
    )
    assert job("answer: smell_hot, is: yes", "correct: smell_hot, is: no").gate.signs == (
        "burning_smell_earlier",
    )


@pytest.mark.slow
@pytest.mark.parametrize("name", ["tumble_dryer", "electric_oven", "washing_machine"])
def test_a_danger_sign_follows_from_its_reading_whatever_was_written_beside_it(name: str) -> None:
    """Every reading of the pack that can be a danger, at values over its whole range: written without its answer,
    with the healthy one, or corrected to it, the sign stands where the reading itself is judged to be one."""
    pack = load_pack(name)
    met = 0
    for item in pack.observations.values():
        if item.reading is None or not item.danger:
            continue
        for reads in (*(f"{value} {item.reading.unit}" for value in (0.02, 0.3, 1.5, 40, 900)), "OL"):
            case = Case(pack)
            try:
                case.record(item.id, reads)
            except FaultFinderError:
                continue
            sign = item.danger.get(case.judged(case.answers[-1]).answer)
            if outside_its_limit(pack, {}, item, reads):
                sign = "earth_or_insulation_bad"  # one limit with the return test, by the strictest class
            met += sign is not None
            written = (
                [happened.Answered(item.id, reads=reads)],
                [happened.Answered(item.id, item.healthy, reads)],
                [happened.Answered(item.id, item.healthy), happened.Corrected(item.id, reads=reads)],
            )
            for record in written:
                state, troubles = fold(pack, record)
                assert not troubles
                assert set(state.gate.signs) == ({sign} if sign else set()), (item.id, reads)
    assert met >= 3


def test_a_reading_brought_from_inside_is_taken_and_owes_the_tests() -> None:
    state = job("answer: element_resistance, reads: 33R, access: not confirmed here")
    assert len(owed_tests(state.gate)) == 4 and state.given
    assert owed_tests(job("answer: element_resistance, reads: 33R, how: told").gate) == ()


def test_an_instruction_is_noted_as_given_only_where_it_may_be() -> None:
    with pytest.raises(Refused, match="may not be given now"):
        job("advice: element_resistance, access: open_dead")
    with pytest.raises(Refused, match="may not be given now"):
        job(*INSIDE[:4], "advice: element_open, access: open_dead")
    job(*INSIDE, "advice: element_resistance, access: open_dead", "advice: element_open, access: open_dead")


def test_fit_for_use_is_refused_over_a_grave_fault_that_was_found_and_left() -> None:
    with pytest.raises(Refused, match="Found and not put right: Inlet blocked with fluff"):
        job(*USE, "closed: fit_for_use, found: [inlet_blocked]")
    job(*USE, "put_right: inlet_blocked", "closed: fit_for_use, found: [inlet_blocked]")
    job(*USE, "closed: fit_for_use, found: [fan_worn]")


def test_what_a_remedy_also_mends_is_put_right_too_and_may_be_named_at_the_end() -> None:
    made = small_pack()
    inlet = replace(made.causes["inlet_blocked"], also_mends=("cut_out_open",))
    made = replace(made, causes={**made.causes, inlet.id: inlet})
    lines = (*USE, "put_right: inlet_blocked", "closed: fit_for_use, found: [cut_out_open]")
    state, troubles = fold(made, events(*lines))
    assert troubles == [] and state.closed is not None
    assert (state.put_right, state.mended) == (("inlet_blocked",), {"inlet_blocked", "cut_out_open"})
    assert replayed(state).repairs == ("inlet_blocked", "cut_out_open")


def test_nothing_happens_after_the_end_but_notes_and_taking_it_up_again() -> None:
    done = (*INSIDE[:4], "closed: left_isolated")
    with pytest.raises(Refused, match="The job is closed"):
        job(*done, "answer: no_heat, is: yes")
    assert job(*done, "note: rang the customer").notes == ("rang the customer",)
    again = job(*done, 'resumed: "she rang"')
    assert again.closed is None and again.gate.access is Access.AS_FOUND


def test_a_stop_is_left_only_by_a_restart_with_its_reason() -> None:
    state = job("danger: smoke_or_flame")
    with pytest.raises(Refused):
        apply(state, happened.Confirmed("switched_off"))
    with pytest.raises(Refused):
        apply(state, happened.Restarted(" "))
    state = apply(state, happened.Restarted("the kettle next to it was burning"))
    assert state.gate.signs == ("restarted_after_stop", "smoke_or_flame")


@pytest.mark.parametrize(
    ("line", "kind", "told"),
    [
        (
            "answer: no_heet, is: yes",
            UnknownName,
            "there is no observation 'no_heet'; did you mean \"no_heat\"?",
        ),
        (
            "answer: no_heat, is: perhaps",
            UnknownName,
            "'perhaps' is not an answer to no_heat; known here: no, yes",
        ),
        ("answer: no_heat", UnknownName, "'no_heat' has no answer: give 'is' or 'reads'."),
        ("answer: element_resistance, reads: heavy", FaultFinderError, "heavy"),
        ("answer: element_resistance, reads: 230 V", FaultFinderError, "volt"),
        ("fact: colour, is: red", UnknownName, "there is no fact 'colour'"),
        ("fact: volts, is: 5000", BadFact, "volts"),
        (
            "fact: protection, is: class_iii",
            UnknownName,
            "'class_iii' is not a choice for protection. It can be: class_i, class_ii.",
        ),
        ("put_right: element_opan", UnknownName, 'did you mean "element_open"?'),
        ("danger: smoke_or_flames", UnknownName, 'did you mean "smoke_or_flame"?'),
        ("skip: nothing_such, because: dont_know", UnknownName, "there is no observation 'nothing_such'"),
        ("withdraw: no_heat", UnknownName, "'no_heat' has not been answered."),
        ("correct: no_heat, is: no", UnknownName, "'no_heat' has not been answered."),
        ("confirm: covers_off", Refused, "It is not the turn of 'covers_off'"),
        ("return_test: earth_at_plug, outcome: passed", Refused, "It is not the turn of"),
        ("return_test: earth_everywhere, outcome: passed", UnknownName, "there is no return test"),
        ("closed: fit_for_use", Refused, "has run again"),
        ("closed: somehow", Refused, "A job is closed as one of"),
        ('restart_after_stop: "because"', Refused, "Nothing is stopped here"),
        ("without: hammer", UnknownName, "there is no instrument 'hammer'"),
        ("choice: noises, is: [a]", UnknownName, "there is no question 'noises'"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(line: str, kind: type[Exception], told: str) -> None:
    with pytest.raises(kind) as refusal:
        job(line)
    assert told in str(refusal.value)


def test_a_whole_record_is_folded_and_what_cannot_be_is_told() -> None:
    state, troubles = fold(
        small_pack(),
        events(
            "answer: no_heat, is: yes", "answer: no_heet, is: yes", "confirm: covers_off", "likely: {a: 1}"
        ),
    )
    assert state.given == (Given("answer", "no_heat", "yes", complaint=True),)
    assert [position for position, _ in troubles] == [1, 2]


def test_a_record_begins_once() -> None:
    with pytest.raises(Refused, match="begins once"):
        job("opened: small_pack", "opened: small_pack")


def test_safety_facts_are_taken_whether_or_not_the_pack_asks_for_them() -> None:
    state = job("fact: protection, is: class_ii", *INSIDE)
    assert owed_tests(state.gate) == ("insulation_inside", "insulation_at_plug")
    assert all(given.name != "protection" for given in state.given)


def test_a_resumed_job_goes_back_the_short_way() -> None:
    state = job(*INSIDE, 'resumed: "next morning"')
    from faultfinder.knowledge.model import Need

    assert [action.id for action in way(state.gate, Need.OPEN_DEAD)][:3] == [
        "still_isolated",
        "nobody_else",
        "tester_proved",
    ]


@pytest.mark.slow
def test_a_return_test_that_passed_is_the_packs_own_reading() -> None:
    """Measured once, it is not asked again, as evidence either; one that failed is only the test."""
    pack = load_pack("tumble_dryer")
    opened = happened.Opened(pack.name, pack.version, pack.fingerprint)
    for reads, known in (("0.06 ohm", True), ("2.5 ohm", False)):
        outcome = "passed" if known else "failed"
        made = happened.ReturnTested("earth_at_plug", outcome, reads=reads, limit="at most 0.1 ohm")
        way = [happened.Confirmed(action) for action in ("switched_off", "plug_out", "plug_in_sight")]
        facts = [happened.FactGiven("connection", "plug"), happened.FactGiven("protection", "class_i")]
        wet = [happened.DangerSeen("wet_found")]
        state, troubles = fold(pack, [opened, *facts, *wet, *way, made])
        assert not troubles
        assert (replayed(state).latest("earth_path") is not None) == known
