"""Sorts of machine, what can stand on them, implied totals, and what single faults show."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
from rule_files import BASE, pack_beside_base, write_pack

from faultfinder.knowledge.analysis.effects import Effects, as_said
from faultfinder.knowledge.analysis.machines import (
    faults_a_job,
    implied_totals,
    in_order_of_bringing,
    machine_words,
    machines,
    possible,
    together,
)
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack


def test_a_machine_is_one_choice_for_every_required_fact() -> None:
    assert machines(load_pack(BASE)) == [{"type": "corded"}, {"type": "cordless"}]
    assert machine_words({"type": "corded"}) == "type: corded"
    assert machine_words({}) == "any machine"


def test_a_machine_that_the_pack_is_not_for_is_left_out(tmp_path: Path) -> None:
    text = BASE.read_text(encoding="utf-8").replace(
        "    choices: {electric", "    required: yes\n    choices: {electric"
    )
    pack = load_pack(write_pack(tmp_path, base=text))
    assert machines(pack) == [
        {"type": "corded", "heating": "electric"},
        {"type": "cordless", "heating": "electric"},
    ]


def test_an_unknown_fact_leaves_everything_possible() -> None:
    assert possible({"type": ("corded",)}, {})
    assert possible({"type": ("corded", "urn")}, {"type": "urn"})
    assert not possible({"type": ("corded",)}, {"type": "cordless"})


def test_conditions_join_or_exclude_one_another() -> None:
    assert together({"a": ("x", "y")}, {"a": ("y",), "b": ("z",)}) == {"a": ("y",), "b": ("z",)}
    assert together({"a": ("x",)}, {"a": ("y",)}) is None
    assert together() == {}


CHAIN = """
causes:
  first: {title: First, how_common: 0.2, hazard: none, remedy: A, minutes: 1, if_missed: 1, shows: {lid_sticks: 0.5}}
  second:
    title: Second
    how_common: 0.1
    hazard: none
    remedy: B
    minutes: 1
    if_missed: 1
    brought_on_by: {middle: 0.5}
    shows: {leaks_seen: 0.7}
states:
  middle: {title: Middle, brought_on_by: {first: 0.4}, shows: {scale_seen: {thin: 0.3, thick: 0.2}}}
"""


def test_implied_totals_of_a_tree_are_those_of_counting_every_case(tmp_path: Path) -> None:
    """P(second) by summing over first and middle present or not, against the formula."""
    pack = pack_beside_base(tmp_path, CHAIN)
    totals = implied_totals(pack, {"type": "corded"})
    expected = 0.0
    for first, middle, second in product((0, 1), repeat=3):
        p_first = 0.2 if first else 0.8
        p_middle = (0.4 if first else 0.0) if middle else (0.6 if first else 1.0)
        stays_away = (1 - 0.1) * (0.5 if middle else 1.0)
        expected += p_first * p_middle * ((1 - stays_away) if second else 0.0)
    assert totals["second"] == pytest.approx(expected, abs=1e-12)
    assert totals["middle"] == pytest.approx(0.08)


def test_what_cannot_arise_on_a_machine_counts_nothing() -> None:
    pack = load_pack(BASE)
    assert implied_totals(pack, {"type": "cordless"})["flex_damaged"] == 0.0
    assert implied_totals(pack, {"type": "corded"})["flex_damaged"] == pytest.approx(0.06)
    assert 1.0 < faults_a_job(pack, {"type": "corded"}) < 2.5


def test_bringers_come_before_what_they_bring_on_and_a_ring_ends() -> None:
    pack = load_pack(BASE)
    order = in_order_of_bringing(pack)
    assert sorted(order) == sorted([*pack.causes, *pack.states])
    for name, item in {**pack.causes, **pack.states}.items():
        assert all(order.index(bringer) < order.index(name) for bringer in item.brought_on_by)


def exact_chances(pack: Pack, name: str, observation: str) -> list[float]:
    """Answer chances with one fault alone, by enumerating every set of its consequences."""
    items = {**pack.causes, **pack.states}
    order = in_order_of_bringing(pack)
    background = pack.observations[observation].background
    levels = len(background)
    chances = [0.0] * levels
    others = [each for each in order if each != name and each not in pack.causes or each == "second"]
    for bits in product((0, 1), repeat=len(others)):
        present = dict(zip(others, bits, strict=True)) | {name: 1}
        weight = 1.0
        for each in others:
            absent = 1.0
            for bringer, chance in items[each].brought_on_by.items():
                if present.get(bringer):
                    absent *= 1 - chance
            weight *= (1 - absent) if present[each] else absent
        at_most = [sum(background[: k + 1]) for k in range(levels)]
        for each, there in present.items():
            link = items[each].shows.get(observation)
            if there and link is not None:
                at_most = [q * sum(link.pushes[: k + 1]) for k, q in enumerate(at_most)]
        for k in range(levels):
            chances[k] += weight * (at_most[k] - (at_most[k - 1] if k else 0.0))
    return chances


@pytest.mark.parametrize("observation", ["scale_seen", "leaks_seen", "lid_sticks"])
def test_what_one_fault_shows_agrees_with_enumeration_where_its_consequences_form_a_tree(
    observation: str, tmp_path: Path
) -> None:
    pack = pack_beside_base(tmp_path, CHAIN)
    shown = Effects(pack, {"type": "corded"}).shown_by("first")
    assert shown[observation] == pytest.approx(exact_chances(pack, "first", observation), abs=1e-12)
    assert "stays_cold" not in shown


def test_an_answer_as_said_keeps_its_sum_and_moves_towards_the_others() -> None:
    said = as_said((0.7, 0.2, 0.1), 0.9)
    assert sum(said) == pytest.approx(1.0)
    assert said[0] == pytest.approx(0.9 * 0.7 + 0.05 * 0.3)
