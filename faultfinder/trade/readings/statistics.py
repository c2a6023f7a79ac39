"""The normal distribution, as much of it as readings need."""

from __future__ import annotations

import math

_ROOT2 = math.sqrt(2.0)


def phi(z: float) -> float:
    """The chance that a standard normal value is below z; exact in both tails (phi(-inf) = 0, phi(inf) = 1).

    Source: definition through erfc, which keeps the relative accuracy of the lower tail down to z = -37.
    """
    return 0.5 * math.erfc(-z / _ROOT2)
