"""What it costs to be wrong, in minutes: the measure by which steps are chosen.

For each cause, leaving it costs `p * minutes lost if missed`; putting it right for nothing costs
`(1 - p) * (minutes of work + price of the part in minutes)`. The better of the two is its *regret*. A step is
worth the expected fall of the summed regret; its price is the minutes it takes. Both are minutes, so a person
can be told "2 minutes, expected to save 14".

A cause that can burn or shock counts its minutes lost five times (chosen): being wrong about it costs more
than a second visit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import mul

from faultfinder.knowledge.model import Cause

GRAVE_FACTOR = 5.0
"""How many times `if_missed` counts where the hazard is fire or shock; chosen."""
GRAVE_SETTLED = 0.02
"""A grave cause is settled only below this chance, or proved; chosen."""


@dataclass(frozen=True, slots=True)
class Price:
    """Minutes lost when the cause is missed, and minutes spent when it is put right for nothing."""

    missed: float
    for_nothing: float

    def regret(self, p: float) -> float:
        """Expected minutes lost by the better of leaving it and putting it right, at probability p."""
        return min(p * self.missed, (1.0 - p) * self.for_nothing)

    def mend_gain(self, p: float) -> float:
        """Expected minutes gained by putting it right instead of leaving it; negative: leave it."""
        return p * self.missed - (1.0 - p) * self.for_nothing


def price_of(cause: Cause) -> Price:
    factor = GRAVE_FACTOR if cause.hazard.grave else 1.0
    return Price(cause.if_missed * factor, cause.minutes + cause.part_costs)


def prices(causes: Iterable[Cause]) -> dict[str, Price]:
    return {cause.id: price_of(cause) for cause in causes}


def total_regret(confidence: Mapping[str, float], price: Mapping[str, Price]) -> float:
    """Summed regret over the causes that have a price, in minutes."""
    return sum(cost.regret(confidence[name]) for name, cost in price.items() if name in confidence)


def worth_of(
    before: float,
    answers: Sequence[tuple[float, Mapping[str, float]]],
    price: Mapping[str, Price],
) -> float:
    """Expected fall of the summed regret, in minutes (never below 0 but for rounding).

    `answers` holds for each possible answer its probability and every cause's probability after it.
    """
    missed = [cost.missed for cost in price.values()]
    for_nothing = [cost.for_nothing for cost in price.values()]
    after = 0.0
    for chance, posterior in answers:
        present = [posterior[name] for name in price]
        absent = [1.0 - p for p in present]
        after += chance * sum(map(min, map(mul, present, missed), map(mul, absent, for_nothing)))
    return max(0.0, before - after)
