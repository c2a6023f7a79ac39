"""The posterior with the person who answers in it: one run for each rate at which they may err, weighed by how well
all answers fit at that rate.

Where the answers hang together too widely for an exact run, the weakest links are deleted (edge_deletion.py), the
same ones at every rate. A rate that is hardly likely then gets no run of its own: its share is estimated, and what
would follow at it is taken from the run at the rate before it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from faultfinder.errors import TooWide
from faultfinder.reasoning import constants
from faultfinder.reasoning.evidence.likelihood import Likelihood, erring
from faultfinder.reasoning.inference.belief_propagation import Messages, believe
from faultfinder.reasoning.inference.chance import Chance
from faultfinder.reasoning.inference.drawing import draw_nodes
from faultfinder.reasoning.inference.edge_deletion import Strengths, Thinned, strengths, thin
from faultfinder.reasoning.inference.engine import ROOM, Engine
from faultfinder.reasoning.inference.lookahead import Outcome as AtOneRate
from faultfinder.reasoning.inference.most_probable import chances_of_sets, frequent_sets, subsets, turned
from faultfinder.reasoning.inference.unrolling import Built

LADDER = (1e-5, 3e-5, 1e-4, 3e-4, 1e-3)
"""Strengths below which a link is deleted, tried in turn; chosen: chances are then off by about as much."""
COARSE = (*LADDER[-1:], 3e-3, 1e-2, 3e-2, 0.1, math.inf)
"""Those tried where none of them is enough, with WIDER tables; at the last no link is left."""
WIDER = 4
UNLIKELY = 0.003
"""Share of a rate below which it gets no run of its own where links are deleted anyway. Chosen: chances are off by
less than this times what the rate would move them."""
MUCH = 20_000
"""Findings times products of a run from which on one run looks ahead for all rates. Chosen: 50 ms."""
WEIGHTY = 0.03
"""Share that a rate would have after an answer from which on it looks ahead for itself. Chosen: as for UNLIKELY."""
FEW = 10
"""Nodes all of whose sets are looked at; chosen."""
TURNED = 6
"""Sets looked at beside twice those asked for, and nodes turned in the most frequent one; chosen."""


@dataclass(frozen=True, slots=True)
class RateRun:
    """One run: the rate of errors, its share (probability given all answers), ln P(answers | rate)."""

    rate: float
    share: float
    log_probability: float
    engine: Engine


class Outcome(NamedTuple):
    """What one possible answer would do. after: P(present) then of each node that was asked for."""

    probability: float
    after: list[float]


class Mixture:
    """The posterior of a network given answers. Raises ImpossibleEvidence where the answers cannot be even if nobody
    errs.

    report: the nodes whose chances after a further answer may be asked for.
    """

    def __init__(
        self,
        built: Built,
        report: Collection[int],
        *,
        least: float | None = None,
        rates: Mapping[float, float] | None = None,
    ) -> None:
        """least: strength below which links are deleted in any case (None: as the tables allow). rates: at which the
        person may err, each with its chance, the likeliest first (None: `constants.ERROR_RATES`)."""
        self.built, self.report = built, tuple(report)
        rates = constants.ERROR_RATES if rates is None else rates
        self.least, self._strength, found = _runs(built, frozenset(report), least, rates)
        tops = [math.log(rates[rate]) + log for rate, log, _ in found]
        top = max(tops)
        total = math.fsum(math.exp(each - top) for each in tops)
        self.log_probability = top + math.log(total)
        """ln P(all answers)."""
        self.runs = tuple(
            RateRun(rate, math.exp(own - self.log_probability), log, engine)
            for own, (rate, log, engine) in zip(tops, found, strict=True)
        )
        self._chances: dict[int, float] = {}
        self._own: dict[float, Engine] = {}
        self._shares: dict[Engine, float] = {}
        for run in self.runs:
            self._shares[run.engine] = self._shares.get(run.engine, 0.0) + run.share

    def _mean(self, ask: Callable[[Engine], Sequence[float]]) -> list[float]:
        """What is asked of each run, each by the share of its rates."""
        found = zip(*map(ask, self._shares), strict=True)
        return [sum(map(float.__mul__, self._shares.values(), each)) for each in found]

    def _thinned(self, rate: float) -> Thinned:
        """The network and the answers at a rate, the same links deleted."""
        network, evidence = self.built.network, self.built.evidence_at(rate)
        if self.exact:
            return Thinned(network, evidence, 0.0)
        return thin(network, evidence, believe(network, evidence), self._strength, self.least)

    @property
    def exact(self) -> bool:
        """Whether no link was deleted."""
        return self.least == 0.0

    @property
    def error_rate(self) -> float:
        """The rate at which the person errs, as far as the answers tell: the mean of the rates by their shares."""
        return math.fsum(run.share * run.rate for run in self.runs)

    def chances(self, nodes: Iterable[int]) -> dict[int, float]:
        """P(present | answers) of these nodes."""
        wanted = list(nodes)
        new = [node for node in dict.fromkeys(wanted) if node not in self._chances]
        if new:
            self._chances.update(zip(new, self._mean(lambda engine: engine.chances(new)), strict=True))
        return {node: self._chances[node] for node in wanted}

    def error(self, nodes: Iterable[int]) -> float:
        """How far off the chance of one of these nodes may be: 0 where all are exact. Else how far the one moves that
        moves most when three times as strong links are deleted too, and what the rates without a run of their own
        would move by their share (as messages between neighbours have it)."""
        if self.exact:
            return 0.0
        wanted = list(nodes)
        fine, coarse = self.chances(wanted), Mixture(self.built, (), least=3.0 * self.least).chances(wanted)
        off = max(abs(coarse[node] - fine[node]) for node in wanted)
        first, *others = self.runs
        start = believe(self.built.network, self.built.evidence_at(first.rate))
        before = start.chances()
        for run in others:
            if run.engine is first.engine:
                there = believe(self.built.network, self.built.evidence_at(run.rate), start).chances()
                off += run.share * max(abs(there[node] - before[node]) for node in wanted)
        return off

    def outlook(
        self, candidates: Mapping[int, Sequence[Likelihood]], sure: Collection[int] = ()
    ) -> dict[int, list[Outcome]]:
        """For each finding not yet answered and each likelihood given for it (of somebody who does not err): what
        that answer would do to the nodes `report`. sure: the findings about which nobody errs."""
        first = self.runs[0].engine
        if len(candidates) * first.terms <= MUCH:
            views = [self._view(self._own_engine(run), [run], candidates, sure)[0] for run in self.runs]
        else:
            views = self._view(first, self.runs, candidates, sure)
            for run, view in list(zip(self.runs, views, strict=True))[1:]:
                weighty = {}
                for index, likelihoods in candidates.items():
                    each = zip(*(view[index] for view in views), strict=True)
                    if any(self._share_after(run, outcomes) > WEIGHTY for outcomes in each):
                        weighty[index] = likelihoods
                if weighty:
                    view.update(self._view(self._own_engine(run), [run], weighty, sure)[0])
        return {
            index: [self._outcome(each) for each in zip(*(view[index] for view in views), strict=True)]
            for index in candidates
        }

    def _share_after(self, run: RateRun, outcomes: Sequence[AtOneRate]) -> float:
        """The share that a rate would have after an answer."""
        weights = {
            other.rate: other.share * each.probability
            for other, each in zip(self.runs, outcomes, strict=True)
        }
        total = sum(weights.values())
        return weights[run.rate] / total if total > 0.0 else 0.0

    def _view(
        self,
        engine: Engine,
        runs: Sequence[RateRun],
        candidates: Mapping[int, Sequence[Likelihood]],
        sure: Collection[int],
    ) -> list[dict[int, list[AtOneRate]]]:
        """For each of the runs what each answer would do as this engine has it."""
        asked = {
            index: [each if index in sure else erring(each, run.rate) for run in runs for each in likelihoods]
            for index, likelihoods in candidates.items()
        }
        raw = engine.outlook(asked)
        return [
            {
                index: raw[index][number * len(each) : (number + 1) * len(each)]
                for index, each in candidates.items()
            }
            for number in range(len(runs))
        ]

    def _outcome(self, outcomes: Sequence[AtOneRate]) -> Outcome:
        """What an answer would do, the rates taken together."""
        weights = [run.share * each.probability for run, each in zip(self.runs, outcomes, strict=True)]
        probability = math.fsum(weights)
        if probability > 0.0:
            weights = [weight / probability for weight in weights]
        else:
            weights = [run.share for run in self.runs]
        after = [0.0] * len(self.report)
        for weight, (_, base, changed) in zip(weights, outcomes, strict=True):
            for place, node in enumerate(self.report):
                after[place] += weight * (changed[node] if node in changed else base[node])
        return Outcome(probability, after)

    def _own_engine(self, run: RateRun) -> Engine:
        """A run at this very rate, where another has stood for it."""
        if run is self.runs[0] or run.engine is not self.runs[0].engine:
            return run.engine
        if run.rate not in self._own:
            self._own[run.rate] = _engine(self._thinned(run.rate), frozenset(self.report), WIDER)
        return self._own[run.rate]

    def for_drawing(self) -> Engine:
        """A run to draw machines from: the rate of errors at its mean, tables as small as they can be."""
        return _engine(self._thinned(self.error_rate), frozenset(), ROOM)

    def chances_of_any(self, groups: Sequence[Collection[int]]) -> list[float]:
        """For each group of nodes the probability that one of them at least is present."""
        return self._mean(lambda engine: engine.chances_of_any(groups))

    def most_probable(self, which: Sequence[int], count: int) -> list[tuple[frozenset[int], float]]:
        """The most probable sets over the nodes `which`, all others summed out, best first."""
        if len(which) <= FEW:
            sets = subsets(which)
        else:
            masks = draw_nodes(self.for_drawing(), Chance(constants.MACHINES, "sets"))
            sets = frequent_sets(which, masks, 2 * count + TURNED)
            sets = list(dict.fromkeys([*sets, *turned(sets[0], self.chances(which), TURNED)]))
        chances = self._mean(lambda engine: chances_of_sets(engine.keeping(which), which, sets))
        ranked = sorted(zip(sets, chances, strict=True), key=lambda pair: (-pair[1], sorted(pair[0])))
        return [pair for pair in ranked if pair[1] > 0.0][:count]


def _runs(
    built: Built, report: frozenset[int], least: float | None, chance_of: Mapping[float, float]
) -> tuple[float, Strengths, list[tuple[float, float, Engine]]]:
    """The strength below which links were deleted, how strong they are, and for each rate (rate, ln P(answers |
    rate), engine)."""
    network, rates = built.network, list(chance_of)
    evidence = {rate: built.evidence_at(rate) for rate in rates}
    if not least:
        try:
            exact = [_engine(Thinned(network, evidence[rate], 0.0), report, 1) for rate in rates]
            return (
                0.0,
                {},
                [(r, engine.log_probability, engine) for r, engine in zip(rates, exact, strict=True)],
            )
        except TooWide:
            pass
    first = rates[0]
    beliefs = {first: believe(network, evidence[first])}
    times_likelier = {
        rate: _times_likelier(evidence[first], evidence[rate], beliefs[first]) for rate in rates
    }
    weights = {rate: chance_of[rate] * math.exp(min(50.0, times_likelier[rate])) for rate in rates}
    for rate in rates[1:]:
        if weights[rate] > UNLIKELY * sum(weights.values()):
            beliefs[rate] = believe(network, evidence[rate], beliefs[first])
    strength = strengths(beliefs[first])
    rungs = [(limit, 1) for limit in LADDER] + [(limit, WIDER) for limit in COARSE]
    for limit, room in rungs:
        if least is not None and limit < least:
            continue
        out: list[tuple[float, float, Engine]] = []
        try:
            for rate in rates:
                if rate in beliefs:
                    thinned = thin(network, evidence[rate], beliefs[rate], strength, limit)
                    engine = _engine(thinned, report, room)
                    out.append((rate, engine.log_probability + thinned.log_scale, engine))
                else:
                    out.append((rate, out[0][1] + times_likelier[rate], out[-1][2]))
            return limit, strength, out
        except TooWide:
            continue
    raise AssertionError("where every link is deleted no table is wide")


def _times_likelier(
    first: Mapping[int, Likelihood], other: Mapping[int, Likelihood], beliefs: Messages
) -> float:
    """About ln of how many times likelier all answers are with the other likelihoods than with the first, by each
    answer given the rest (belief_propagation.py)."""
    return math.fsum(
        beliefs.by_the_rest(index, other[index]) - beliefs.by_the_rest(index, likelihood)
        for index, likelihood in first.items()
        if other[index] != likelihood
    )


def _engine(thinned: Thinned, report: frozenset[int], room: int) -> Engine:
    return Engine(thinned.network, thinned.evidence, report=report, entries=room * constants.ENTRIES)
