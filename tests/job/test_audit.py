"""The audit finds what the gate would never have let through: records are made by hand here."""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path

import pytest
from reporting import events
from talking import small_pack

import faultfinder.job.audit
import faultfinder.job.audit_model
from faultfinder.job.audit import BRIDGED, audit, tells_to_bridge
from faultfinder.job.audit_model import AFTER_STOP, CLAIMED, CLOSED, ENERGISED, INSTRUCTION, LEFT_INSIDE
from faultfinder.job.events import Advised, PutRight
from faultfinder.knowledge.load import load_pack

PLUG = "fact: connection, is: plug"
CUT = ("confirm: switched_off", "confirm: plug_out", "confirm: plug_in_sight")
UNSCREW = ("confirm: tester_here", "confirm: return_testers_here", "confirm: covers_off")
DEAD = (
    "confirm: tester_proved",
    "confirm: dead_line_neutral, outcome: dead",
    "confirm: dead_line_earth, outcome: dead",
    "confirm: dead_neutral_earth, outcome: dead",
    "confirm: tester_proved_again",
    "confirm: capacitors_discharged",
    "confirm: board_waited, outcome: none_there",
    "confirm: parts_cooled",
    "confirm: parts_at_rest",
)
INSIDE = ("return_test: earth_inside, outcome: passed", "return_test: insulation_inside, outcome: passed")
COVER = ("confirm: inside_clear", "confirm: covers_on")
AT_PLUG = ("return_test: earth_at_plug, outcome: passed", "return_test: insulation_at_plug, outcome: passed")
LOOKS = (
    "confirm: dangers_answered",
    "confirm: plug_flex_whole",
    "confirm: casing_whole",
    "confirm: notices_looked_up",
)
ON = "confirm: supply_on"
JOB = (
    PLUG,
    *CUT,
    *UNSCREW,
    *DEAD,
    "advice: x, access: open_dead",
    *INSIDE,
    *COVER,
    *AT_PLUG,
    *LOOKS,
    ON,
    "closed: fit_for_use",
)


def broken(*lines: str) -> list[str]:
    return [violation.rule for violation in audit(events(*lines)).violations]


def test_a_job_done_by_the_rules_is_clean_and_counted() -> None:
    report = audit(events(*JOB))
    assert report.clean and report.closed == "fit_for_use"


SAFETY = [line for line in JOB if line.startswith(("confirm", "return_test"))]


@pytest.mark.slow
@pytest.mark.parametrize("left_out", SAFETY)
def test_a_job_with_one_confirmation_left_out_is_found(left_out: str) -> None:
    assert broken(*(line for line in JOB if line != left_out))


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(JOB) - 1))
def test_a_job_with_two_lines_changed_about_is_found_where_their_order_matters(number: int) -> None:
    lines = list(JOB)
    lines[number], lines[number + 1] = lines[number + 1], lines[number]
    first, second = JOB[number], JOB[number + 1]
    free = (
        {first, second} <= {*LOOKS}
        or {first, second} <= {*INSIDE}
        or {first, second} <= {*AT_PLUG}
        or {first, second} == {INSIDE[1], COVER[0]}
        or {first, second} == {AT_PLUG[1], LOOKS[0]}
    )
    assert bool(broken(*lines)) != free, (first, second)


@pytest.mark.parametrize(
    ("lines", "rule"),
    [
        (("advice: x, access: open_dead",), INSTRUCTION),
        (("advice: x, access: in_use",), INSTRUCTION),
        (("advice: x, access: isolated",), INSTRUCTION),
        ((PLUG, *CUT, "pause: 11", "advice: x, access: isolated"), INSTRUCTION),
        ((PLUG, *CUT, "pause: -1", "advice: x, access: isolated"), INSTRUCTION),
        ((PLUG, *CUT, "resumed: later", "advice: x, access: isolated"), INSTRUCTION),
        ((PLUG, *CUT, "take_back: plug_out", "advice: x, access: isolated"), INSTRUCTION),
        ((PLUG, *CUT, "fact: connection, is: isolator", "advice: x, access: isolated"), INSTRUCTION),
        ((*CUT, "advice: x, access: isolated"), INSTRUCTION),
        ((*LOOKS, ON, "danger: tingle", "advice: x, access: in_use"), INSTRUCTION),
        ((*LOOKS, ON, "danger: tingle", "advice: x, access: covers_on"), INSTRUCTION),
        ((*LOOKS, ON, "answer: x, reads: 33R, inside: yes", "advice: x, access: in_use"), INSTRUCTION),
        ((*LOOKS, ON, "put_right: x, electrical: yes", "advice: x, access: in_use"), INSTRUCTION),
        (("answer: x, reads: 33R, access: open_dead, inside: yes",), CLAIMED),
        ((*LOOKS, ON, "answer: x, reads: 230, access: open_dead, inside: yes"), CLAIMED),
        ((PLUG, *CUT, *UNSCREW, "answer: x, reads: 33R, access: open_dead, inside: yes"), CLAIMED),
        ((*LOOKS, ON, "danger: scorching", "answer: x, is: yes, access: in_use"), CLAIMED),
        ((PLUG, *CUT, "pause: 40", "choice: x, is: [a], access: isolated"), CLAIMED),
        (("put_right: x, access: open_dead, inside: yes",), CLAIMED),
        (("danger: tingle", *LOOKS, ON), ENERGISED),
        (("danger: gas_smell", "advice: x, access: anywhere"), AFTER_STOP),
        (("danger: gas_smell", "confirm: switched_off"), AFTER_STOP),
        ((*JOB[:-8], "pause: 30", ON), ENERGISED),
        ((PLUG, *CUT, *UNSCREW, *DEAD, "confirm: covers_on"), LEFT_INSIDE),
        (("closed: fit_for_use",), CLOSED),
        ((*LOOKS, ON, "closed: left_isolated"), CLOSED),
        ((PLUG, *CUT, *UNSCREW, "closed: handed_over"), CLOSED),
        ((PLUG, "danger: tingle", "closed: handed_over"), CLOSED),
        ((*JOB[:-1], "danger: scorching", "closed: fit_for_use"), CLOSED),
        ((*JOB[:-1], "return_test: earth_at_plug, outcome: failed", "closed: fit_for_use"), CLOSED),
    ],
)
def test_a_broken_rule_is_named(lines: tuple[str, ...], rule: str) -> None:
    assert rule in broken(*lines)


def test_a_reading_that_was_brought_is_no_broken_rule() -> None:
    brought = 'answer: x, reads: 33R, access: "not confirmed here", inside: yes'
    assert broken(brought, "answer: y, is: yes", 'answer: z, reads: 7.4A, access: "logged, covers on"') == []
    assert broken(*JOB[:16], "answer: x, reads: 33R, access: open_dead, inside: yes") == []


def test_a_stop_and_its_ends_are_clean() -> None:
    assert broken("danger: smoke_or_flame", "confirm: supply_cut_from_afar", "closed: left_isolated") == []
    voltage = (PLUG, *CUT, *UNSCREW, DEAD[0], "confirm: dead_line_neutral, outcome: voltage_found")
    assert broken(*voltage, "confirm: covers_back_or_guarded", "closed: handed_over") == []
    assert broken(*voltage, "closed: handed_over") == [CLOSED]


def test_what_a_pack_says_fills_in_what_a_hand_left_out() -> None:
    pack = small_pack()
    lines = events(*LOOKS, ON, "answer: element_resistance, reads: 33R", "advice: noise, access: in_use")
    assert audit(lines).clean
    assert [violation.rule for violation in audit(lines, pack).violations] == [INSTRUCTION]
    lines = events(*LOOKS, ON, "answer: smell_hot, is: yes", "closed: fit_for_use")
    assert audit(lines).clean and not audit(lines, pack).clean
    lines = events(*LOOKS, ON, "put_right: flex_damaged", "closed: fit_for_use")
    assert audit(lines).clean and not audit(lines, pack).clean


def test_a_machine_closed_as_fit_over_what_was_found_in_it_is_counted_until_somebody_looked_again() -> None:
    pack = load_pack("tumble_dryer")
    bridged = "answer: cutout_seen, is: bridged, access: open_dead, inside: yes"
    again = "answer: cutout_seen, is: in_circuit, access: open_dead, inside: yes"
    seen, fit = (*JOB[: JOB.index("advice: x, access: open_dead")], bridged), JOB[len(JOB) - 12 :]
    for lines, clean in (
        ((*seen, *fit), False),
        ((*seen, again, *fit), True),
        ((*seen, "withdraw: cutout_seen", *fit), False),
        ((*seen, "correct: cutout_seen, is: in_circuit", *fit), True),
        ((*seen, again, bridged, *fit), False),
        (("opened: tumble_dryer, fingerprint: 0123456789abcdef", *seen, *fit), True),
    ):
        assert audit(events(*lines), pack).clean == clean, lines
    over = (*LOOKS, ON, "answer: plug_rise, is: hot, access: in_use")
    assert not audit(events(*over, "closed: handed_over"), pack).clean
    assert audit(events(*over, PLUG, *CUT, "closed: handed_over"), pack).clean


def test_a_grave_fault_named_as_found_and_never_put_right_is_counted_in_a_machine_called_fit() -> None:
    pack = load_pack("tumble_dryer")
    closed = "closed: fit_for_use, found: [vent_hose_crushed]"
    assert pack.causes["vent_hose_crushed"].hazard.grave
    assert not audit(events(*LOOKS, ON, closed), pack).clean
    assert audit(events(*LOOKS, "put_right: vent_hose_crushed", ON, closed), pack).clean


@pytest.mark.parametrize(
    ("text", "bridges"),
    [
        ("Bridge the cut-out and run it.", True),
        ("Fit a jumper across the switch", True),
        ("Bypass the door switch for the test.", True),
        ("If it is open, link it out.", True),
        ("With the cover off, short out the thermostat", True),
        ("Strap out the cut-out", True),
        ("Put a wire link across the door switch", True),
        ("Wire across the thermostat", True),
        ("Defeat the door interlock", True),
        ("Override the thermostat", True),
        ("Shunt the cut-out", True),
        ("Tape the door switch down", True),
        ("Wedge the switch of the door, then wedge the door switch", True),
        ("Loop out the fuse", True),
        ("Fit a link in place of the fuse", True),
        ("Wrap foil round the fuse", True),
        ("Replace the fuse with a nail", True),
        ("Nobody ever wedges the door switch; never wedge the door switch", False),
        ("Take the loop out of the hose", False),
        ("Fit a new wire between the fuse and the switch", False),
        ("Free the jammed door latch", False),
        ("Never bridge a cut-out.", False),
        ("Do not bypass the door switch.", False),
        ("Work without bridging anything.", False),
        ("Was the cut-out found bridged by somebody?", False),
        ("The cut-out is bridged: take the bridge out", True),
        ("Short circuit to the casing", False),
        ("Keep the hose short.", False),
    ],
)
def test_a_text_that_tells_to_bridge_is_known_from_one_that_forbids_it(text: str, bridges: bool) -> None:
    assert tells_to_bridge(text) == bridges


def test_a_remedy_that_bridges_is_counted() -> None:
    pack = small_pack()
    element = replace(pack.causes["element_open"], remedy="Jumper it")
    report = audit(
        [Advised("element_open", "anywhere"), PutRight("y", work="Link out the cut-out")],
        replace(pack, causes={"element_open": element}),
    )
    assert [violation.rule for violation in report.violations] == [BRIDGED, BRIDGED]


@pytest.mark.parametrize("name", ["tumble_dryer", "electric_oven", "washing_machine"])
def test_no_remedy_or_question_of_a_shipped_pack_reads_as_if_it_told_to_bridge(name: str) -> None:
    """A job done by the rules would be counted as one in which they were broken."""
    pack = load_pack(name)
    asked = [each.ask for each in (*pack.observations.values(), *pack.questions.values())]
    texts = [*asked, *(cause.remedy for cause in pack.causes.values())]
    assert not [text for text in texts if tells_to_bridge(text)]


def test_the_audit_shares_no_code_with_the_gate() -> None:
    for module in (faultfinder.job.audit, faultfinder.job.audit_model):
        tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
        imported = {
            node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module
        }
        ours = {name for name in imported if name.startswith("faultfinder")}
        assert ours <= {
            "faultfinder.job",
            "faultfinder.job.events",
            "faultfinder.job.audit_model",
            "faultfinder.knowledge.model",
        }


@pytest.mark.slow
def test_a_danger_sign_that_a_choice_brings_counts_in_a_record_written_by_hand() -> None:
    """No line of its own says so; the pack does."""
    pack = load_pack("tumble_dryer")
    told = events(PLUG, *LOOKS, ON, "choice: smells, is: [electrical]", "advice: x, access: in_use")
    assert [each.rule for each in audit(told, pack).violations] == [INSTRUCTION]
    harmless = events(PLUG, *LOOKS, ON, "choice: smells, is: [none]", "advice: x, access: in_use")
    assert audit(harmless, pack).clean
