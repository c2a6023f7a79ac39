"""Inference where answers hang together too widely for an exact run: weak links are cut, the rest is run exactly.

Late in a job most causes stand at a fraction of a per cent, yet each answer ties all of its causes together and
doubles tables. A link that hardly makes two things hang together is *deleted*: in its place each end gets what the
other tells it on average (the messages of belief_propagation.py). With no link deleted this is exact, with all of
them belief propagation; in between as many links are kept as the tables allow, the strongest first.

Source: A. Choi, A. Darwiche, "An edge deletion semantics for belief propagation and its practical impact on
approximation quality", AAAI 2006; ln P(evidence) is corrected for each link as there (from memory).

How strong a link is: the covariance that it makes between its ends, or between two causes of one answer, were
everything else independent. How far off a chance may be for the links deleted is
told by deleting ten times as strong ones too.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.reasoning.inference.belief_propagation import Beliefs, mean, sums
from faultfinder.reasoning.inference.network import Finding, Network, Node

Link = tuple[int, int]
"""(node, finding), or (parent node, child node)."""


@dataclass(frozen=True, slots=True)
class Strengths:
    """How strongly each link makes things hang together: a covariance, 0 to 0.25."""

    shows: Mapping[Link, float]
    brings: Mapping[Link, float]


@dataclass(frozen=True, slots=True)
class Thinned:
    """A network with links deleted, its nodes and findings numbered as before (what the deleted links tell stands in
    further findings). log_scale: to be added to its ln P(evidence)."""

    network: Network
    evidence: Mapping[int, Likelihood]
    log_scale: float
    deleted_shows: frozenset[Link]
    deleted_brings: frozenset[Link]


PARTNERS = 3
"""Causes of an answer, those it moves most, against which each other one is held."""


def strengths(network: Network, evidence: Mapping[int, Likelihood], beliefs: Beliefs) -> Strengths:
    """How strong every link is that evidence or other nodes hang on."""
    shows: dict[Link, float] = {}
    for index, likelihood in evidence.items():
        finding = network.findings[index]
        parents = [(node, beliefs.to_finding[node, index], sums(push)) for node, push in finding.parents]
        held = _held_together(sums(finding.background), likelihood, parents)
        for (parent, _, _), strength in zip(parents, held, strict=True):
            shows[parent, index] = strength
    brings: dict[Link, float] = {}
    for child, node in enumerate(network.nodes):
        told = beliefs.told[child]
        for parent, weight in node.parents:
            share = beliefs.to_child[parent, child]
            rest = (1.0 - beliefs.above[child]) / (1.0 - share * weight) if share * weight < 1.0 else 0.0
            both, alone = share * (1.0 - rest * (1.0 - weight)) * told, share * rest * (1.0 - weight)
            only, none = (1.0 - share) * (1.0 - rest) * told, (1.0 - share) * rest
            total = both + alone + only + none
            brings[parent, child] = abs(both * none - alone * only) / total**2 if total > 0.0 else 0.0
    return Strengths(shows, brings)


def coupled(network: Network, evidence: Mapping[int, Likelihood]) -> int:
    """How many links there are between answers and causes that share them: about how wide the tables get."""
    return sum(
        len(network.findings[index].parents) for index in evidence if len(network.findings[index].parents) > 1
    )


def _held_together(
    background: Sequence[float], likelihood: Likelihood, parents: Sequence[tuple[int, float, list[float]]]
) -> list[float]:
    """For each parent of an answer the largest covariance that the answer makes between it and another one."""
    levels = list(background)
    for _, share, push in parents:
        for k, below in enumerate(push):
            levels[k] *= 1.0 - share + share * below
    whole = mean(likelihood, levels)
    if whole <= 0.0:
        return [0.25] * len(parents)
    moved = []
    for at, (_, share, push) in enumerate(parents):
        moves = mean(likelihood, _with(levels, share, push)) - whole
        moved.append((share * (1.0 - share) * abs(moves), at))
    partners = [at for _, at in sorted(moved, reverse=True)[:PARTNERS]]
    found = [0.0] * len(parents)
    for other in partners:
        _, t, second = parents[other]
        present = _with(levels, t, second)
        absent = [
            level / part if (part := 1.0 - t + t * below) > 0.0 else 0.0
            for level, below in zip(levels, second, strict=True)
        ]
        for at, (_, s, first) in enumerate(parents):
            if at == other:
                continue
            f1, f0 = mean(likelihood, present), mean(likelihood, absent)
            f11, f10 = mean(likelihood, _with(present, s, first)), mean(likelihood, _with(absent, s, first))
            f01 = (f1 - s * f11) / (1.0 - s) if s < 1.0 else 0.0
            f00 = (f0 - s * f10) / (1.0 - s) if s < 1.0 else 0.0
            strength = s * (1.0 - s) * t * (1.0 - t) * abs(f11 * f00 - f10 * f01) / whole**2
            found[at] = max(found[at], strength)
            found[other] = max(found[other], strength)
    return found


def _with(levels: Sequence[float], share: float, push: Sequence[float], there: bool = True) -> list[float]:
    """P(level <= k) once a parent that counted with this chance is there, or is not."""
    return [
        level * (below if there else 1.0) / part if (part := 1.0 - share + share * below) > 0.0 else 0.0
        for level, below in zip(levels, push, strict=True)
    ]


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
    cut_shows: set[Link] = set()
    cut_brings: set[Link] = set()
    for child, item in enumerate(network.nodes):
        absent, kept = 1.0 - item.leak, []
        for parent, weight in item.parents:
            if strength.brings[parent, child] >= least:
                kept.append((parent, weight))
                continue
            share, ratio = beliefs.to_child[parent, child], beliefs.from_child[parent, child]
            cut_brings.add((parent, child))
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
            cut_shows.add((node, index))
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
    return Thinned(
        Network(tuple(nodes), tuple(findings)),
        weights,
        log_scale,
        frozenset(cut_shows),
        frozenset(cut_brings),
    )


def _shares(levels: Sequence[float]) -> tuple[float, ...]:
    """P(level = k) from P(level <= k) for every level but the last."""
    out, before = [], 0.0
    for now in levels:
        out.append(max(0.0, now - before))
        before = now
    return (*out, max(0.0, 1.0 - before))
