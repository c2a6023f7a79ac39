"""What the steps of an instruction do: hostile texts refused whatever they claim to be, harmless ones left alone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import hostile
import pytest
from rule_files import beside_base

from faultfinder.knowledge.checks.instructions import contradiction, told_otherwise
from faultfinder.knowledge.instructions import deeds
from faultfinder.knowledge.instructions.acts import ACTS, allowed
from faultfinder.knowledge.instructions.placing import placed
from faultfinder.knowledge.instructions.verbs import has_cue, strange_verb
from faultfinder.knowledge.instructions.words import CUES, WORK
from faultfinder.knowledge.load import check_pack
from faultfinder.knowledge.model import Need, Step


def _hostile(*lists: str) -> list[tuple[Need, str]]:
    lines = [line.split(": ", 1) for each in lists for line in each.strip().split("\n")]
    return [(Need(need), text) for need, text in lines]


HOSTILE = _hostile(hostile.FROM_A_TRAINER, hostile.WRITTEN_BEFORE, hostile.WRITTEN_AFTER)


def _with_acts(lines: str) -> list[tuple[Need, str, str]]:
    heads = [line.split(": ", 1) for line in lines.strip().split("\n")]
    return [(Need(head.split()[0]), head.split()[1], text) for head, text in heads]


HARMLESS = _with_acts(hostile.HARMLESS)
MISCALLED = _with_acts(hostile.MISCALLED)


def refused(step: Step, need: Need) -> bool:
    """Whether the checker refuses a step in an instruction of this access."""
    if step.stated and not allowed(step.act, need):
        return True
    return told_otherwise(step.text, need) or contradiction(step, need) is not None


def passing(need: Need, text: str) -> Iterator[str]:
    """The acts as which a text passes; 'plain' where it passes without one."""
    yield from (act for act in ACTS if not refused(Step(act, text), need))
    if not any(refused(step, need) for step in placed([Step("", text)], need)):
        yield "plain"


def test_there_are_enough_of_them() -> None:
    assert len(HOSTILE) >= 70 and len(HARMLESS) >= 70
    assert {act for _, act, _ in HARMLESS} == set(ACTS) == set(CUES)
    assert {act for acts in WORK.values() for act in acts} <= set(ACTS)


@pytest.mark.slow
@pytest.mark.parametrize(("need", "text"), HOSTILE)
def test_a_hostile_text_is_refused_whatever_act_it_claims(need: Need, text: str) -> None:
    assert list(passing(need, text)) == []


@pytest.mark.slow
@pytest.mark.parametrize(("need", "act", "text"), HARMLESS)
def test_a_harmless_text_passes_and_is_placed(need: Need, act: str, text: str) -> None:
    assert not refused(Step(act, text), need)
    assert has_cue(text, act) and strange_verb(text) is None
    for step in placed([Step("", text)], need):
        assert not refused(step, need)
        assert has_cue(step.text, step.act)


@pytest.mark.parametrize(("need", "act", "text"), MISCALLED)
def test_a_text_under_an_act_that_is_not_its_own_is_refused(need: Need, act: str, text: str) -> None:
    assert allowed(act, need) and refused(Step(act, text), need)


@pytest.mark.slow
def test_a_hostile_plain_text_is_told_at_its_own_place_in_a_pack(tmp_path: Path) -> None:
    """As a trainer meets it: an error in the line of each such text, and no offer of an easier access."""
    lines = ["observations:"]
    at = {}
    for number, (need, text) in enumerate(HOSTILE):
        lines += [f"  seen_{number}:", "    kind: look", "    ask: Is it so?", "    answers: yes_no"]
        lines += [f"    access: {need}", f'    how: "{text}"']
        at[len(lines)] = text
    _, problems = check_pack(beside_base(tmp_path / "pack", "\n".join(lines)))
    told = {problem.mark.line for problem in problems if problem.is_error and problem.mark.column == 10}
    assert [text for line, text in at.items() if line not in told] == []
    assert not any(problem.code == "access-strict" for problem in problems)


def test_no_hint_to_an_easier_access_answers_a_safety_switch_held_in(tmp_path: Path) -> None:
    text = """
observations:
  knob_seen:
    kind: look
    ask: Does the knob turn?
    answers: yes_no
    access: open_dead
    how:
      - handle: Hold the door switch in with a screwdriver.
"""
    _, problems = check_pack(beside_base(tmp_path / "pack", text))
    codes = [problem.code for problem in problems if problem.is_error or problem.code == "access-strict"]
    assert codes == ["never-done"]


@pytest.mark.slow
@pytest.mark.parametrize("deed", [*deeds.NEVER, *deeds.DEEDS], ids=lambda deed: deed.says)
def test_without_a_deed_some_hostile_text_would_pass(
    deed: deeds.Deed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each row of the tables is needed: a mutant without it lets something through."""
    for name in ("NEVER", "DEEDS"):
        rows = tuple(each for each in getattr(deeds, name) if each is not deed)
        monkeypatch.setattr(deeds, name, rows)
    # What was found with the row is not what is found without it.
    monkeypatch.setattr(deeds, "_done_in", deeds._done_in.__wrapped__)
    miscalled = any(not refused(Step(act, text), need) for need, act, text in MISCALLED)
    assert miscalled or any(list(passing(need, text)) for need, text in HOSTILE)


@pytest.mark.parametrize(
    "text",
    [
        "Read the volts at the compressor.",
        "Measure the volts across the heater.",
        "Read the voltage between the tags of the thermostat.",
        "Read the amps at the motor terminals.",
        "Measure the voltage across the fan motor while it runs.",
    ],
)
def test_no_meter_goes_to_a_part_inside_while_it_runs(text: str) -> None:
    found = deeds.against_act(text, "measure_running", Need.IN_USE)
    assert found is not None and found.deed.says == "measures inside the machine"


@pytest.mark.parametrize(
    "text",
    [
        "Read the watts on the meter when the heater comes on.",
        "Read the watts at the moment the heater goes off.",
        "Read amps at the split lead with the heater on.",
        "Read the watts on the energy meter, the compressor running.",
    ],
)
def test_a_meter_between_plug_and_socket_reads_on_while_a_part_comes_on(text: str) -> None:
    assert deeds.against_act(text, "measure_running", Need.IN_USE) is None
