"""What every possible answer to a finding not yet answered would do to every node.

For level k of a finding, P(node, finding <= k | evidence) is the present state with the parents' present
weights multiplied by push(<= k): one column (columns.py). With c(k) = P(finding <= k | evidence), evidence of
likelihood l has
    P(l) = sum over k of (l(k) - l(k+1)) c(k),
and every node likewise. This is a difference where l rises with k, so the sum of the magnitudes is watched: where
it is more than MOST times the result (an answer less likely than about 1e-4 of its neighbours), the answer is
run as evidence instead.

A parent that is loose (see engine.py) is summed out: present weight r is  r + (1 - r) * absent,  and its absence
is a reweighting of its own parents.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple, overload

from faultfinder.reasoning.algebra import blend
from faultfinder.reasoning.clash import ImpossibleEvidence
from faultfinder.reasoning.columns import carry
from faultfinder.reasoning.factors import check_likelihood
from faultfinder.reasoning.network import Finding, Likelihood

if TYPE_CHECKING:
    from faultfinder.reasoning.engine import Engine, Solved

MOST = 1e4
"""Cancellation up to which a difference is taken (chosen: leaves at least 11 digits)."""

TERMS = 256
"""Terms to which loose parents may multiply one level before the answer is run as evidence instead (chosen)."""

Key = tuple[tuple[int, float], ...]
PLAIN: Key = ()


class Posterior(Sequence[float]):
    """P(present) of every node after an answer: what stands now, with what the answer changes laid over it.

    A node that the engine was not asked to report raises LookupError.
    """

    __slots__ = ("_base", "_engine", "_own", "_rows")

    def __init__(
        self,
        engine: Engine,
        base: Sequence[float],
        own: Mapping[int, float],
        rows: Mapping[int, Sequence[float]],
    ) -> None:
        self._engine = engine
        self._base = base
        self._own = own
        self._rows = rows

    def __len__(self) -> int:
        return len(self._base)

    @overload
    def __getitem__(self, index: int) -> float: ...

    @overload
    def __getitem__(self, index: slice) -> list[float]: ...

    def __getitem__(self, index: int | slice) -> float | list[float]:
        if isinstance(index, slice):
            return [self[i] for i in range(*index.indices(len(self)))]
        if index < 0:
            index += len(self)
        if index in self._own:
            return self._own[index]
        place = self._engine.row_place.get(index)
        if place is None:
            if index not in self._engine.report:
                raise LookupError(f"node {index} was not to be reported")
            return self._base[index]
        row = self._rows.get(place[0])
        return self._base[index] if row is None else row[place[1]]

    def __iter__(self) -> Iterator[float]:
        return (self[index] for index in range(len(self)))

    def changed(self) -> dict[int, float]:
        """Only the nodes that the answer bears on."""
        found = dict(self._own)
        for number, row in self._rows.items():
            solved = self._engine.pieces[number]
            found.update(zip([solved.piece.nodes[at] for at in solved.report], row, strict=True))
        return found


class Outcome(NamedTuple):
    """What one possible answer would do.

    probability: of that answer, given the evidence so far; for a likelihood, sum over levels l(k) P(k).
    posterior: P(present) of every node after it; where probability is 0, what it is now.
    """

    probability: float
    posterior: Sequence[float]


class _Term(NamedTuple):
    """One non-negative part of P(finding <= level): coefficient, and factors on the present weights of nodes by
    piece number and position, or by node for nodes that stand alone."""

    level: int
    coefficient: float
    pieces: dict[int, dict[int, float]]
    alone: dict[int, float]


def outlook(engine: Engine, candidates: Mapping[int, Sequence[Likelihood]]) -> dict[int, list[Outcome]]:
    """See Engine.outlook."""
    plans: dict[int, list[_Term] | None] = {}
    wanted: dict[int, dict[Key, None]] = {}
    for index, likelihoods in candidates.items():
        finding = engine.network.findings[index]
        for likelihood in likelihoods:
            check_likelihood(index, finding, likelihood)
        plans[index] = terms = _terms(engine, finding)
        for term in terms or ():
            for number, factors in term.pieces.items():
                keys = wanted.setdefault(number, {})
                for _, key in _mixture(factors, finding.levels):
                    if key:
                        keys[key] = None
    for number, keys in wanted.items():
        _carry(engine.pieces[number], list(keys))
    base = engine.posterior()
    return {
        index: _outcomes(engine, index, plans[index], likelihoods, base)
        for index, likelihoods in candidates.items()
    }


def loose_present(engine: Engine, nodes: Sequence[int]) -> list[float]:
    """P(present | evidence) of loose nodes."""
    plans = [_expand(engine, 0, 1.0, {node: 0.0}, 1 << 16) or [] for node in nodes]
    _totals(engine, [term for terms in plans for term in terms])
    return [max(0.0, 1.0 - math.fsum(_weigh(engine, term, 2).share for term in terms)) for terms in plans]


def _totals(engine: Engine, terms: Sequence[_Term]) -> None:
    """Have the totals of all columns that these parts consist of."""
    wanted: dict[int, dict[Key, None]] = {}
    for term in terms:
        for number, factors in term.pieces.items():
            for _, key in _mixture(factors, 2):
                if key:
                    wanted.setdefault(number, {})[key] = None
    for number, keys in wanted.items():
        solved = engine.pieces[number]
        new = sorted(key for key in keys if key not in solved.totals)
        if new:
            made, _ = carry(solved.tape, solved.run, solved.back, solved.present, [dict(key) for key in new], ())
            solved.totals.update(zip(new, made, strict=True))


def _terms(engine: Engine, finding: Finding) -> list[_Term] | None:
    """The parts of P(finding <= k) for every level but the last; None where there would be too many."""
    terms: list[_Term] = []
    background = 0.0
    cumulative = {node: 0.0 for node, push in finding.parents if push[0] != 1.0}
    for level in range(finding.levels - 1):
        background += finding.background[level]
        for node, push in finding.parents:
            if node in cumulative:
                cumulative[node] += push[level]
        weights = {node: min(1.0, factor) for node, factor in cumulative.items()}
        made = _expand(engine, level, min(1.0, background), weights, TERMS)
        if made is None:
            return None
        terms += made
    return terms


def _expand(
    engine: Engine, level: int, coefficient: float, weights: dict[int, float], most: int
) -> list[_Term] | None:
    """Sum the loose nodes out of a reweighting."""
    parts = [(coefficient, weights)]
    place, alone = engine.place, engine.alone
    while True:
        loose = {n for _, those in parts for n in those if n not in place and n not in alone}
        if not loose:
            break
        node = engine.last_of(loose)
        law = engine.network.nodes[node]
        made = []
        for weight, those in parts:
            if node not in those:
                made.append((weight, those))
                continue
            factor = those[node]
            rest = {other: r for other, r in those.items() if other != node}
            if weight * factor > 0.0:
                made.append((weight * factor, rest))
            if factor < 1.0 and law.leak < 1.0:
                away = dict(rest)
                for parent, link in law.parents:
                    away[parent] = away.get(parent, 1.0) * (1.0 - link)
                made.append((weight * (1.0 - factor) * (1.0 - law.leak), away))
        if len(made) > most:
            return None
        parts = made
    terms = []
    for weight, those in parts:
        pieces: dict[int, dict[int, float]] = {}
        single: dict[int, float] = {}
        for node, factor in those.items():
            if factor == 1.0:
                continue
            if node in place:
                number, position = place[node]
                pieces.setdefault(number, {})[position] = factor
            else:
                single[node] = factor
        terms.append(_Term(level, weight, pieces, single))
    return terms


def _mixture(factors: Mapping[int, float], levels: int) -> list[tuple[float, Key]]:
    """A reweighting as a non-negative mixture of columns, such that few different columns serve many findings:
    a factor r on one node is  r * (as it is) + (1 - r) * (that node absent)."""
    if len(factors) == 1 or (len(factors) == 2 and levels > 2):
        mixture: list[tuple[float, Key]] = [(1.0, PLAIN)]
        for position, factor in sorted(factors.items()):
            mixture = [
                (weight * share, key + extra)
                for weight, key in mixture
                for share, extra in ((factor, PLAIN), (1.0 - factor, ((position, 0.0),)))
                if share > 0.0
            ]
        return mixture
    return [(1.0, tuple(sorted(factors.items())))]


def _carry(solved: Solved, keys: Sequence[Key]) -> None:
    """Carry those columns that were not carried before."""
    new = sorted(key for key in keys if key not in solved.rows)
    if new:
        totals, rows = carry(
            solved.tape, solved.run, solved.back, solved.present, [dict(key) for key in new], solved.report
        )
        solved.totals.update(zip(new, totals, strict=True))
        solved.rows.update(zip(new, rows, strict=True))


def _total(solved: Solved, key: Key) -> float:
    return solved.totals[key] if key else 1.0


class _Part(NamedTuple):
    """A term with its number: share = P(that part | evidence); mixtures: piece -> columns, each with its weight
    divided by the total of the mixture; alone: node -> P(present) under it."""

    level: int
    share: float
    mixtures: dict[int, list[tuple[float, Key]]]
    alone: dict[int, float]


def _weigh(engine: Engine, term: _Term, levels: int) -> _Part:
    share = term.coefficient
    mixtures: dict[int, list[tuple[float, Key]]] = {}
    for number, factors in term.pieces.items():
        solved = engine.pieces[number]
        mixture = _mixture(factors, levels)
        total = sum(weight * _total(solved, key) for weight, key in mixture)
        share *= total
        if total > 0.0:
            mixtures[number] = [(weight / total, key) for weight, key in mixture]
    alone = {}
    for node, factor in term.alone.items():
        present = engine.alone[node]
        total = 1.0 - present + present * factor
        share *= total
        alone[node] = present * factor / total if total > 0.0 else 0.0
    return _Part(term.level, share, mixtures, alone)


def _outcomes(
    engine: Engine,
    index: int,
    terms: list[_Term] | None,
    likelihoods: Sequence[Likelihood],
    base: Sequence[float],
) -> list[Outcome]:
    finding = engine.network.findings[index]
    if terms is None:
        return [_run(engine, index, likelihood, base) for likelihood in likelihoods]
    parts = [part for term in terms if (part := _weigh(engine, term, finding.levels)).share > 0.0]
    touched = sorted({number for part in parts for number in part.mixtures})
    nodes = sorted({node for part in parts for node in part.alone})
    made = []
    for likelihood in likelihoods:
        steps = [a - b for a, b in zip(likelihood, likelihood[1:], strict=False)]
        shares = [steps[part.level] * part.share for part in parts]
        last = likelihood[-1]
        probability = math.fsum(shares) + last
        if not probability * MOST > sum(map(abs, shares)) + last:
            made.append(_run(engine, index, likelihood, base))
            continue
        weights = [share / probability for share in shares]
        plain = last / probability
        own = {}
        for node in nodes:
            now = engine.alone[node]
            after = plain * now
            for weight, part in zip(weights, parts, strict=True):
                after += weight * part.alone.get(node, now)
            own[node] = min(1.0, max(0.0, after))
        rows = {n: _row(engine.pieces[n], n, weights, parts, plain) for n in touched}
        made.append(Outcome(probability, Posterior(engine, base, own, rows)))
    return made


def _row(
    solved: Solved, number: int, weights: Sequence[float], parts: Sequence[_Part], plain: float
) -> Sequence[float]:
    """P(present) of the reported nodes of one piece after an answer."""
    mix: dict[Key, float] = {PLAIN: plain}
    for weight, part in zip(weights, parts, strict=True):
        for share, key in part.mixtures.get(number, ((1.0, PLAIN),)):
            mix[key] = mix.get(key, 0.0) + weight * share
    row = blend(list(mix.values()), [solved.rows[key] if key else solved.plain_row for key in mix])
    if row and (min(row) < 0.0 or max(row) > 1.0):
        return [min(1.0, max(0.0, value)) for value in row]
    return row


def _run(engine: Engine, index: int, likelihood: Likelihood, base: Sequence[float]) -> Outcome:
    """An answer run as evidence."""
    try:
        after = engine.with_evidence({**engine.evidence, index: likelihood})
    except ImpossibleEvidence:
        return Outcome(0.0, Posterior(engine, base, {}, {}))
    probability = math.exp(after.log_probability - engine.log_probability)
    return Outcome(probability, Posterior(after, after.posterior(), {}, {}))
