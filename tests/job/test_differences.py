"""Two versions of a pack: what was edited is told as it was and as it is, and only what comes out otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest
from worked import BLOCKED, ELEMENT, WRONG, edit, pack_with

from faultfinder.job.case_files import find_cases, read_cases
from faultfinder.job.cases import WorkedCase
from faultfinder.job.differences import Edit, difference, edits, joined
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack


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
