"""About how likely each node is: messages passed to and fro between nodes and evidence (belief propagation).

Exact where evidence and nodes form a tree, close to exact elsewhere; its cost grows with the links and not with the
width. Used to find the links that hardly matter (edge_deletion.py) and how each of them bears on its surroundings; a
number from here is never shown where the exact one can be had.

Source: J. Pearl, "Probabilistic Reasoning in Intelligent Systems", 1988; on noisy-OR networks of symptoms and
diseases: K. Murphy, Y. Weiss, M. Jordan, "Loopy belief propagation for approximate inference", UAI 1999.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.reasoning.inference.network import Network

ROUNDS = 40
"""Rounds after which the messages are taken as they are; chosen, a few are the rule."""
CLOSE = 1e-5
"""Largest change of a chance in a round that counts as none; chosen."""
DAMPED_FROM = 8
"""Round from which a message moves only half way, so that it cannot swing for ever; chosen."""
EXTREME = 1e12
"""Largest ratio that a message may state; chosen: keeps a certainty from dividing by nothing."""


@dataclass(frozen=True, slots=True)
class Beliefs:
    """chance: of every node. to_finding: (node, finding) -> the node's chance, that finding's answer apart;
    from_finding: the ratio of likelihoods (present to absent) that the answer tells it. to_child, from_child:
    (node, child) -> the same between a node and one that it brings on. above: chance of each node by what brings
    it on alone; told: the ratio that everything else tells it.
    """

    chance: tuple[float, ...]
    to_finding: Mapping[tuple[int, int], float]
    from_finding: Mapping[tuple[int, int], float]
    to_child: Mapping[tuple[int, int], float]
    from_child: Mapping[tuple[int, int], float]
    above: tuple[float, ...]
    told: tuple[float, ...]


def sums(push: Sequence[float]) -> list[float]:
    """P(pushed to level k or below) for every level but the last."""
    out, total = [], 0.0
    for share in push[:-1]:
        total += share
        out.append(min(1.0, total))
    return out


def mean(likelihood: Likelihood, levels: Sequence[float]) -> float:
    """Likelihood of the evidence where `levels` is P(level <= k) for every level but the last; >= 0."""
    total, before = 0.0, 0.0
    for weight, now in zip(likelihood, levels, strict=False):
        total += weight * max(0.0, now - before)
        before = now
    return total + likelihood[-1] * max(0.0, 1.0 - before)


def without(share: float, ratio: float) -> float:
    """A chance with one message of this ratio taken back out of it."""
    away = share / ratio
    return away / (away + 1.0 - share)


def believe(network: Network, evidence: Mapping[int, Likelihood], start: Beliefs | None = None) -> Beliefs:
    """Pass messages until they stay; see the module. Impossible evidence gives what it gives, no error.

    start: beliefs on the same findings with other likelihoods, from which it is not far.
    """
    count = len(network.nodes)
    told_by = []
    for index, likelihood in evidence.items():
        finding = network.findings[index]
        pushes = [(node, sums(push)) for node, push in finding.parents]
        told_by.append((index, sums(finding.background), pushes, likelihood))
    if start is None:
        from_finding = {(node, index): 1.0 for index, _, parents, _ in told_by for node, _ in parents}
        from_child = {(parent, c): 1.0 for c, node in enumerate(network.nodes) for parent, _ in node.parents}
        told = [1.0] * count
    else:
        from_finding, from_child, told = dict(start.from_finding), dict(start.from_child), list(start.told)
    to_finding, to_child = dict(from_finding), dict(from_child)
    above = [node.leak for node in network.nodes]
    chance = [0.0] * count
    inner = [c for c, node in enumerate(network.nodes) if node.parents]

    def look(node: int) -> float:
        odds = above[node] * told[node]
        return odds / (odds + 1.0 - above[node]) if odds > 0.0 else 0.0

    def down() -> None:
        for child in inner:
            absent = 1.0 - network.nodes[child].leak
            for parent, weight in network.nodes[child].parents:
                share = without(look(parent), from_child[parent, child])
                to_child[parent, child] = share
                absent *= 1.0 - share * weight
            above[child] = 1.0 - absent

    down()
    for turn in range(ROUNDS):
        keep = 0.5 if turn >= DAMPED_FROM else 0.0
        for index, background, parents, likelihood in told_by:
            shares = []
            levels = list(background)
            for node, push in parents:
                share = without(look(node), from_finding[node, index])
                shares.append(share)
                for k, below in enumerate(push):
                    levels[k] *= 1.0 - share + share * below
            for (node, push), share in zip(parents, shares, strict=True):
                to_finding[node, index] = share
                rest = []
                for k, below in enumerate(push):
                    part = 1.0 - share + share * below
                    rest.append(levels[k] / part if part > 0.0 else 0.0)
                ratio = _ratio(
                    mean(likelihood, [x * y for x, y in zip(rest, push, strict=True)]), mean(likelihood, rest)
                )
                old = from_finding[node, index]
                ratio = ratio ** (1.0 - keep) * old**keep
                from_finding[node, index] = ratio
                told[node] = _bounded(told[node] * ratio / old)
        for child in reversed(inner):
            says = told[child]
            absent = 1.0 - above[child]
            for parent, weight in network.nodes[child].parents:
                share = to_child[parent, child]
                rest_absent = absent / (1.0 - share * weight) if share * weight < 1.0 else 0.0
                ratio = _ratio(
                    says + (1.0 - says) * rest_absent * (1.0 - weight), says + (1.0 - says) * rest_absent
                )
                old = from_child[parent, child]
                ratio = ratio ** (1.0 - keep) * old**keep
                from_child[parent, child] = ratio
                told[parent] = _bounded(told[parent] * ratio / old)
        down()
        now = [look(node) for node in range(count)]
        moved = max(map(abs, map(float.__sub__, now, chance)), default=0.0)
        chance = now
        if moved < CLOSE:
            break
    return Beliefs(tuple(chance), to_finding, from_finding, to_child, from_child, tuple(above), tuple(told))


def by_the_rest(network: Network, evidence: Mapping[int, Likelihood], beliefs: Beliefs, index: int) -> float:
    """ln P(this piece of evidence | all the other evidence), its parents taken as independent given that."""
    finding = network.findings[index]
    levels = sums(finding.background)
    for node, push in finding.parents:
        share = beliefs.to_finding[node, index]
        for k, below in enumerate(sums(push)):
            levels[k] *= 1.0 - share + share * below
    likely = mean(evidence[index], levels)
    return math.log(likely) if likely > 0.0 else -math.inf


def _ratio(present: float, absent: float) -> float:
    if absent <= 0.0:
        return EXTREME if present > 0.0 else 1.0
    return _bounded(present / absent)


def _bounded(ratio: float) -> float:
    return min(EXTREME, max(1.0 / EXTREME, ratio))
