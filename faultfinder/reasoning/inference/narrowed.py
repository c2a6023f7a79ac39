"""Inference where answers hang together too widely for an exact run: exact for what matters, nearly so for the rest.

Late in a job most causes stand at a fraction of a per cent; there is nothing to decide about them, but each ties
its answers together and doubles tables. They are *set aside*: each of them bears on its neighbours with the chance
that it has apart from them (belief_propagation.py), as if it were independent of all else; what is left is run
exactly. What is lost is how two rare things hang together, which goes with the product of their chances.

ln P(evidence) is put together as in the region graphs of J. Yedidia, W. Freeman, Y. Weiss, "Constructing free
energy approximations and generalized belief propagation algorithms", IEEE Trans. Inf. Theory 51 (2005): one large
region of what is kept, the nodes set aside small ones.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from faultfinder.errors import TooWide
from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.reasoning.inference.belief_propagation import Beliefs, believe, mean, sums
from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.most_probable import Ranking
from faultfinder.reasoning.inference.network import Finding, Network, Node
from faultfinder.reasoning.inference.outcome import After, Outcome

SET_ASIDE = (0.003, 0.006, 0.012, 0.025, 0.05, 0.1, 0.3, 1.1)
"""Chances below which a node is set aside: the first that leaves the rest narrow enough; chosen."""


class Narrowed:
    """The same questions as an Engine answers, with rare nodes set aside.

    Raises ImpossibleEvidence where the evidence cannot be; never TooWide.
    """

    def __init__(
        self,
        network: Network,
        evidence: Mapping[int, Likelihood],
        *,
        report: Collection[int],
        largest_table: int,
    ) -> None:
        self.network = network
        self.beliefs = believe(network, evidence)
        for limit in SET_ASIDE:
            self._kept = _keep(network, evidence, self.beliefs, limit)
            place = self._kept.place
            self._pull = _pulls(network, self.beliefs, place)
            beside = {node for pull in self._pull.values() for node, _ in (*pull.below, *pull.above)}
            try:
                self._engine = Engine(
                    self._kept.network,
                    self._kept.evidence,
                    report=[place[node] for node in {*report, *beside} if node in place],
                    largest_table=largest_table,
                    loose=False,
                )
                break
            except TooWide:
                if limit == SET_ASIDE[-1]:
                    raise
        self.width = self._engine.width
        self.log_probability = self._engine.log_probability + _log_aside(self.beliefs, evidence, self._kept)
        self._posterior: list[float] | None = None

    @property
    def kept_engine(self) -> Engine:
        """The exact run over what is kept."""
        return self._engine

    @property
    def place(self) -> Mapping[int, int]:
        """Node -> its number in the run over what is kept."""
        return self._kept.place

    @property
    def terms(self) -> int:
        """Products that one run over the tables takes."""
        return self._engine.terms

    @property
    def aside(self) -> float:
        """The summed chances of the nodes set aside: that any of them is present is at most as likely as that."""
        return sum(share for node, share in enumerate(self.beliefs.chance) if node not in self._kept.place)

    def posterior(self) -> list[float]:
        """P(present | evidence) of every node."""
        if self._posterior is None:
            found = list(self.beliefs.chance)
            for node, value in zip(self._kept.place, self._engine.posterior(), strict=True):
                found[node] = value
            self._posterior = found
        return list(self._posterior)

    def most_probable(self, which: Sequence[int], k: int, budget: int = 2000) -> Ranking:
        """The k most probable sets over the nodes `which`, those set aside taken as absent."""
        place, back = self._kept.place, list(self._kept.place)
        ranking = self._engine.most_probable([place[node] for node in which if node in place], k, budget)
        sets = [(frozenset(back[node] for node in nodes), chance) for nodes, chance in ranking]
        return Ranking(tuple(sets), ranking.certified, ranking.covered)

    def outlook(self, candidates: Mapping[int, Sequence[Likelihood]]) -> dict[int, list[Outcome]]:
        """For each finding not yet answered and each likelihood given for it: what that evidence would do."""
        asked: dict[int, list[Likelihood]] = {}
        for index, likelihoods in candidates.items():
            asked[index] = list(likelihoods)
            if self._kept.aside[index]:
                levels = self.network.findings[index].levels
                asked[index] += [
                    tuple([1.0 if k <= level else 0.0 for k in range(levels)]) for level in range(levels - 1)
                ]
        raw = self._engine.outlook(asked)
        base = self.posterior()
        out: dict[int, list[Outcome]] = {}
        for index, likelihoods in candidates.items():
            count = len(likelihoods)
            cumulative = [outcome.probability for outcome in raw[index][count:]]
            out[index] = [
                Outcome(
                    outcome.probability,
                    _After(
                        base,
                        self._kept.place,
                        outcome.posterior,
                        self._moved(index, likelihood, cumulative),
                        self._pull,
                    ),
                )
                for outcome, likelihood in zip(raw[index][:count], likelihoods, strict=True)
            ]
        return out

    def _moved(self, index: int, likelihood: Likelihood, levels: Sequence[float]) -> dict[int, float]:
        """Chances after an answer of the nodes set aside that bear on the finding; levels: P(level <= k) now."""
        after = {}
        for node, push in self._kept.aside[index]:
            share = self.beliefs.chance[node]
            present = [
                now * below / part if (part := 1.0 - share + share * below) > 0.0 else 0.0
                for now, below in zip(levels, push, strict=True)
            ]
            absent = [
                now / part if (part := 1.0 - share + share * below) > 0.0 else 0.0
                for now, below in zip(levels, push, strict=True)
            ]
            one = share * mean(likelihood, present)
            other = (1.0 - share) * mean(likelihood, absent)
            after[node] = _part(one, other)
        return after


class _After(After):
    """See After. A node set aside that the finding does not ask about follows the nodes it brings on, and those that
    bring it on."""

    __slots__ = ("_after", "_base", "_found", "_moved", "_place", "_pull")

    def __init__(
        self,
        base: Sequence[float],
        place: Mapping[int, int],
        after: After,
        moved: Mapping[int, float],
        pull: Mapping[int, _Pull],
    ) -> None:
        self._base, self._place, self._after, self._moved, self._pull = base, place, after, moved, pull
        self._found: dict[int, float] = {}

    def __len__(self) -> int:
        return len(self._base)

    def _at(self, index: int) -> float:
        place = self._place.get(index)
        return self.changed().get(index, self._base[index]) if place is None else self._after[place]

    def changed(self) -> dict[int, float]:
        """Only the nodes that the answer may bear on."""
        if not self._found:
            back, base = list(self._place), self._base
            found = {back[at]: value for at, value in self._after.changed().items()}
            found |= self._moved
            told = set(found)
            # What a node brings on comes after it: from the last to the first, what it follows is known.
            for node in sorted(self._pull.keys() - self._moved.keys() - self._place.keys(), reverse=True):
                share, pull = base[node], self._pull[node]
                for child, slope in pull.below:
                    share += (found.get(child, base[child]) - base[child]) * slope
                for parent, slope in pull.above:
                    if parent in told:
                        share += (found[parent] - base[parent]) * slope
                found[node] = min(1.0, max(0.0, share))
            self._found = found
        return self._found


class _Pull(NamedTuple):
    """Of a node set aside: for each node that it brings on, and each that brings it on, how much its chance rises
    from that node absent to that node present."""

    below: list[tuple[int, float]]
    above: list[tuple[int, float]]


def _pulls(network: Network, beliefs: Beliefs, place: Mapping[int, int]) -> dict[int, _Pull]:
    """See _Pull. P(parent, child) from the messages of both: what each is told elsewhere, and the law between."""
    out: dict[int, _Pull] = {}
    for child, node in enumerate(network.nodes):
        for parent, weight in node.parents:
            if parent in place and child in place:
                continue
            share = beliefs.to_child[parent, child]
            told = beliefs.told[child]
            rest = (1.0 - beliefs.above[child]) / (1.0 - share * weight) if share * weight < 1.0 else 0.0
            both = share * (1.0 - rest * (1.0 - weight)) * told
            alone = share * rest * (1.0 - weight)
            only = (1.0 - share) * (1.0 - rest) * told
            none = (1.0 - share) * rest
            if parent not in place:
                slope = _part(both, only) - _part(alone, none)
                out.setdefault(parent, _Pull([], [])).below.append((child, slope))
            if child not in place:
                slope = _part(both, alone) - _part(only, none)
                out.setdefault(child, _Pull([], [])).above.append((parent, slope))
    return out


def _part(one: float, other: float) -> float:
    return one / (one + other) if one + other > 0.0 else 0.0


class _Kept(NamedTuple):
    """What is left. place: node -> its number there. aside: finding -> the parents set aside, with what they push
    to (P(level <= k) for every level but the last)."""

    network: Network
    evidence: Mapping[int, Likelihood]
    place: dict[int, int]
    aside: list[list[tuple[int, list[float]]]]


def _keep(network: Network, evidence: Mapping[int, Likelihood], beliefs: Beliefs, limit: float) -> _Kept:
    """The network without the nodes whose chance is below `limit`. Findings keep their numbers."""
    place: dict[int, int] = {}
    for node, share in enumerate(beliefs.chance):
        if share >= limit:
            place[node] = len(place)
    nodes: list[Node] = []
    findings: list[Finding] = []
    told: dict[int, float] = {}
    for index, item in enumerate(network.nodes):
        absent, parents = 1.0 - item.leak, []
        for parent, weight in item.parents:
            if parent in place:
                parents.append((place[parent], weight))
                if index not in place:
                    told[parent] = told.get(parent, 1.0) * beliefs.from_child[parent, index]
            else:
                absent *= 1.0 - beliefs.to_child[parent, index] * weight
        if index in place:
            nodes.append(Node(1.0 - absent, tuple(parents)))
    aside: list[list[tuple[int, list[float]]]] = []
    for index, finding in enumerate(network.findings):
        away = [(node, sums(push)) for node, push in finding.parents if node not in place]
        aside.append(away)
        background = finding.background
        if away:
            levels = sums(finding.background)
            for node, push in away:
                share = beliefs.to_finding[node, index] if index in evidence else beliefs.chance[node]
                for k, below in enumerate(push):
                    levels[k] *= 1.0 - share + share * below
            background = _shares(levels)
        parents_kept = tuple([(place[node], push) for node, push in finding.parents if node in place])
        findings.append(Finding(background, parents_kept))
    weights = dict(evidence)
    for node, ratio in told.items():
        weights[len(findings)] = (1.0, ratio) if ratio <= 1.0 else (1.0 / ratio, 1.0)
        findings.append(Finding((1.0, 0.0), ((place[node], (0.0, 1.0)),)))
    return _Kept(Network(tuple(nodes), tuple(findings)), weights, place, aside)


def _shares(levels: Sequence[float]) -> tuple[float, ...]:
    """P(level = k) from P(level <= k) for every level but the last."""
    out, before = [], 0.0
    for now in levels:
        out.append(max(0.0, now - before))
        before = now
    return (*out, max(0.0, 1.0 - before))


def _log_aside(beliefs: Beliefs, evidence: Mapping[int, Likelihood], kept: _Kept) -> float:
    """What the nodes set aside add to ln P(evidence); see the module."""
    total = 0.0
    for node, above in enumerate(beliefs.above):
        if node not in kept.place:
            total += math.log(1.0 - above + above * beliefs.told[node])
    for (node, finding), share in beliefs.to_finding.items():
        if node not in kept.place:
            total -= math.log(1.0 - share + share * beliefs.from_finding[node, finding])
    for (node, child), share in beliefs.to_child.items():
        if node not in kept.place or child not in kept.place:
            ratio = beliefs.from_child[node, child]
            total -= math.log(1.0 - share + share * ratio)
            if node in kept.place and ratio > 1.0:
                total += math.log(ratio)
    return total
