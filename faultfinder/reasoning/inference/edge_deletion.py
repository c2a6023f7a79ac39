"""Inference where answers hang together too widely for an exact run: weak links are cut, the rest is run exactly.

Late in a job most causes stand at a fraction of a per cent, yet each answer ties all of its causes together and
doubles tables. A link that hardly makes two things hang together is *deleted*: in its place each end gets what the
other tells it on average (the messages of belief_propagation.py). With no link deleted this is exact, with all of
them belief propagation; in between as many links are kept as the tables allow, the strongest first.

Source: A. Choi, A. Darwiche, "An edge deletion semantics for belief propagation and its practical impact on
approximation quality", AAAI 2006; ln P(evidence) is corrected for each link as there (from memory).

How strong a link is, in chance: two causes that show in one answer, or of which one brings on the other, are taken
together; the chance of a combination (both, one, none), times how far its weight is from what comes of weighing each
by itself. How likely a combination is follows from all that hangs on the pair: two explanations of the same answers
hardly ever stand together, and then it matters little how either alone would be weighed with the other.
How far off a chance may be for the links deleted is told by deleting three times as strong ones too.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.reasoning.inference.belief_propagation import Beliefs, mean, sums
from faultfinder.reasoning.inference.network import Finding, Network, Node

Link = tuple[int, int]
"""(node, finding), or (parent node, child node)."""


@dataclass(frozen=True, slots=True)
class Strengths:
    """How strong each link is: about the chance that goes astray without it, 0 to 1."""

    shows: Mapping[Link, float]
    brings: Mapping[Link, float]


@dataclass(frozen=True, slots=True)
class Thinned:
    """A network with links deleted, its nodes and findings numbered as before (what the deleted links tell stands in
    further findings). log_scale: to be added to its ln P(evidence)."""

    network: Network
    evidence: Mapping[int, Likelihood]
    log_scale: float


PARTNERS = 4
"""Causes of an answer, those it moves most, with which each other one is paired; chosen."""
MOST_TOGETHER = 8.0
"""Largest logarithm of the odds ratio of a pair; chosen: keeps a certainty from dividing by nothing."""


class _Pair(NamedTuple):
    """Two nodes that an answer or a third node ties together, or of which one brings on the other.

    The links at stake, their places in the network, their chances with that tie apart, and its weights: of neither,
    of the second alone, of the first alone, of both.
    """

    links: tuple[Link, ...]
    nodes: tuple[int, int]
    shares: tuple[float, float]
    weights: tuple[float, float, float, float]


def strengths(network: Network, evidence: Mapping[int, Likelihood], beliefs: Beliefs) -> Strengths:
    """How strong every link is that evidence or other nodes hang on."""
    shows = {(node, index): 0.0 for index in evidence for node, _ in network.findings[index].parents}
    brings = {(parent, child): 0.0 for child, node in enumerate(network.nodes) for parent, _ in node.parents}
    shown = [pair for index in evidence for pair in _shown_by(network, index, evidence[index], beliefs)]
    brought = [pair for child in range(len(network.nodes)) for pair in _bringing(network, child, beliefs)]
    together: dict[tuple[int, int], float] = {}
    for pair in (*shown, *brought):
        x, y = pair.nodes
        both = (x, y) if x < y else (y, x)
        together[both] = together.get(both, 0.0) + _log_odds_ratio(pair.weights)
    chance = beliefs.chance
    for pairs, found in ((shown, shows), (brought, brings)):
        for pair in pairs:
            x, y = pair.nodes
            bound = max(-MOST_TOGETHER, min(MOST_TOGETHER, together[(x, y) if x < y else (y, x)]))
            strength = _misses(pair, _joint(chance[x], chance[y], math.exp(bound)))
            for link in pair.links:
                if strength > found[link]:
                    found[link] = strength
    return Strengths(shows, brings)


def _log_odds_ratio(weights: tuple[float, float, float, float]) -> float:
    none, second, first, both = weights
    together, apart = both * none, first * second
    if together <= 0.0 or apart <= 0.0:
        return math.copysign(MOST_TOGETHER, together - apart)
    return math.log(together / apart)


def _misses(pair: _Pair, joint: Sequence[float]) -> float:
    """How much of a chance goes astray where each of the two links is weighed by itself."""
    (s, t), (none, second, first, both) = pair.shares, pair.weights
    away = (1.0 - t) * none + t * second
    there = (1.0 - t) * first + t * both
    without, having = (1.0 - s) * none + s * first, (1.0 - s) * second + s * both
    whole = (1.0 - s) * away + s * there
    cells = (
        (joint[0], none, away * without),
        (joint[1], second, away * having),
        (joint[2], first, there * without),
        (joint[3], both, there * having),
    )
    return max([chance * abs(weight * whole / apart - 1.0) for chance, weight, apart in cells if apart > 0.0])


def _bringing(network: Network, child: int, beliefs: Beliefs) -> list[_Pair]:
    """A node with each that brings it on, and those with one another where anything is told of it."""
    out = []
    told, links = beliefs.told[child], network.nodes[child].parents
    for parent, weight in links:
        share = beliefs.to_child[parent, child]
        rest = (1.0 - beliefs.above[child]) / (1.0 - share * weight) if share * weight < 1.0 else 0.0
        spared = rest * (1.0 - weight)
        weights = (rest, 1.0 - rest, spared, 1.0 - spared)
        out.append(_Pair(((parent, child),), (parent, child), (share, told / (1.0 + told)), weights))
    if told != 1.0:
        parents = [(parent, beliefs.to_child[parent, child], [1.0 - weight]) for parent, weight in links]
        out += _pairs(child, [1.0 - network.nodes[child].leak], parents, (1.0, told))
    return out


def _shown_by(network: Network, index: int, likelihood: Likelihood, beliefs: Beliefs) -> list[_Pair]:
    """The causes of an answer with one another."""
    finding = network.findings[index]
    parents = [(node, beliefs.to_finding[node, index], sums(push)) for node, push in finding.parents]
    return _pairs(index, sums(finding.background), parents, likelihood)


def _pairs(
    tie: int,
    background: Sequence[float],
    parents: Sequence[tuple[int, float, Sequence[float]]],
    likelihood: Likelihood,
) -> list[_Pair]:
    """The causes of an answer (or of a node) in pairs: those that move it most with every other. parents: each with
    its chance, and P(pushed to level k or below)."""
    if len(parents) < 2:
        return []
    levels = list(background)
    links = []
    for node, share, below in parents:
        parts = [1.0 - share + share * each for each in below]
        levels = [level * part for level, part in zip(levels, parts, strict=True)]
        # What P(level <= k) is multiplied by once the node is absent, and once it is present.
        absent = [1.0 / part if part > 0.0 else 0.0 for part in parts]
        links.append((node, share, absent, [x * y for x, y in zip(absent, below, strict=True)]))
    whole = mean(likelihood, levels)
    here = [_times(levels, present) for _, _, _, present in links]
    moved = [
        (share * abs(mean(likelihood, with_it) - whole), at)
        for at, ((_, share, _, _), with_it) in enumerate(zip(links, here, strict=True))
    ]
    most = [at for _, at in sorted(moved, reverse=True)[:PARTNERS]]
    out = []
    for rank, x in enumerate(most):
        one, s, absent, _ = links[x]
        without, with_it = _times(levels, absent), here[x]
        for y, (other, t, away, there) in enumerate(links):
            if y not in most[: rank + 1]:
                weights = (
                    mean(likelihood, _times(without, away)),
                    mean(likelihood, _times(without, there)),
                    mean(likelihood, _times(with_it, away)),
                    mean(likelihood, _times(with_it, there)),
                )
                out.append(_Pair(((one, tie), (other, tie)), (one, other), (s, t), weights))
    return out


def _times(one: Sequence[float], other: Sequence[float]) -> list[float]:
    return [x * y for x, y in zip(one, other, strict=True)]


def _joint(p: float, q: float, ratio: float) -> tuple[float, float, float, float]:
    """The chances of neither, of the second alone, of the first alone and of both of two things of chances p and q
    whose odds ratio is given.

    Source: R. Plackett, "A class of bivariate distributions", J. Amer. Statist. Assoc. 60 (1965), from memory.
    """
    both = p * q
    if abs(ratio - 1.0) > 1e-9:
        a = 1.0 + (p + q) * (ratio - 1.0)
        both = (a - math.sqrt(max(0.0, a * a - 4.0 * ratio * (ratio - 1.0) * p * q))) / (2.0 * (ratio - 1.0))
    both = min(max(both, 0.0, p + q - 1.0), p, q)
    return 1.0 - p - q + both, q - both, p - both, both


def thin(
    network: Network,
    evidence: Mapping[int, Likelihood],
    beliefs: Beliefs,
    strength: Strengths,
    least: float,
) -> Thinned:
    """The network without the links weaker than `least`."""
    nodes: list[Node] = []
    findings: list[Finding] = []
    told: dict[int, float] = {}
    log_scale = 0.0
    for child, item in enumerate(network.nodes):
        absent, kept = 1.0 - item.leak, []
        for parent, weight in item.parents:
            if strength.brings[parent, child] >= least:
                kept.append((parent, weight))
                continue
            share, ratio = beliefs.to_child[parent, child], beliefs.from_child[parent, child]
            absent *= 1.0 - share * weight
            told[parent] = told.get(parent, 1.0) * ratio
            log_scale -= math.log(1.0 - share + share * ratio)
        nodes.append(Node(1.0 - absent, tuple(kept)) if len(kept) < len(item.parents) else item)
    for index, finding in enumerate(network.findings):
        links = []
        if index not in evidence:
            findings.append(finding)
            continue
        levels = sums(finding.background)
        for node, push in finding.parents:
            if strength.shows[node, index] >= least:
                links.append((node, push))
                continue
            share, ratio = beliefs.to_finding[node, index], beliefs.from_finding[node, index]
            for k, below in enumerate(sums(push)):
                levels[k] *= 1.0 - share + share * below
            told[node] = told.get(node, 1.0) * ratio
            log_scale -= math.log(1.0 - share + share * ratio)
        findings.append(
            Finding(_shares(levels), tuple(links)) if len(links) < len(finding.parents) else finding
        )
    weights = dict(evidence)
    for node, ratio in told.items():
        weights[len(findings)] = (1.0, ratio) if ratio <= 1.0 else (1.0 / ratio, 1.0)
        log_scale += max(0.0, math.log(ratio))
        findings.append(Finding((1.0, 0.0), ((node, (0.0, 1.0)),)))
    return Thinned(Network(tuple(nodes), tuple(findings)), weights, log_scale)


def _shares(levels: Sequence[float]) -> tuple[float, ...]:
    """P(level = k) from P(level <= k) for every level but the last."""
    out, before = [], 0.0
    for now in levels:
        out.append(max(0.0, now - before))
        before = now
    return (*out, max(0.0, 1.0 - before))
