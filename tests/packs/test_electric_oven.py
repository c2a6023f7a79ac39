"""The pack for electric ovens: it loads clean, its worked cases hold, and each leans on the rule it is there for."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest
from expected_of_cases import events_of, likely_in, unlikely_in

import faultfinder
from faultfinder.job.cases.files import read_cases
from faultfinder.job.cases.replay import replay
from faultfinder.job.cases.worked import WorkedCase, leans_on
from faultfinder.knowledge.analysis.overview import totals_by_machine
from faultfinder.knowledge.authoring.accepted import accept
from faultfinder.knowledge.checks import CODES
from faultfinder.knowledge.load import check_pack
from faultfinder.knowledge.model import Kind, Pack

ROOT = Path(faultfinder.__file__).resolve().parent.parent
FOLDER = ROOT / "rules" / "electric_oven"
CASES = sorted((FOLDER / "cases").glob("*.yaml"))


@cache
def the_pack() -> Pack:
    pack, problems = check_pack(FOLDER)
    assert pack is not None, problems
    return pack


@pytest.mark.slow
def test_it_loads_without_an_error_or_a_warning() -> None:
    texts = {str(file): file.read_text() for file in FOLDER.glob("*.yaml")}
    assert [str(problem) for problem in accept(check_pack(FOLDER)[1], texts, CODES).left] == []


@pytest.mark.slow
def test_it_is_as_large_as_a_pack_for_a_workshop_should_be() -> None:
    pack = the_pack()
    readings = [each for each in pack.observations.values() if each.kind is Kind.READING]
    assert len(pack.causes) >= 25 and len(pack.observations) >= 40 and len(CASES) >= 15
    assert 3 * len(readings) >= len(pack.observations)
    assert all(1.0 <= totals.faults <= 2.5 for totals in totals_by_machine(pack))


@pytest.mark.slow
def test_a_third_of_the_observations_are_readings_judged_by_the_facts_of_this_oven() -> None:
    pack = the_pack()
    text = "\n".join(path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.yaml")))
    numbers = [name for name, fact in pack.facts.items() if fact.kind == "number"]
    by_facts = 0
    for observation in pack.observations.values():
        if observation.kind is not Kind.READING:
            continue
        block = re.search(rf"^  {observation.id}:\n((?:    .*\n)+)", text, re.MULTILINE)
        assert block is not None
        limits = re.findall(r"^    (?:let: .*|bands:.*|  \w+: \[.*\])$", block.group(1), re.MULTILINE)
        by_facts += any(re.search(rf"\b{name}\b", line) for line in limits for name in numbers)
    assert by_facts >= 25


def test_every_cause_is_present_in_a_worked_case_and_a_third_of_them_have_several_faults() -> None:
    counted = Counter(name for path in CASES for name in likely_in(path))
    assert set(the_pack().causes) <= set(counted)
    assert 3 * sum(len(likely_in(path)) > 1 for path in CASES) >= len(CASES)


@pytest.mark.slow
@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_what_must_come_out_of_a_worked_case_comes_out(path: Path) -> None:
    assert [str(miss) for miss in replay(the_pack(), events_of(path)).misses] == []


@pytest.mark.slow
@pytest.mark.parametrize("case", read_cases(CASES)[::4], ids=lambda case: case.name)
def test_a_worked_case_fails_without_the_link_it_leans_on(case: WorkedCase) -> None:
    """One case in four; all of them by `faultfinder try electric_oven --leans`. `leans_on` runs the case without the
    link it names; that it does is held by tests/job/cases/test_worked.py."""
    assert leans_on(the_pack(), case) is not None


LOOK_ALIKES = (
    ("bottom_element_open", "thermostat_open"),
    ("thermostat_open", "bottom_element_open"),
    ("thermostat_tube_broken", "thermostat_welded"),
    ("door_seal_worn", "thermostat_set_low"),
    ("thermostat_set_low", "door_seal_worn"),
    ("hinge_sprung", "door_seal_worn"),
    ("sensor_open", "relay_dead"),
    ("relay_dead", "grill_element_open"),
    ("locked_or_showroom", "relay_dead"),
    ("board_dead", "terminal_block_burnt"),
    ("mains_low", "bottom_element_open"),
    ("element_tag_burnt", "bottom_element_open"),
    ("grill_element_earthed", "terminal_block_burnt"),
    ("clock_on_automatic", "thermostat_open"),
)
"""(what is there, what must not be taken for it); common practice, no source."""


@pytest.mark.parametrize(("there", "not_there"), LOOK_ALIKES)
def test_a_typical_look_alike_is_ruled_out_in_a_case(there: str, not_there: str) -> None:
    assert any(there in likely_in(path) and unlikely_in(path).get(not_there, 1.0) <= 0.15 for path in CASES)


def test_what_is_wired_in_or_belongs_to_the_network_is_handed_to_a_licensed_person() -> None:
    causes = the_pack().causes
    fixed = (
        "house_circuit_dead",
        "outlet_joint_burnt",
        "circuit_too_small",
        "rcd_already_loaded",
        "mains_low",
    )
    assert [name for name in fixed if not causes[name].hand_to] == []
    assert the_pack().facts["connection"].choices.keys() == {"plug", "isolator", "fixed"}
    assert any("gas" in each.say for each in the_pack().outside)


@pytest.mark.slow
def test_nothing_in_the_program_names_an_oven() -> None:
    named = re.compile(r"\boven|\bgrill|electric_oven", re.IGNORECASE)
    sources = sorted((ROOT / "faultfinder").rglob("*.py"))
    assert len(sources) > 50
    assert [str(path) for path in sources if named.search(path.read_text(encoding="utf-8"))] == []
