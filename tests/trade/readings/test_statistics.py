"""The normal distribution in its middle and in its tails."""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.inputs import FormulaError
from faultfinder.trade.readings.statistics import phi, phi_between, z_of


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


def test_the_chance_between_two_limits_does_not_cancel_far_out() -> None:
    assert phi_between(8, 9) == pytest.approx(phi_between(-9, -8))
    assert phi_between(8, 9) > 6e-16
    assert phi_between(-math.inf, math.inf) == 1
    assert phi_between(1, 1) == 0
    assert phi_between(2, 1) == 0


def test_z_is_the_inverse_of_phi() -> None:
    for probability in (1e-12, 0.025, 0.5, 0.8, 1 - 1e-9):
        assert phi(z_of(probability)) == pytest.approx(probability, rel=1e-9)
    assert z_of(0.5) == pytest.approx(0, abs=1e-12)
    for probability in (0.0, 1.0, -1.0, math.nan):
        with pytest.raises(FormulaError):
            z_of(probability)
