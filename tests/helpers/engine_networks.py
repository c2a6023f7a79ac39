"""Random networks for the engine's tests, and the laws of network.py worked out set by set."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterator, Mapping, Sequence

from faultfinder.reasoning.inference.network import Finding, Network, Node


def shares(rng: random.Random, levels: int, healthy: float) -> tuple[float, ...]:
    """A distribution over levels with this share for the healthy one."""
    parts = [rng.random() for _ in range(levels - 1)]
    return (healthy, *(part * (1.0 - healthy) / sum(parts) for part in parts))


def soft(rng: random.Random, levels: int) -> tuple[float, ...]:
    """An answer that is right with 0.8 to 0.99."""
    reliability, said = rng.uniform(0.8, 0.99), rng.randrange(levels)
    return tuple(reliability if m == said else (1.0 - reliability) / (levels - 1) for m in range(levels))


def certain(levels: int, said: int) -> tuple[float, ...]:
    return tuple(float(m == said) for m in range(levels))


def random_network(
    rng: random.Random,
    nodes: int,
    findings: int,
    *,
    most_parents: int = 5,
    levels: Sequence[int] = (2, 3),
    links: float = 0.6,
) -> Network:
    """links: how many other nodes bring a node on, on average."""
    made = []
    for index in range(nodes):
        bringers = [other for other in range(index) if rng.random() < links / index]
        parents = tuple((bringer, rng.uniform(0.05, 0.95)) for bringer in bringers)
        made.append(Node(0.0 if parents and rng.random() < 0.4 else rng.uniform(0.01, 0.3), parents))
    seen = []
    for _ in range(findings):
        count = rng.choice(levels)
        chosen = rng.sample(range(nodes), rng.randint(1, min(nodes, most_parents)))
        seen.append(
            Finding(
                shares(rng, count, rng.uniform(0.9, 0.999)),
                tuple((parent, shares(rng, count, rng.uniform(0.05, 0.8))) for parent in chosen),
            )
        )
    return Network(tuple(made), tuple(seen))


def two_level(
    rng: random.Random,
    causes: int,
    findings: int,
    parents: tuple[int, int],
    *,
    common: tuple[float, float] = (0.005, 0.05),
    background: tuple[float, float] = (0.001, 0.02),
) -> Network:
    """Causes and yes/no findings, no links between causes: the shape of the old medical networks."""
    nodes = tuple(Node(rng.uniform(*common)) for _ in range(causes))
    made = []
    for _ in range(findings):
        seen = rng.uniform(*background)
        links = []
        for parent in rng.sample(range(causes), rng.randint(*parents)):
            weight = rng.uniform(0.1, 0.95)
            links.append((parent, (1.0 - weight, weight)))
        made.append(Finding((1.0 - seen, seen), tuple(links)))
    return Network(nodes, tuple(made))


def sample_levels(rng: random.Random, network: Network, present: Sequence[int] = ()) -> list[int]:
    """Levels of all findings of one machine; the nodes in `present` are there for certain."""
    there: list[bool] = []
    for index, node in enumerate(network.nodes):
        absent = 1.0 - node.leak
        for parent, weight in node.parents:
            absent *= 1.0 - weight if there[parent] else 1.0
        there.append(index in present or rng.random() >= absent)
    levels = []
    for finding in network.findings:
        level = rng.choices(range(finding.levels), finding.background)[0]
        for parent, push in finding.parents:
            if there[parent]:
                level = max(level, rng.choices(range(finding.levels), push)[0])
        levels.append(level)
    return levels


def some_abnormal(
    rng: random.Random, network: Network, abnormal: int, normal: int
) -> tuple[list[int], list[int]]:
    """Which findings of one sampled machine to take as abnormal and as normal; tries machines until it has
    enough abnormal ones."""
    while True:
        levels = sample_levels(rng, network, rng.sample(range(len(network.nodes)), 3))
        high = [index for index, level in enumerate(levels) if level]
        low = [index for index, level in enumerate(levels) if not level]
        if len(high) >= abnormal and len(low) >= normal:
            return rng.sample(high, abnormal), rng.sample(low, normal)


def level_chances(finding: Finding, present: Sequence[int | bool]) -> Iterator[float]:
    """P(level | the nodes present)."""
    below = 0.0
    for level in range(finding.levels):
        cumulative = sum(finding.background[: level + 1])
        for parent, push in finding.parents:
            cumulative *= sum(push[: level + 1]) if present[parent] else 1.0
        yield cumulative - below
        below = cumulative


def with_known(
    network: Network, evidence: Mapping[int, Sequence[float]], known: Mapping[int, bool]
) -> tuple[Network, dict[int, Sequence[float]]]:
    """The same with nodes known to be present or absent: a finding each that shows it for certain, and was made."""
    more = tuple(Finding((1.0, 0.0), ((node, (0.0, 1.0)),)) for node in known)
    told = {len(network.findings) + at: certain(2, int(known[node])) for at, node in enumerate(known)}
    return Network(network.nodes, network.findings + more), {**evidence, **told}


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
            chances = level_chances(network.findings[index], present)
            weight *= sum(a * b for a, b in zip(likelihood, chances, strict=True))
        weights[present] = weight
    return weights


def marginals(weights: Mapping[tuple[int, ...], float]) -> tuple[float, list[float]]:
    """Total weight, and P(present) of every node."""
    total = math.fsum(weights.values())
    size = len(next(iter(weights)))
    return total, [math.fsum(w for s, w in weights.items() if s[i]) / total for i in range(size)]
