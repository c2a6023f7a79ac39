"""The engine against enumeration of all node sets."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Mapping, Sequence

import pytest

from faultfinder.reasoning.engine import Engine, ImpossibleEvidence
from faultfinder.reasoning.most_probable import most_probable
from faultfinder.reasoning.network import Finding, Network, Node


def random_network(rng: random.Random, nodes: int, findings: int, most_parents: int = 5) -> Network:
    made = []
    for index in range(nodes):
        bringers = [other for other in range(index) if rng.random() < 0.6 / index]
        parents = tuple((bringer, rng.uniform(0.05, 0.95)) for bringer in bringers)
        made.append(Node(0.0 if parents and rng.random() < 0.4 else rng.uniform(0.01, 0.3), parents))
    seen = []
    for _ in range(findings):
        levels = rng.choice((2, 3))
        chosen = rng.sample(range(nodes), rng.randint(1, most_parents))
        seen.append(
            Finding(
                shares(rng, levels, rng.uniform(0.9, 0.999)),
                tuple((p, shares(rng, levels, rng.uniform(0.05, 0.8))) for p in chosen),
            )
        )
    return Network(tuple(made), tuple(seen))


def shares(rng: random.Random, levels: int, healthy: float) -> tuple[float, ...]:
    parts = [rng.random() for _ in range(levels - 1)]
    return (healthy, *(part * (1.0 - healthy) / sum(parts) for part in parts))


def soft(rng: random.Random, levels: int) -> tuple[float, ...]:
    reliability, said = rng.uniform(0.8, 0.99), rng.randrange(levels)
    return tuple(reliability if m == said else (1.0 - reliability) / (levels - 1) for m in range(levels))


def enumerate_sets(network: Network, evidence: Mapping[int, Sequence[float]]) -> dict[tuple[int, ...], float]:
    """Weight of every node set with the evidence, straight from the laws in network.py."""
    weights = {}
    for present in itertools.product((0, 1), repeat=len(network.nodes)):
        weight = 1.0
        for index, node in enumerate(network.nodes):
            absent = 1.0 - node.leak
            for parent, link in node.parents:
                absent *= 1.0 - link if present[parent] else 1.0
            weight *= 1.0 - absent if present[index] else absent
        for index, likelihood in evidence.items():
            finding = network.findings[index]
            below, total = 0.0, 0.0
            for level in range(finding.levels):
                cumulative = sum(finding.background[: level + 1])
                for parent, push in finding.parents:
                    cumulative *= sum(push[: level + 1]) if present[parent] else 1.0
                total += likelihood[level] * (cumulative - below)
                below = cumulative
            weight *= total
        weights[present] = weight
    return weights


def marginals(weights: Mapping[tuple[int, ...], float]) -> tuple[float, list[float]]:
    total = math.fsum(weights.values())
    size = len(next(iter(weights)))
    return total, [math.fsum(w for s, w in weights.items() if s[i]) / total for i in range(size)]


@pytest.mark.parametrize("seed", range(20))
def test_posteriors_and_outlook_agree_with_enumeration(seed: int) -> None:
    rng = random.Random(seed)
    network = random_network(rng, 9, 14)
    evidence = {j: soft(rng, network.findings[j].levels) for j in rng.sample(range(14), 7)}
    engine = Engine(network, evidence)
    total, expected = marginals(enumerate_sets(network, evidence))
    assert engine.log_probability == pytest.approx(math.log(total), abs=1e-10)
    assert engine.posterior() == pytest.approx(expected, abs=1e-10)
    candidates = {
        j: [soft(rng, network.findings[j].levels), *hard_answers(network.findings[j].levels)]
        for j in rng.sample([j for j in range(14) if j not in evidence], 2)
    }
    for index, outcomes in engine.outlook(candidates).items():
        for likelihood, outcome in zip(candidates[index], outcomes, strict=True):
            joint, after = marginals(enumerate_sets(network, {**evidence, index: likelihood}))
            assert outcome.probability == pytest.approx(joint / total, abs=1e-10)
            assert list(outcome.posterior) == pytest.approx(after, abs=1e-10)


def hard_answers(levels: int) -> list[tuple[float, ...]]:
    return [tuple(float(m == said) for m in range(levels)) for said in range(levels)]


def test_impossible_evidence_names_a_smallest_set_of_findings() -> None:
    """Finding 0 says the only cause is absent, finding 2 says it is present; finding 1 has no part in it."""
    network = Network(
        (Node(0.1), Node(0.2)),
        (
            Finding((1.0, 0.0), ((0, (0.0, 1.0)),)),
            Finding((0.9, 0.1), ((0, (0.5, 0.5)), (1, (0.5, 0.5)))),
            Finding((1.0, 0.0), ((0, (0.0, 1.0)),)),
        ),
    )
    with pytest.raises(ImpossibleEvidence) as caught:
        Engine(network, {0: (1.0, 0.0), 1: (0.0, 1.0), 2: (0.0, 1.0)})
    assert caught.value.findings == (0, 2)


@pytest.mark.parametrize("seed", range(4))
def test_most_probable_sets_agree_with_enumeration(seed: int) -> None:
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
    expected = sorted(sums.items(), key=lambda item: -item[1])[:4]
    ranking = most_probable(Engine(network, evidence), which, 4)
    assert ranking.certified
    assert [chosen for chosen, _ in ranking.sets] == [chosen for chosen, _ in expected]
    assert [p for _, p in ranking.sets] == pytest.approx([p for _, p in expected], abs=1e-12)
