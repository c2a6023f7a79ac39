"""The normal distribution in its middle and in its tails."""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.readings.statistics import phi


@pytest.mark.parametrize(
    ("z", "expected"),
    [
        # Tables of the normal distribution; -8 and -20 from the asymptotic series.
        (0, 0.5),
        (1, 0.8413447460685429),
        (-1.96, 0.024997895148220435),
        (-8, 6.220960574271786e-16),
        (-20, 2.7536241186062337e-89),
        (-math.inf, 0),
        (math.inf, 1),
    ],
)
def test_phi_keeps_its_accuracy_in_the_tail(z: float, expected: float) -> None:
    assert phi(z) == pytest.approx(expected, rel=1e-12)


def test_phi_agrees_with_the_standard_library() -> None:
    from statistics import NormalDist

    for step in range(-40, 41):
        assert phi(step / 10) == pytest.approx(NormalDist().cdf(step / 10), abs=1e-15)
