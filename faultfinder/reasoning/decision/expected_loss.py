"""What it costs to be wrong, in minutes: the currency in which steps are chosen.

For each cause, leaving it costs `p * minutes lost if missed`; putting it right for nothing costs
`(1 - p) * (minutes of work + price of the part in minutes + a second visit)`: with a part on it that was not
wanted, the visit ends without the one that is, and the customer has to be told. The better of the two is its
*regret*, where it is likely enough to be put right at all. A person can be told "2 minutes, expected to save
14".

A cause that can burn or shock counts its minutes lost several times (chosen): being wrong about it costs more than a
second visit.
"""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.knowledge.model import Cause
from faultfinder.reasoning import constants


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

    def pays(self, p: float) -> bool:
        """Whether it is worth putting right at probability p."""
        return p >= self.least and self.mend_gain(p) > constants.TALK


def price_of(cause: Cause) -> Price:
    """What it costs to be wrong about a cause."""
    factor = constants.GRAVE_FACTOR if cause.hazard.grave else 1.0
    missed = cause.if_missed * factor
    if not cause.part_costs:
        return Price(missed, cause.minutes)
    return Price(missed, cause.minutes + cause.part_costs + cause.if_missed, constants.FOUND)
