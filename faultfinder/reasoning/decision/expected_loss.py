"""What it costs to be wrong, in minutes: the measure by which steps are chosen.

For each cause, leaving it costs `p * minutes lost if missed`; putting it right for nothing costs
`(1 - p) * (minutes of work + price of the part in minutes)`. The better of the two is its *regret*, where it is
likely enough to be put right at all. A step is worth the expected fall of the summed regret; its price is the
minutes it takes. Both are minutes, so a person can be told "2 minutes, expected to save 14".

What is mended behind the covers needs them off. The minutes that takes are lost only if nothing there is faulty,
like those of a remedy for nothing: so leaving all that is inside as it is stands against opening for it.

A cause that can burn or shock counts its minutes lost five times (chosen): being wrong about it costs more
than a second visit.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from faultfinder.knowledge.model import Cause, Need

GRAVE_FACTOR = 5.0
"""How many times `if_missed` counts where the hazard is fire or shock; chosen."""
GRAVE_SETTLED = 0.02
"""A grave cause is settled only below this chance, or proved; chosen."""
LIKELY_ENOUGH = 0.3
"""Below this chance nothing is put right that takes a part, much time or opening, whatever leaving it may cost: no
parts on a guess; chosen."""
WARIER, MOST_WARY = 0.15, 0.9
"""By how much that chance rises with every such remedy that turned out to be for nothing, and how far: what the
rules expected was wrong then, and the next guess is worth less; chosen."""
AS_LONG_AS_A_TEST = 10.0
"""Minutes; chosen."""


@dataclass(frozen=True, slots=True)
class Price:
    """Minutes lost when the cause is missed, and minutes spent when it is put right for nothing. least: the chance
    from which it may be put right; below it is left as it is."""

    missed: float
    for_nothing: float
    least: float = 0.0

    def regret(self, p: float) -> float:
        """Expected minutes lost by the better of leaving it and putting it right, at probability p."""
        return p * self.missed if p < self.least else min(p * self.missed, (1.0 - p) * self.for_nothing)

    def mend_gain(self, p: float) -> float:
        """Expected minutes gained by putting it right instead of leaving it; negative: leave it."""
        return p * self.missed - (1.0 - p) * self.for_nothing


def may_be_a_guess(cause: Cause) -> bool:
    """Whether its remedy takes no part, no opening and no more time than a test: it may be tried on a guess."""
    outside = cause.remedy_need is not Need.OPEN_DEAD
    return outside and cause.part_costs == 0.0 and cause.minutes <= AS_LONG_AS_A_TEST


def price_of(cause: Cause, for_nothing: int = 0) -> Price:
    """What it costs to be wrong about a cause; `for_nothing` remedies were carried out in this job that mended
    nothing."""
    factor = GRAVE_FACTOR if cause.hazard.grave else 1.0
    likely = min(MOST_WARY, LIKELY_ENOUGH + WARIER * for_nothing)
    least = 0.0 if may_be_a_guess(cause) else likely
    return Price(cause.if_missed * factor, cause.minutes + cause.part_costs, least)


def prices(causes: Iterable[Cause], for_nothing: int = 0) -> dict[str, Price]:
    return {cause.id: price_of(cause, for_nothing) for cause in causes}


def total_regret(confidence: Mapping[str, float], price: Mapping[str, Price]) -> float:
    """Summed regret over the causes that have a price, in minutes."""
    return sum(cost.regret(confidence[name]) for name, cost in price.items() if name in confidence)


@dataclass(frozen=True, slots=True)
class Opening:
    """What it takes to get behind the covers, and back: minutes that count whatever is found, and minutes that are
    lost only if nothing behind them is faulty. Infinite where it cannot be done."""

    sure: float
    in_vain: float


class Stakes:
    """What is at stake in a choice: the causes it is about with their prices, laid out for quick sums."""

    def __init__(self, price: Mapping[str, Price], inside: Collection[str], now: Mapping[str, float]) -> None:
        """`inside`: causes that are put right with the covers off. now: every cause's chance."""
        self.price = price
        self.outside_names = [name for name in price if name not in inside]
        self.inside_names = [name for name in price if name in inside]
        chances = [now[name] for name in self.inside_names]
        # The chance that nothing inside is faulty moves with the sum of the chances, so that looking first neither
        # lowers nor raises it in the mean.
        self._none = _none(chances) + math.fsum(chances)
        self._outside = _columns(price[name] for name in self.outside_names)
        self._inside = _columns(price[name] for name in self.inside_names)

    def left(self, chances: Mapping[str, float], opening: Opening | None) -> float:
        """Expected minutes lost if nothing more is asked; `opening` is what it takes to get inside from where one
        would stand, None where the covers are off."""
        outside = [chances[name] for name in self.outside_names]
        total = _least(outside, self._outside)
        if not self.inside_names:
            return total
        inside = [chances[name] for name in self.inside_names]
        mended = _least(inside, self._inside)
        if opening is None:
            return total + mended
        mended += opening.sure + opening.in_vain * self._in_vain(inside)
        return total + min(
            mended, sum([p * missed for p, (missed, _, _) in zip(inside, self._inside, strict=True)])
        )

    def in_vain(self, chances: Mapping[str, float]) -> float:
        """About the chance that nothing inside is faulty."""
        return self._in_vain([chances[name] for name in self.inside_names])

    def _in_vain(self, inside: Sequence[float]) -> float:
        return min(1.0, max(0.0, self._none - math.fsum(inside)))

    def fall(
        self,
        before: float,
        answers: Iterable[tuple[float, Mapping[str, float]]],
        opening: Opening | None,
    ) -> float:
        """Expected fall of what is left, in minutes (never below 0 but for rounding); `answers` holds for each
        possible answer its probability and every cause's chance after it."""
        after = sum([chance * self.left(posterior, opening) for chance, posterior in answers if chance > 0.0])
        return max(0.0, before - after)

    def regrets(self, chances: Mapping[str, float]) -> list[float]:
        """The regret of each cause by itself, those put right outside first."""
        outside = _each([chances[name] for name in self.outside_names], self._outside)
        return outside + _each([chances[name] for name in self.inside_names], self._inside)

    def shares(
        self,
        fall: float,
        before: Mapping[str, float],
        answers: Iterable[tuple[float, Mapping[str, float]]],
    ) -> tuple[float, ...]:
        """The fall as it comes to each cause, those put right outside first: in proportion to how far the regret of
        each falls in the mean."""
        falls = self.regrets(before)
        for chance, after in answers:
            if chance > 0.0:
                falls = [a - chance * b for a, b in zip(falls, self.regrets(after), strict=True)]
        falls = [max(0.0, each) for each in falls]
        total = math.fsum(falls)
        if total <= 0.0:
            # Only the opening is decided by it: no cause's share is more than another's.
            return tuple(fall / len(falls) for _ in falls)
        return tuple(each * fall / total for each in falls)

    def moved(
        self, before: Mapping[str, float], answers: Iterable[tuple[float, Mapping[str, float]]]
    ) -> float:
        """How far the answers move the causes in the mean, each move in the minutes that hang on its cause."""
        return sum(
            [
                chance * abs(after[name] - before[name]) * min(cost.missed, cost.for_nothing)
                for chance, after in answers
                for name, cost in self.price.items()
            ]
        )


def _none(chances: Sequence[float]) -> float:
    """About the chance that none of several faults is there, from the chance of each: half way between what it is
    where they arise independently and where there is one at the most. Over jobs on the first pack the exact chance
    lies between the two, within 0.05 of the middle."""
    return 0.5 * (math.prod([1.0 - p for p in chances]) + max(0.0, 1.0 - math.fsum(chances)))


def _columns(prices: Iterable[Price]) -> list[tuple[float, float, float]]:
    return [(cost.missed, cost.for_nothing, cost.least) for cost in prices]


def _each(present: Sequence[float], prices: Sequence[tuple[float, float, float]]) -> list[float]:
    """The regret of each."""
    out = []
    for p, (missed, for_nothing, least) in zip(present, prices, strict=True):
        leaving = p * missed
        mending = (1.0 - p) * for_nothing
        out.append(leaving if p < least or leaving < mending else mending)
    return out


def _least(present: Sequence[float], prices: Sequence[tuple[float, float, float]]) -> float:
    """Summed regret."""
    return sum(_each(present, prices))
