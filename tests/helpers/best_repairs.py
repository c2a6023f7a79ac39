"""The best course of tests and remedies on a very small pack, by exhaustive dynamic programming.

As best_policy.py, but remedies are moves: putting something right costs its minutes and part where it was not
faulty, and what is left as it is at the end costs its `if_missed`. What bears on a test can be looked at again once
something was put right, the complaint by running the machine. A remedy always takes here. States are the answers with
what had been put right when they were given, so only a few causes and tests can be had.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from best_policy import (
    ENOUGH,
    GRAVE_COUNTS,
    LIKELY_ENOUGH,
    START,
    Place,
    for_nothing,
    inside,
    on_a_guess,
    said_chances,
    way,
)
from enumeration import worlds

from faultfinder.knowledge.model import Need, Pack

Answered = tuple[tuple[str, frozenset[str], str], ...]
"""(observation, what had been put right, answer), in the order given."""


@dataclass(frozen=True)
class Moment:
    """Where a job stands. steps: what was done in order: (observation, answer), or (cause, "") for a remedy."""

    answered: Answered
    mended: frozenset[str]
    at: Place
    steps: tuple[tuple[str, str], ...] = ()


Choose = Callable[[Moment], str]
"""What to do next: an observation, a cause to put right, or ENOUGH."""


class Course:
    """A small pack with what was told at the start."""

    def __init__(self, pack: Pack, told: Mapping[str, str]) -> None:
        self.pack = pack
        self.worlds = worlds(pack, {})
        self.told = told
        self.start = np.array([weight for _, weight in self.worlds])
        for name, answer in told.items():
            self.start = self.start * self._column(name, frozenset(), answer)
        self.start = self.start / self.start.sum()
        self.has = {
            name: np.array([name in there for there, _ in self.worlds], float) for name in pack.causes
        }
        self.sound = np.array([not inside(pack) & there for there, _ in self.worlds], float)
        self.shown: dict[str, set[str]] = {}
        """Cause -> what it shows in, itself or by what it brings on."""
        for name in reversed(list(pack.causes)):
            below = [other.id for other in pack.causes.values() if name in other.brought_on_by]
            self.shown[name] = set(pack.causes[name].shows).union(*(self.shown[other] for other in below))
        self._columns: dict[tuple[str, frozenset[str], str], np.ndarray] = {}
        self._best: dict[tuple[frozenset[tuple[str, frozenset[str], str]], frozenset[str], Place], float] = {}

    def _column(self, name: str, mended: frozenset[str], answer: str) -> np.ndarray:
        level = self.pack.observations[name].index(answer)
        return np.array([said_chances(self.pack, name, there - mended)[level] for there, _ in self.worlds])

    def column(self, name: str, mended: frozenset[str], answer: str) -> np.ndarray:
        """P(that answer), by what was there at the beginning, once some of it was put right."""
        key = name, mended, answer
        if key not in self._columns:
            self._columns[key] = self._column(name, mended, answer)
        return self._columns[key]

    def begin(self) -> Moment:
        return Moment(
            tuple((name, frozenset(), answer) for name, answer in self.told.items()), frozenset(), START
        )

    def ending(self, weights: np.ndarray, moment: Moment) -> float:
        """Minutes lost by what is left as it is, times the chance of having come here."""
        return sum(
            float(weights @ self.has[name]) * cause.if_missed * (GRAVE_COUNTS if cause.hazard.grave else 1.0)
            for name, cause in self.pack.causes.items()
            if name not in moment.mended
        )

    def can_ask(self, moment: Moment) -> list[str]:
        """Tests not made yet, or made before something was put right that shows in them."""
        last = {name: mended for name, mended, _ in moment.answered}
        return [
            name
            for name in self.pack.observations
            if name not in last or any(name in self.shown[cause] for cause in moment.mended - last[name])
        ]

    def ask(
        self, weights: np.ndarray, moment: Moment, name: str
    ) -> tuple[float, list[tuple[np.ndarray, Moment]]]:
        """Price of a test, and what follows each answer."""
        item = self.pack.observations[name]
        need = Need.IN_USE if item.symptom and moment.mended else item.need
        goal, price = self._way(weights, moment, need)
        out = []
        for answer in item.answers:
            column = self.column(name, moment.mended, answer.id)
            said = (name, moment.mended, answer.id)
            kept = tuple(each for each in moment.answered if each[:2] != said[:2])
            steps = (*moment.steps, (name, answer.id))
            out.append((weights * column, Moment((*kept, said), moment.mended, goal, steps)))
        return price + item.minutes * float(weights.sum()), out

    def mend(self, weights: np.ndarray, moment: Moment, name: str) -> tuple[float, Moment]:
        """Price of a remedy, and what follows."""
        cause = self.pack.causes[name]
        goal, price = self._way(weights, moment, cause.remedy_need)
        wasted = float(weights @ (1.0 - self.has[name])) * for_nothing(cause)
        steps = (*moment.steps, (name, ""))
        return price + wasted, Moment(moment.answered, moment.mended | {name}, goal, steps)

    def may_mend(self, weights: np.ndarray, name: str) -> bool:
        """Whether it is likely enough to be put right, and pays by itself: a rule of conduct, held to by the best
        course as by the engine. Nothing is put right only to be allowed to ask again."""
        cause = self.pack.causes[name]
        total, there = float(weights.sum()), float(weights @ self.has[name])
        missed = cause.if_missed * (GRAVE_COUNTS if cause.hazard.grave else 1.0)
        least = 1e-9 if on_a_guess(cause) else LIKELY_ENOUGH
        return there >= least * total and there * missed >= (total - there) * for_nothing(cause)

    def _way(self, weights: np.ndarray, moment: Moment, need: Need) -> tuple[Place, float]:
        there = way(self.pack, need, moment.at)
        return there.goal, there.minutes * float(weights.sum()) + there.in_vain * float(weights @ self.sound)

    def least(self) -> float:
        """Expected minutes of the best course."""
        return self._least(self.start, self.begin())

    def _least(self, weights: np.ndarray, moment: Moment) -> float:
        key = frozenset(moment.answered), moment.mended, moment.at
        if key in self._best:
            return self._best[key]
        best = self.ending(weights, moment)
        # Nothing can cost less than nothing: a branch is left as soon as it costs more than the best so far.
        for name in self.pack.causes:
            if name not in moment.mended and self.may_mend(weights, name):
                price, after = self.mend(weights, moment, name)
                if price < best:
                    best = min(best, price + self._least(weights, after))
        for name in self.can_ask(moment):
            cost, branches = self.ask(weights, moment, name)
            for share, after in branches:
                if cost >= best:
                    break
                cost += self._least(share, after)
            best = min(best, cost)
        self._best[key] = best
        return best

    def cost_of(self, choose: Choose) -> float:
        """Expected minutes of a way of working."""
        return self._spend(self.start, self.begin(), choose)

    def _spend(self, weights: np.ndarray, moment: Moment, choose: Choose) -> float:
        if weights.sum() <= 0.0:
            return 0.0
        name = choose(moment)
        if name == ENOUGH:
            return self.ending(weights, moment)
        if name in self.pack.causes:
            price, after = self.mend(weights, moment, name)
            return price + self._spend(weights, after, choose)
        price, branches = self.ask(weights, moment, name)
        return price + sum(self._spend(share, after, choose) for share, after in branches)
