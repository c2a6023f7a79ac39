"""The normal distribution, as much of it as readings need."""

from __future__ import annotations

import math

from faultfinder.trade.inputs import within

_ROOT2 = math.sqrt(2.0)


def phi(z: float) -> float:
    """The chance that a standard normal value is below z; exact in both tails (phi(-inf) = 0, phi(inf) = 1).

    Source: definition through erfc, which keeps the relative accuracy of the lower tail down to z = -37.
    """
    return 0.5 * math.erfc(-z / _ROOT2)


def phi_between(low: float, high: float) -> float:
    """The chance that a standard normal value is in low..high; no cancellation when both are far out."""
    if low > 0:
        low, high = -high, -low
    return max(0.0, phi(high) - phi(low))


def z_of(probability: float) -> float:
    """The z with phi(z) = probability, 0 < probability < 1. Raises FormulaError outside.

    Bisection on phi: slow and sure, good to 1e-12.
    """
    within("the probability", probability, 0.0, 1.0, above=True, below=True)
    if probability > 0.5:
        return -z_of(1.0 - probability)
    low, high = -40.0, 0.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if phi(middle) < probability else (low, middle)
    return (low + high) / 2
