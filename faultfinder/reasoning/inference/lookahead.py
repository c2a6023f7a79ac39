"""What every possible answer to a finding not yet answered would do to every node.

For level k of a finding, P(node, finding <= k | evidence) is the present state with the parents' present
weights multiplied by push(<= k): one column (columns.py).
With c(k) = P(finding <= k | evidence), evidence of
likelihood l has
    P(l) = sum over k of (l(k) - l(k+1)) c(k),
and every node likewise. This is a difference where l rises with k, so the sum of the magnitudes is watched: where
it is more than MOST times the result (an answer less likely than about 1e-4 of its neighbours), the answer is
run as evidence instead.

A parent that is loose (see engine.py) is summed out: present weight r is  r + (1 - r) * absent,  and its absence
is a reweighting of its own parents. A loose node that is to be told of has its absence taken in beside each level.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from faultfinder.errors import TooWide
from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.reasoning.inference.algebra import blend
from faultfinder.reasoning.inference.barren_nodes import Term, expand, hangs_on
from faultfinder.reasoning.inference.columns import PLAIN, Key
from faultfinder.reasoning.inference.factors import check_likelihood
from faultfinder.reasoning.inference.network import Finding, ImpossibleEvidence

if TYPE_CHECKING:
    from faultfinder.reasoning.inference.engine import Engine

MOST = 1e4
"""Cancellation up to which a difference is taken (chosen: leaves at least 11 digits)."""

MOST_WORK = 400_000_000
"""Products beyond which an outlook is refused (chosen: about 10 s)."""

TERMS = 256
"""Parts into which the loose nodes may cut one level (chosen); `_most_parts` has the reason for fewer."""


class Outcome(NamedTuple):
    """What one possible answer would do.

    probability: of that answer, given the evidence so far; for a likelihood, sum over levels l(k) P(k).
    base: P(present) now of every node to be reported; changed: of those that the answer bears on, after it.
    """

    probability: float
    base: Mapping[int, float]
    changed: Mapping[int, float]

    def after(self, node: int) -> float:
        """P(present) of a node after the answer; where its probability is 0, what it is now. Raises KeyError for one
        that was not to be reported."""
        return self.changed[node] if node in self.changed else self.base[node]


class _Plan(NamedTuple):
    """The parts of P(finding <= k) for every level but the last, and for some loose nodes the parts of the same
    with that node absent."""

    terms: list[Term]
    absent: dict[int, list[Term]]


def outlook(engine: Engine, candidates: Mapping[int, Sequence[Likelihood]]) -> dict[int, list[Outcome]]:
    """See Engine.outlook."""
    plans: dict[int, _Plan | None] = {}
    most = _most_parts(engine)
    for index, likelihoods in candidates.items():
        finding = engine.network.findings[index]
        for likelihood in likelihoods:
            check_likelihood(index, finding, likelihood)
        plans[index] = _plan(engine, finding, most)
    wanted = _columns([term for plan in plans.values() if plan for term in plan.terms])
    work = sum([3 * engine.pieces[number].tape.terms * len(keys) for number, keys in wanted.items()])
    if work > MOST_WORK:
        raise TooWide(
            f"to say what {len(candidates)} answers would do takes about {work:.1e} products, more than the "
            f"{MOST_WORK:.1e} allowed: ask for fewer at a time"
        )
    for number, keys in wanted.items():
        engine.pieces[number].need(keys)
    _totals(engine, [t for plan in plans.values() if plan for terms in plan.absent.values() for t in terms])
    base = engine.reported()
    return {
        index: _outcomes(engine, index, plans[index], likelihoods, base)
        for index, likelihoods in candidates.items()
    }


def chances_of_none(engine: Engine, groups: Sequence[Collection[int]]) -> list[float]:
    """For each group of nodes P(none of them is present | evidence), loose ones summed out."""
    plans = []
    for group in groups:
        terms = expand(engine, 0, 1.0, dict.fromkeys(group, 0.0), TERMS)
        if terms is None:
            try:
                return chances_of_none(engine.keeping(range(len(engine.network.nodes))), groups)
            except TooWide:
                # All nodes in the tables at once is too wide; those of each group alone are less so.
                return [chances_of_none(engine.keeping(each), [each])[0] for each in groups]
        plans.append(terms)
    _totals(engine, [term for terms in plans for term in terms])
    return [math.fsum([_weigh(engine, term).share for term in terms]) for terms in plans]


def _columns(terms: Iterable[Term]) -> dict[int, set[Key]]:
    """Piece -> the columns that these parts consist of."""
    wanted: dict[int, set[Key]] = {}
    for term in terms:
        for number, factors in term.pieces.items():
            wanted.setdefault(number, set()).update(key for _, key in _mixture(factors))
    return wanted


def _totals(engine: Engine, terms: Iterable[Term]) -> None:
    """Have the totals of all columns that these parts consist of."""
    for number, keys in _columns(terms).items():
        engine.pieces[number].need_totals(keys)


def _most_parts(engine: Engine) -> int:
    """Parts of one level from which on a run with the finding as evidence is cheaper than a column a part."""
    return min(TERMS, 20 + 400_000 // (1 + engine.terms))


def _plan(engine: Engine, finding: Finding, most: int) -> _Plan | None:
    """The parts of a finding; None where there would be too many."""
    terms: list[Term] = []
    levels: list[tuple[float, dict[int, float]]] = []
    background = 0.0
    cumulative = {node: 0.0 for node, push in finding.parents if push[0] != 1.0}
    for level in range(finding.levels - 1):
        background += finding.background[level]
        for node, push in finding.parents:
            if node in cumulative:
                cumulative[node] += push[level]
        weights = {node: min(1.0, factor) for node, factor in cumulative.items()}
        levels.append((min(1.0, background), weights))
        made = expand(engine, level, min(1.0, background), weights, most)
        if made is None:
            return None
        terms += made
    absent: dict[int, list[Term]] = {}
    pieces, outside = hangs_on(engine, cumulative)
    for node in engine.loose:
        its_pieces, its_outside = hangs_on(engine, [node])
        if pieces.isdisjoint(its_pieces) and outside.isdisjoint(its_outside):
            continue
        absent[node] = []
        for level, (share, weights) in enumerate(levels):
            made = expand(engine, level, share, {**weights, node: 0.0}, TERMS)
            if made is None:
                return None
            absent[node] += made
    return _Plan(terms, absent)


def _mixture(factors: Mapping[int, float]) -> list[tuple[float, Key]]:
    """A reweighting as a non-negative mixture of columns, such that few different columns serve many findings:
    a factor r on one node is  r * (as it is) + (1 - r) * (that node absent)."""
    if len(factors) == 1:
        ((position, factor),) = factors.items()
        parts = ((factor, PLAIN), (1.0 - factor, ((position, 0.0),)))
        return [(share, key) for share, key in parts if share > 0.0]
    return [(1.0, tuple(sorted(factors.items())))]


class _Part(NamedTuple):
    """A term with its number: share = P(that part | evidence); mixtures: piece -> columns, each with its weight
    divided by the total of the mixture; alone: node -> P(present) under it."""

    level: int
    share: float
    mixtures: dict[int, list[tuple[float, Key]]]
    alone: dict[int, float]


def _weigh(engine: Engine, term: Term) -> _Part:
    share = term.coefficient
    mixtures: dict[int, list[tuple[float, Key]]] = {}
    for number, factors in term.pieces.items():
        solved = engine.pieces[number]
        mixture = _mixture(factors)
        total = sum([weight * solved.totals[key] for weight, key in mixture])
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
    plan: _Plan | None,
    likelihoods: Sequence[Likelihood],
    base: Mapping[int, float],
) -> list[Outcome]:
    if plan is None:
        return _outcomes_by_level(engine, index, likelihoods, base)
    parts = [part for term in plan.terms if (part := _weigh(engine, term)).share > 0.0]
    missing = {node: [_weigh(engine, term) for term in terms] for node, terms in plan.absent.items()}
    touched = sorted({number for part in parts for number in part.mixtures})
    nodes = sorted({node for part in parts for node in part.alone}.intersection(engine.report))
    made = []
    for likelihood in likelihoods:
        steps = [a - b for a, b in zip(likelihood, likelihood[1:], strict=False)]
        probability, weights = _weights([steps[part.level] * part.share for part in parts], likelihood[-1])
        if not probability:
            made.append(_run(engine, index, likelihood, base))
            continue
        plain = likelihood[-1] / probability
        changed = {}
        for node in nodes:
            now = engine.alone[node]
            after = plain * now
            for weight, part in zip(weights, parts, strict=True):
                after += weight * part.alone.get(node, now)
            changed[node] = after
        for node, lacking in missing.items():
            away = sum([steps[part.level] * part.share for part in lacking])
            changed[node] = 1.0 - away / probability - plain * (1.0 - base[node])
        for number in touched:
            changed.update(_changed_in(engine, number, weights, parts, plain))
        made.append(Outcome(probability, base, _bounded(changed)))
    return made


def _outcomes_by_level(
    engine: Engine, index: int, likelihoods: Sequence[Likelihood], base: Mapping[int, float]
) -> list[Outcome]:
    """The same where the loose parents are too many to sum out: "at most level k" is run as evidence."""
    levels = engine.network.findings[index].levels
    upto = [tuple([1.0 if k <= level else 0.0 for k in range(levels)]) for level in range(levels - 1)]
    runs = [_run(engine, index, each, base) for each in upto]
    rows = [[run.after(node) for node in base] for run in runs] + [list(base.values())]
    made = []
    for likelihood in likelihoods:
        steps = zip(likelihood, likelihood[1:], runs, strict=False)
        last = likelihood[-1]
        probability, weights = _weights([(a - b) * run.probability for a, b, run in steps], last)
        if probability:
            row = blend([*weights, last / probability], rows)
            made.append(Outcome(probability, base, _bounded(dict(zip(base, row, strict=True)))))
        else:
            made.append(_run(engine, index, likelihood, base))
    return made


def _weights(shares: Sequence[float], last: float) -> tuple[float, list[float]]:
    """The sum of these, and each as a share of it, but the last; 0 and none where too much cancels."""
    probability = math.fsum([*shares, last])
    if not probability * MOST > sum(map(abs, shares)) + last:
        return 0.0, []
    return probability, [share / probability for share in shares]


def _bounded(chances: Mapping[int, float]) -> dict[int, float]:
    return {node: min(1.0, max(0.0, chance)) for node, chance in chances.items()}


def _changed_in(
    engine: Engine, number: int, weights: Sequence[float], parts: Sequence[_Part], plain: float
) -> dict[int, float]:
    """P(present) of the reported nodes of one piece after an answer."""
    solved = engine.pieces[number]
    mix: dict[Key, float] = {PLAIN: plain}
    for weight, part in zip(weights, parts, strict=True):
        for share, key in part.mixtures.get(number, ((1.0, PLAIN),)):
            mix[key] = mix.get(key, 0.0) + weight * share
    nodes = [solved.piece.nodes[position] for position in solved.report]
    row = blend(list(mix.values()), [solved.row(key) for key in mix])
    return dict(zip(nodes, row, strict=True))


def _run(engine: Engine, index: int, likelihood: Likelihood, base: Mapping[int, float]) -> Outcome:
    """An answer run as evidence. Where the engine just fits its limit, one more finding does not: it has room."""
    try:
        after = engine.with_evidence({**engine.evidence, index: likelihood})
    except ImpossibleEvidence:
        return Outcome(0.0, base, {})
    return Outcome(math.exp(after.log_probability - engine.log_probability), base, after.reported())
