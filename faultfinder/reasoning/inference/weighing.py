"""How a cause would stand with some of the answers only: the first so many, or all but one.

A run for each of them takes long where the answers are many. There messages (belief_propagation.py) say how it would
stand, passed on from one set of answers to the next; and only where an answer then moves the cause noticeably, or
runs of some of them say otherwise, the sets that it lies between are run.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from faultfinder.errors import TooWide
from faultfinder.reasoning import constants
from faultfinder.reasoning.inference.belief_propagation import Messages
from faultfinder.reasoning.inference.mixture import COARSE, Mixture
from faultfinder.reasoning.inference.network import ImpossibleEvidence
from faultfinder.reasoning.inference.unrolling import Built

FEW = 12
"""Answers up to which each set of them is run; chosen."""
NOTICED = 3.0
"""Decibans by which an answer moves a cause, as messages have it, from which on it is run. Chosen: below it messages
are right to a tenth or two."""
FINE = 1e-4
"""Strength below which links are deleted in such a run. Chosen: weights are right to some tenths of a deciban."""
SETTLED = (1e-4, 0.01)
"""Largest change of a chance, and as a share of its distance from certainty, at which messages count as settled;
chosen: 0.01 are 0.04 decibans."""


def log_odds(p: float) -> float:
    """Ten times the common logarithm of the odds; +-inf at certainty."""
    if p <= 0.0:
        return -math.inf
    if p >= 1.0:
        return math.inf
    return 10.0 * math.log10(p / (1.0 - p))


class Weighing:
    """The answers of one case, each weighed in the order given and left out by itself."""

    def __init__(self, built: Built, rate: float, about: Iterable[int] = ()) -> None:
        """rate: at which the person who answers errs, where runs are at one rate. about: nodes that will likely be
        asked about one after another, whose chances are worked out together."""
        self.built, self.rate, self.about = built, rate, frozenset(about)
        self.count = len(built.answers)
        self._known: dict[tuple[int, ...], dict[int, float]] = {}

    def ordered(self, node: int) -> list[float]:
        """What each answer adds to a node's log odds, in the order given: decibans. They add up."""
        if self.count <= FEW:
            return self._shared_out(node, [math.inf] * self.count, 0, self.count)
        told = [_difference(self._firsts[at + 1][node], self._firsts[at][node]) for at in range(self.count)]
        return self._shared_out(node, told, 0, self.count)

    def _shared_out(self, node: int, told: Sequence[float], first: int, last: int) -> list[float]:
        """The same of the answers from `first` to before `last`; told: as messages have it.

        Where runs say otherwise of all of them, or messages that one of them moves the node noticeably, each half is
        looked at by itself; else what messages leave over is shared out by their weights.
        """
        if first == last:
            return []
        change = self._run_between(node, tuple(range(first)), tuple(range(last)))
        if last - first == 1:
            return [change]
        some = told[first:last]
        left = change - math.fsum(some)
        if not math.isfinite(left) or abs(left) >= NOTICED or max(map(abs, some)) >= NOTICED:
            half = (first + last) // 2
            return self._shared_out(node, told, first, half) + self._shared_out(node, told, half, last)
        size = math.fsum(map(abs, some))
        return [each + left * abs(each) / size if size > 0.0 else each for each in some]

    def left_out(self, node: int) -> list[float]:
        """What a node's log odds lose where that answer alone is left out: decibans."""
        everything = tuple(range(self.count))
        out = []
        for at in everything:
            told = math.inf
            if self.count > FEW:
                told = _difference(self._firsts[-1][node], self._others[at][node])
            others = everything[:at] + everything[at + 1 :]
            out.append(self._run_between(node, others, everything) if abs(told) >= NOTICED else told)
        return out

    def first(self, number: int) -> Mapping[int, float]:
        """The chance of every node of the job's begin with the first so many answers (as messages have it, where they
        are many)."""
        nodes = self.built.begin.values()
        if self.count > FEW:
            return {node: self._firsts[number][node] for node in nodes}
        return self._run(tuple(range(number)), nodes)

    def _run_between(self, node: int, before: tuple[int, ...], after: tuple[int, ...]) -> float:
        return _difference(self._run(after, (node,))[node], self._run(before, (node,))[node])

    def _run(self, answers: tuple[int, ...], nodes: Collection[int]) -> dict[int, float]:
        """These nodes' chances with these answers only; 0 where they are impossible."""
        known = self._known.setdefault(answers, {})
        if not all(node in known for node in nodes):
            wanted = sorted(self.about.union(known, nodes))
            try:
                known.update(self._chances(self._with(answers), wanted))
            except ImpossibleEvidence:
                known.update(dict.fromkeys(wanted, 0.0))
        return known

    def _chances(self, built: Built, nodes: Sequence[int]) -> dict[int, float]:
        """The chances of these nodes; where they take too wide a table, with stronger links deleted too."""
        few = self.count <= FEW
        rates = constants.ERROR_RATES if few else {self.rate: 1.0}
        for limit in (None if few else FINE, *(limit for limit in COARSE if limit > FINE)):
            try:
                return Mixture(built, (), least=limit, rates=rates).chances(nodes)
            except TooWide:
                continue
        raise AssertionError("where every link is deleted no table is wide")

    def _with(self, answers: Sequence[int]) -> Built:
        """The case with these answers only."""
        return replace(self.built, answers=tuple([self.built.answers[at] for at in answers]))

    @cached_property
    def _settled(self) -> Messages:
        messages = Messages(self.built.network, self.built.evidence_at(self.rate))
        messages.settle(*SETTLED)
        return messages

    @cached_property
    def _firsts(self) -> list[list[float]]:
        """Every node's chance with the first 0, 1, 2 ... answers, as messages have it."""
        messages = self._settled.apart()
        out = [messages.chances()]
        for at in range(self.count - 1, -1, -1):
            out.append(self._without(messages, range(at), at))
        return out[::-1]

    @cached_property
    def _others(self) -> list[list[float]]:
        """The same with all answers but one."""
        everything = range(self.count)
        return [
            self._without(self._settled.apart(), [other for other in everything if other != at], at)
            for at in everything
        ]

    def _without(self, messages: Messages, left: Sequence[int], gone: int) -> list[float]:
        finding, likelihood, _ = self.built.answers[gone]
        same = [at for at in left if self.built.answers[at][0] == finding]
        nothing = (1.0,) * len(likelihood)
        messages.weigh(finding, self._with(same).evidence_at(self.rate)[finding] if same else nothing)
        return messages.settle(*SETTLED)


def _difference(after: float, before: float) -> float:
    difference = log_odds(after) - log_odds(before)
    return 0.0 if math.isnan(difference) else difference
