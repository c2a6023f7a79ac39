"""The most probable sets against enumeration."""

from __future__ import annotations

import math
import random

import pytest
from engine_networks import enumerate_sets, random_network, soft, two_level

from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.network import Network, Node


@pytest.mark.parametrize("seed", range(12))
def test_most_probable_sets_agree_with_enumeration(seed: int) -> None:
    """Five of seven nodes asked for, the others summed out."""
    rng = random.Random(100 + seed)
    network = random_network(rng, 7, 8)
    evidence = {j: soft(rng, network.findings[j].levels) for j in rng.sample(range(8), 4)}
    which = [0, 2, 3, 5, 6]
    weights = enumerate_sets(network, evidence)
    total = math.fsum(weights.values())
    sums: dict[frozenset[int], float] = {}
    for present, weight in weights.items():
        key = frozenset(node for node in which if present[node])
        sums[key] = sums.get(key, 0.0) + weight / total
    expected = sorted(sums.items(), key=lambda item: -item[1])[:6]
    ranking = Engine(network, evidence).most_probable(which, 6)
    assert ranking.certified
    assert [chosen for chosen, _ in ranking] == [chosen for chosen, _ in expected]
    assert [p for _, p in ranking] == pytest.approx([p for _, p in expected], abs=1e-12)
    assert ranking.covered == pytest.approx(sum(p for _, p in expected), abs=1e-12)


def test_all_sets_are_listed_when_fewer_are_possible_than_asked_for() -> None:
    network = Network((Node(0.0), Node(0.25), Node(1.0)), ())
    ranking = Engine(network, {}).most_probable([0, 1, 2], 10)
    assert ranking.certified
    assert list(ranking) == [(frozenset({2}), 0.75), (frozenset({1, 2}), 0.25)]


def test_equally_probable_sets_are_all_there() -> None:
    network = Network((Node(0.5), Node(0.5)), ())
    ranking = Engine(network, {}).most_probable([0, 1], 4)
    assert ranking.certified
    assert {chosen for chosen, _ in ranking} == {frozenset(s) for s in ((), (0,), (1,), (0, 1))}
    assert ranking.covered == pytest.approx(1.0)


def test_a_search_that_runs_out_of_budget_says_so() -> None:
    rng = random.Random(1)
    network = two_level(rng, 60, 120, (3, 6), common=(0.1, 0.4))
    engine = Engine(network, {j: (0.05, 0.95) for j in range(8)})
    ranking = engine.most_probable(range(60), 5, budget=30)
    assert not ranking.certified
    assert len(ranking) == 5
    assert [p for _, p in ranking] == sorted((p for _, p in ranking), reverse=True)


def test_sixty_causes_are_ranked_and_certified() -> None:
    """Each listed probability is that of the set alone: checked by fixing every cause."""
    rng = random.Random(2)
    network = two_level(rng, 60, 120, (3, 6))
    engine = Engine(network, {j: (0.05, 0.95) if j < 6 else (0.95, 0.05) for j in range(12)})
    ranking = engine.most_probable(range(60), 3)
    assert ranking.certified
    for chosen, probability in ranking:
        fixed = engine.fixing({node: node in chosen for node in range(60)})
        assert math.exp(fixed.log_probability - engine.log_probability) == pytest.approx(
            probability, rel=1e-9
        )
