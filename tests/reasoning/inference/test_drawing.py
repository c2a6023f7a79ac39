"""Machines are drawn from the posterior as it is: held against every fault set of small networks, spelt out.

The chi-squared test is K. Pearson's (Philosophical Magazine 50, 1900); its p-values by the cube root approximation of
E. B. Wilson and M. M. Hilferty (Proceedings of the National Academy of Sciences 17, 1931); that they are uniform, by
the one-sample test of A. Kolmogorov with its limit distribution, as M. A. Stephens corrects it for small numbers
(Journal of the Royal Statistical Society B 32, 1970).
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Hashable, Mapping, Sequence

import pytest
from engine_networks import enumerate_sets, level_chances, marginals, random_network, soft
from packs import random_pack

from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.chance import Chance
from faultfinder.reasoning.inference.drawing import as_said, draw_nodes, draw_pushes, highest
from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.network import Network

COUNT = 2048
LEAST_EXPECTED = 6.0


def p_value(observed: Mapping[Hashable, int], expected: Mapping[Hashable, float], count: int) -> float:
    """Of Pearson's chi-squared sum; cells with few to be expected are put together."""
    total, cells, rest_seen, rest_expected = 0.0, 0, 0.0, 0.0
    for key, chance in expected.items():
        if chance * count < LEAST_EXPECTED:
            rest_seen += observed.get(key, 0)
            rest_expected += chance * count
        else:
            total += (observed.get(key, 0) - chance * count) ** 2 / (chance * count)
            cells += 1
    if rest_expected >= LEAST_EXPECTED:
        total += (rest_seen - rest_expected) ** 2 / rest_expected
        cells += 1
    free = cells - 1
    if free < 1:
        return math.nan
    spread = 2.0 / (9.0 * free)
    return 0.5 * math.erfc(((total / free) ** (1 / 3) - (1.0 - spread)) / math.sqrt(2.0 * spread))


def uniform(values: Sequence[float]) -> float:
    """About the chance of numbers that are less uniform between 0 and 1 than these, were they drawn so."""
    ordered, n = sorted(values), len(values)
    off = max(max((k + 1) / n - value, value - k / n) for k, value in enumerate(ordered))
    scaled = off * (math.sqrt(n) + 0.12 + 0.11 / math.sqrt(n))
    return min(
        1.0, 2.0 * sum((-1) ** (k - 1) * math.exp(-2.0 * k * k * scaled * scaled) for k in range(1, 60))
    )


def sets_of(masks: Sequence[int]) -> list[tuple[int, ...]]:
    """The node set of every machine."""
    rows = [f"{mask:0{COUNT}b}" for mask in masks]
    return [tuple(map(int, column)) for column in zip(*rows, strict=True)][::-1]


def held_against_enumeration(
    network: Network, evidence: Mapping[int, Sequence[float]], seed: object
) -> list[float]:
    """p-values of the node sets drawn, and of node sets together with the answers to what was not asked."""
    chance = Chance(COUNT, seed)
    masks = draw_nodes(Engine(network, evidence, report=()), chance)
    weights = enumerate_sets(network, evidence)
    total, _ = marginals(weights)
    expected = {present: weight / total for present, weight in weights.items()}
    machines = sets_of(masks)
    found = [p_value(Counter(machines), expected, COUNT)]
    for number, finding in enumerate(network.findings):
        if number in evidence or number % 2:
            continue
        reliability = 0.9
        pushes = [draw_pushes(chance.full, finding.background, chance)]
        pushes += [draw_pushes(masks[node], shares, chance) for node, shares in finding.parents]
        answers = as_said(highest(pushes, chance.full), chance.mask(1.0 - reliability), chance)
        assert sum(mask.bit_count() for mask in answers) == COUNT
        said = [next(k for k, mask in enumerate(answers) if mask >> i & 1) for i in range(COUNT)]
        joint = {}
        for present, share in expected.items():
            for k, true in enumerate(level_chances(finding, present)):
                rest = (1.0 - reliability) / (finding.levels - 1)
                joint[present, k] = share * (reliability * true + rest * (1.0 - true))
        found.append(p_value(Counter(zip(machines, said, strict=True)), joint, COUNT))
    return [p for p in found if not math.isnan(p)]


@pytest.mark.slow
def test_node_sets_and_answers_of_random_networks_are_drawn_as_often_as_they_should_be() -> None:
    found = []
    for seed in range(30):
        rng = random.Random(seed)
        network = random_network(rng, nodes=6, findings=6)
        asked = rng.sample(range(6), rng.randint(0, 4))
        evidence = {number: soft(rng, network.findings[number].levels) for number in asked}
        found += held_against_enumeration(network, evidence, seed)
    assert len(found) > 60
    assert min(found) > 1e-4
    assert uniform(found) > 0.01


@pytest.mark.slow
def test_so_are_those_of_cases_with_repairs_returns_and_several_epochs() -> None:
    found = []
    for seed in range(20):
        rng = random.Random(f"epochs:{seed}")
        made = random_pack(rng, causes=4, observations=6, states=1, takes=rng.choice((1.0, 0.8)))
        case = Case(made)
        names = list(made.observations)
        for name in rng.sample(names, 3):
            case.record(name, rng.choice(made.observations[name].answers).id)
        case.put_right(rng.choice(list(made.causes)))
        for name in rng.sample(names, 2):
            case.record(name, rng.choice(made.observations[name].answers).id)
        built = case.built()
        if len(built.network.nodes) <= 10:
            found += held_against_enumeration(built.network, built.evidence, seed)
    assert len(found) > 30
    assert min(found) > 1e-4
    assert uniform(found) > 0.01


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
def test_the_chances_of_a_larger_network_are_those_of_the_elimination(seed: int) -> None:
    rng = random.Random(f"large:{seed}")
    network = random_network(rng, nodes=40, findings=30, most_parents=4, links=1.2)
    evidence = {number: soft(rng, network.findings[number].levels) for number in range(0, 30, 2)}
    engine = Engine(network, evidence, report=())
    masks = draw_nodes(engine, Chance(COUNT, seed))
    for mask, p in zip(masks, engine.posterior(), strict=True):
        assert abs(mask.bit_count() / COUNT - p) < 4.5 * math.sqrt(p * (1.0 - p) / COUNT) + 1.0 / COUNT
