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
from faultfinder.reasoning.inference.belief_propagation import Messages, Tie, mean
from faultfinder.reasoning.inference.network import Finding, Network, Node

Link = tuple[int, int]
"""(node, key of the tie that it bears on)."""
Strengths = Mapping[Link, float]
"""How strong each link is: about the chance that goes astray without it, 0 to 1."""


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


def strengths(messages: Messages) -> Strengths:
    """How strong every link is that evidence or other nodes hang on. messages: settled."""
    found: dict[Link, float] = {}
    pairs: list[_Pair] = []
    for tie in messages.ties:
        found.update(((node, tie.key), 0.0) for node in tie.nodes)
        if tie.key < 0:
            child = -1 - tie.key
            pairs += _bringing(tie, messages.above[child], messages.told[child])
        if tie.key >= 0 or tie.likelihood[1] != 1.0:
            pairs += _bearing(tie)
    together: dict[tuple[int, int], float] = {}
    for pair in pairs:
        x, y = pair.nodes
        both = (x, y) if x < y else (y, x)
        together[both] = together.get(both, 0.0) + _log_odds_ratio(pair.weights)
    chance = messages.chances()
    for pair in pairs:
        x, y = pair.nodes
        bound = max(-MOST_TOGETHER, min(MOST_TOGETHER, together[(x, y) if x < y else (y, x)]))
        strength = _misses(pair, _joint(chance[x], chance[y], math.exp(bound)))
        for link in pair.links:
            found[link] = max(found[link], strength)
    return found


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


def _bringing(tie: Tie, above: float, told: float) -> list[_Pair]:
    """A node with each that brings it on. above: its chance by these; told: the ratio that all else tells it."""
    out = []
    for parent, share, (spares,) in zip(tie.nodes, tie.shares, tie.pushes, strict=True):
        part = 1.0 - share + share * spares
        rest = (1.0 - above) / part if part > 0.0 else 0.0
        weights = (rest, 1.0 - rest, rest * spares, 1.0 - rest * spares)
        out.append(_Pair(((parent, tie.key),), (parent, -1 - tie.key), (share, told / (1.0 + told)), weights))
    return out


def _bearing(tie: Tie) -> list[_Pair]:
    """The nodes that bear on a tie in pairs: those that move it most with every other."""
    if len(tie.nodes) < 2:
        return []
    likelihood, levels = tie.likelihood, tie.background
    links = []
    for node, share, below in zip(tie.nodes, tie.shares, tie.pushes, strict=True):
        parts = [1.0 - share + share * each for each in below]
        levels = _times(levels, parts)
        # What P(level <= k) is multiplied by once the node is absent, and once it is present.
        absent = [1.0 / part if part > 0.0 else 0.0 for part in parts]
        links.append((node, share, absent, _times(absent, below)))
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
                out.append(_Pair(((one, tie.key), (other, tie.key)), (one, other), (s, t), weights))
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
    messages: Messages,
    strength: Strengths,
    least: float,
) -> Thinned:
    """The network without the links weaker than `least`. messages: settled on this evidence."""
    nodes, findings = list(network.nodes), list(network.findings)
    told: dict[int, float] = {}
    log_scale = 0.0
    for tie in messages.ties:
        levels = tie.background
        weak = {node for node in tie.nodes if strength[node, tie.key] < least}
        for node, push, share, ratio in zip(tie.nodes, tie.pushes, tie.shares, tie.ratios, strict=True):
            if node in weak:
                levels = _times(levels, [1.0 - share + share * below for below in push])
                told[node] = told.get(node, 1.0) * ratio
                log_scale -= math.log(1.0 - share + share * ratio)
        if weak and tie.key >= 0:
            kept = tuple([link for link in findings[tie.key].parents if link[0] not in weak])
            findings[tie.key] = Finding(_shares(levels), kept)
        elif weak:
            parents = nodes[-1 - tie.key].parents
            nodes[-1 - tie.key] = Node(
                1.0 - levels[0], tuple([link for link in parents if link[0] not in weak])
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
