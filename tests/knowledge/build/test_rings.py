"""Rings are found where there are some, each once, and nowhere else."""

from __future__ import annotations

import random
from graphlib import TopologicalSorter

from faultfinder.knowledge.build.rings import rings


def test_what_hangs_on_nothing_or_on_others_makes_no_ring() -> None:
    assert list(rings({})) == []
    assert list(rings({"a": [], "b": ["a"], "c": ["a", "b", "elsewhere"]})) == []


def test_a_ring_begins_with_what_stands_first_and_its_last_comes_before_its_first() -> None:
    assert list(rings({"c": ["b"], "a": ["c"], "b": ["a"]})) == [["c", "a", "b"]]
    assert list(rings({"alone": ["alone"]})) == [["alone"]]


def test_random_links_lose_their_rings_with_the_members_that_are_told() -> None:
    """300 graphs, seeded: each ring is one, no name is in two, and without them nothing goes round."""
    chance = random.Random(3)
    found = 0
    for _ in range(300):
        names = [f"n{n}" for n in range(chance.randrange(1, 9))]
        before = {name: chance.sample(names, chance.randrange(0, min(3, len(names)) + 1)) for name in names}
        told = list(rings(before))
        for ring in told:
            assert all(one in before[other] for one, other in zip(ring, [*ring[1:], ring[0]], strict=True))
            assert ring[0] == min(ring, key=names.index)
        members = [name for ring in told for name in ring]
        assert len(members) == len(set(members))
        left = {name: set(others) - set(members) for name, others in before.items() if name not in members}
        list(TopologicalSorter(left).static_order())
        found += bool(told)
    assert 100 < found < 300
