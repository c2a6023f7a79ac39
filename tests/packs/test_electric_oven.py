"""The pack for electric ovens: it loads clean, its worked cases hold, and each leans on the rule it is there for."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

import faultfinder
from faultfinder.job.events import Event, Expect
from faultfinder.job.record import read_record
from faultfinder.job.replay import replay
from faultfinder.knowledge.load import check_pack
from faultfinder.knowledge.model import Kind, Pack
from faultfinder.knowledge.overview import totals_by_machine

ROOT = Path(faultfinder.__file__).resolve().parent.parent
FOLDER = ROOT / "rules" / "electric_oven"
CASES = sorted((FOLDER / "cases").glob("*.yaml"))


@cache
def the_pack() -> Pack:
    pack, problems = check_pack(FOLDER)
    assert pack is not None, problems
    return pack


@cache
def events_of(path: Path) -> tuple[Event, ...]:
    contents = read_record(path)
    assert not contents.damaged and not contents.problems
    return tuple(contents.events)


def likely_in(path: Path) -> set[str]:
    return {name for event in events_of(path) if isinstance(event, Expect) for name, _ in event.likely}


def without(pack: Pack, cause: str) -> Pack:
    """The pack without anything the cause shows, by itself, through a state, or through what it brings on."""

    def others(bringers: Iterable[tuple[str, float]]) -> dict[str, float]:
        return {name: chance for name, chance in bringers if name != cause}

    causes = {
        name: replace(each, brought_on_by=others(each.brought_on_by.items()))
        for name, each in pack.causes.items()
    }
    causes[cause] = replace(causes[cause], shows={})
    states = {
        name: replace(each, brought_on_by=others(each.brought_on_by.items()))
        for name, each in pack.states.items()
    }
    return replace(pack, causes=causes, states=states)


def test_it_loads_without_an_error_or_a_warning() -> None:
    assert [str(problem) for problem in check_pack(FOLDER)[1]] == []


def test_it_is_as_large_as_a_pack_for_a_workshop_should_be() -> None:
    pack = the_pack()
    readings = [each for each in pack.observations.values() if each.kind is Kind.READING]
    assert len(pack.causes) >= 25 and len(pack.observations) >= 40 and len(CASES) >= 15
    assert 3 * len(readings) >= len(pack.observations)
    assert all(1.0 <= totals.faults <= 2.5 for totals in totals_by_machine(pack))


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


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_what_must_come_out_of_a_worked_case_comes_out(path: Path) -> None:
    assert [str(miss) for miss in replay(the_pack(), events_of(path)).misses] == []


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_worked_case_fails_without_what_its_faults_show(path: Path) -> None:
    for cause in likely_in(path):
        assert not replay(without(the_pack(), cause), events_of(path)).holds, cause


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


def test_nothing_in_the_program_names_an_oven() -> None:
    named = re.compile(r"\boven|\bgrill|electric_oven", re.IGNORECASE)
    sources = sorted((ROOT / "faultfinder").rglob("*.py"))
    assert len(sources) > 50
    assert [str(path) for path in sources if named.search(path.read_text(encoding="utf-8"))] == []
