"""Two versions of a pack: what was edited is told as it was and as it is, and only what comes out otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from enum import StrEnum
from pathlib import Path

import pytest
from worked import BLOCKED, ELEMENT, WRONG, edit, pack_with

from faultfinder.job.cases.differences import Edit, difference, edits, joined
from faultfinder.job.cases.files import find_cases, read_cases
from faultfinder.job.cases.worked import WorkedCase
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import (
    Cause,
    Choice,
    Fact,
    Observation,
    Pack,
    Question,
    ReadingSpec,
    Usual,
)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    return pack_with(tmp_path / "old", element=ELEMENT, blocked=BLOCKED, wrong=WRONG)


@pytest.fixture
def new(tmp_path: Path) -> Path:
    return pack_with(tmp_path / "new", element=ELEMENT, blocked=BLOCKED, wrong=WRONG)


def both(old: Path, new: Path) -> tuple[Pack, Pack]:
    return load_pack(old), load_pack(new)


def case(folder: Path, name: str) -> WorkedCase:
    return next(each for each in read_cases(find_cases(folder).cases) if each.name == name)


def test_the_same_rules_have_no_edits_and_no_differences(old: Path, new: Path) -> None:
    packs = both(old, new)
    assert edits(*packs) == []
    assert all(difference(*packs, each) is None for each in read_cases(find_cases(new).cases))


def test_a_changed_strength_is_told_as_it_was_and_as_it_is(old: Path, new: Path) -> None:
    edit(new, "element_resistance: {open: always}", "element_resistance: {open: sometimes}")
    assert edits(*both(old, new)) == [Edit("element_open shows element_resistance: open", "0.98", "0.3")]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("was", "now", "what"),
    [
        (
            "how_common: occasional\n    hazard: none",
            "how_common: rare\n    hazard: none",
            "fan_worn: how common",
        ),
        ("closed: [0, 2], open: [2, OL]", "closed: [0, 5], open: [5, OL]", "cut_out_continuity: limits"),
        ("right: volts ** 2 / watts", "right: volts * volts / watts", "element_resistance: limits"),
        (
            "brought_on_by: {inlet_blocked: sometimes}",
            "brought_on_by: {inlet_blocked: often}",
            "inlet_blocked brings",
        ),
        ("Is the flex whole?\n", "Is the flex whole?\n    reliability: 0.8\n", "flex_look: reliability"),
    ],
)
def test_every_figure_that_the_reasoning_rests_on_is_compared(
    old: Path, new: Path, was: str, now: str, what: str
) -> None:
    edit(new, was, now)
    (found,) = edits(*both(old, new))
    assert found.what.startswith(what) and found.old and found.new


FOR_PEOPLE = {
    Fact: {"ask", "where", "how"},
    Cause: {"title", "remedy", "remedy_steps", "then_run", "parts", "advice", "look_again"},
    Observation: {"ask", "how_steps", "why", "probes", "said"},
    Question: {"ask", "how_steps", "why"},
    ReadingSpec: set(),
}
"""Fields that are texts for people or written only for them: a change of them is no edit here."""
COUNTED_OTHERWISE = {
    "id",
    "mark",
    "sub_system",
    "shows",
    "brought_on_by",
    "answers",
    "kind",
    "reading",
    "bands",
}
"""Ids, places, what stands among the ties, and what cannot change alone."""


WITHOUT_MEANING = {"choice": {"low", "high", "unit", "spread"}, "number": {"choices", "usual"}}
"""Fields of a fact that mean nothing for its kind."""


def changed(value: object) -> object:
    """Another value of the same sort."""
    if isinstance(value, StrEnum):
        return next(each for each in type(value) if each != value)
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return value + 0.125
    if isinstance(value, str):
        return value + "x"
    if isinstance(value, Mapping):
        return {**value, "more": ("x",) if all(isinstance(v, tuple) for v in value.values()) else "x"}
    assert isinstance(value, tuple)
    if value and isinstance(value[0], float):
        return (value[0] + 0.01, *value[1:])
    if value and isinstance(value[0], Choice):
        return (replace(value[0], sets={"more": "yes"}), *value[1:])
    return (*value, ("x", "1") if value and isinstance(value[0], tuple) else "x")


@pytest.mark.slow
def test_every_field_that_is_not_for_people_is_an_edit_when_it_changes() -> None:
    """So that no edit is passed over in silence because a new key was forgotten here."""
    pack = load_pack("electric_oven")
    told = 0
    for section in ("facts", "causes", "observations", "questions"):
        items = dict(getattr(pack, section))
        for one in list(items.values())[:4]:
            for each in fields(one):
                if each.name in COUNTED_OTHERWISE | FOR_PEOPLE[type(one)]:
                    continue
                value = getattr(one, each.name)
                if value is None and each.name == "class_value":
                    value = 1.0
                made = (Usual({}, {"more": 1.0}),) if each.name == "usual" else changed(value)
                other = replace(one, **{each.name: made})
                new_pack = replace(pack, **{section: {**items, one.id: other}})
                if not isinstance(one, Fact) or each.name not in WITHOUT_MEANING[one.kind]:
                    assert edits(pack, new_pack), (one.id, each.name)
                    told += 1
    assert told > 100


@pytest.mark.slow
def test_every_field_of_a_reading_is_an_edit_when_it_changes() -> None:
    pack = load_pack("tumble_dryer")
    one = next(each for each in pack.observations.values() if each.reading is not None and each.reading.let)
    assert one.reading is not None
    for each in fields(ReadingSpec):
        if each.name not in COUNTED_OTHERWISE:
            spec = replace(one.reading, **{each.name: changed(getattr(one.reading, each.name))})
            new_pack = replace(pack, observations={**pack.observations, one.id: replace(one, reading=spec)})
            assert [e.what for e in edits(pack, new_pack)], each.name


def test_a_new_cause_is_told_once_with_its_strengths(old: Path, new: Path) -> None:
    edit(
        new,
        "observations:\n",
        "  grille_bent:\n    title: Grille bent\n    how_common: rare\n    hazard: none\n    remedy: Straighten it\n"
        "    minutes: 5\n    if_missed: 30\n    shows: {air_weak: often}\nobservations:\n",
    )
    assert [(each.what, each.old, each.new) for each in edits(*both(old, new))] == [
        ("cause grille_bent", "", "there"),
        ("grille_bent shows air_weak: yes", "", "0.6"),
    ]


def test_a_case_that_held_and_fails_is_broken(old: Path, new: Path) -> None:
    edit(new, "element_resistance: {open: always}", "element_resistance: {open: never}")
    found = difference(*both(old, new), case(new, "element"))
    assert found is not None and found.broken and not found.mended
    moved = {each.cause: each for each in found.moved}
    assert moved["element_open"].old > 0.95 > moved["element_open"].new
    assert found.moved[0].cause == "element_open"


def test_a_case_that_failed_and_holds_is_mended(old: Path, new: Path) -> None:
    edit(old, "element_resistance: {open: always}", "element_resistance: {open: never}")
    found = difference(*both(old, new), case(new, "element"))
    assert found is not None and found.mended and not found.broken


def test_a_chance_that_moves_a_little_is_not_told(old: Path, new: Path) -> None:
    edit(new, "smell_hot: sometimes", "smell_hot: 0.31")
    assert difference(*both(old, new), case(new, "blocked")) is None


def test_what_is_proposed_next_is_compared_where_asked_for(old: Path, new: Path) -> None:
    packs = both(old, new)
    found = difference(*packs, case(new, "element"), least=-1.0, steps_too=True)
    assert found is not None and len(found.new.first_steps) == 1 and not found.steps_differ


def test_a_case_that_names_what_one_version_lacks_differs_and_does_no_harm(old: Path, new: Path) -> None:
    edit(new, "  inlet_look:", "  grille_look:")
    edit(new, "inlet_look: {blocked: always}", "grille_look: {blocked: always}")
    edit(new, "proof: [inlet_look]", "proof: [grille_look]")
    found = difference(*both(old, new), case(new, "blocked"))
    assert found is not None and found.broken
    assert any("inlet_look" in failure.got for failure in found.new.failures)


def test_the_new_version_of_a_case_is_the_one_that_counts(old: Path, new: Path) -> None:
    (new / "cases" / "element.yaml").write_text(ELEMENT + "- {minutes_at_most: 90}\n", encoding="utf-8")
    (new / "cases" / "more.yaml").write_text(BLOCKED, encoding="utf-8")
    cases = joined(read_cases(find_cases(old).cases), read_cases(find_cases(new).cases))
    assert sorted(each.name for each in cases) == ["blocked", "element", "more", "wrong"]
    assert next(each for each in cases if each.name == "element").expectations == 2
