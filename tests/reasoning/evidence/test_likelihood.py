"""From a reading to a weight for each band: telescoping, soft at the limits, fair to narrow bands."""

from __future__ import annotations

import math
import random

import pytest

from faultfinder.reasoning.evidence.likelihood import blurred, edge, of_answer, of_over_range, of_reading

BANDS = [(42.0, 49.0), (49.0, 920.0), (0.0, 42.0), (920.0, math.inf)]


def doubts(u: float) -> list[tuple[float, float]]:
    return [(u, u)] * len(BANDS)


def test_a_reading_in_the_middle_of_a_band_is_that_band() -> None:
    assert of_reading(45.0, BANDS, doubts(0.5)) == pytest.approx((1.0, 0.0, 0.0, 0.0), abs=1e-6)


def test_a_reading_on_a_limit_is_half_of_either_side() -> None:
    weights = of_reading(49.0, BANDS, doubts(0.5))
    assert weights[0] == pytest.approx(0.5, abs=1e-6)
    assert weights[1] == pytest.approx(0.5, abs=1e-6)
    assert edge(weights)


def test_weights_are_the_differences_of_the_normal_distribution() -> None:
    """Standard normal table: Phi(1) = 0.8413, Phi(2) = 0.9772 (any handbook)."""
    weights = of_reading(48.5, BANDS, doubts(0.5))
    assert weights[0] == pytest.approx(0.8413, abs=5e-5)
    assert of_reading(48.0, BANDS, doubts(0.5))[0] == pytest.approx(0.9772, abs=5e-5)


def test_weights_always_sum_to_one_and_are_never_negative() -> None:
    random_ = random.Random(4)
    for _ in range(2000):
        value = random_.uniform(0.0, 3000.0)
        weights = of_reading(value, BANDS, doubts(random_.choice((0.0, 0.1, 3.0, 60.0, 1e4))))
        assert sum(weights) == pytest.approx(1.0, abs=1e-9)
        assert min(weights) >= 0.0


def test_a_wide_doubt_does_not_speak_against_a_narrow_healthy_band() -> None:
    """A capacitor of an assumed 8 uF +-30 % that reads 8 uF: healthy must stand before low and high."""
    bands = [(7.2, 8.8), (0.0, 7.2), (8.8, 100.0)]
    weights = of_reading(8.0, bands, [(2.4, 2.4)] * 3)
    assert weights[0] > weights[1] > 0.1
    assert weights[0] > weights[2] > 0.1


def test_without_doubt_a_limit_belongs_to_the_band_above() -> None:
    assert of_reading(49.0, BANDS, doubts(0.0)) == (0.0, 1.0, 0.0, 0.0)


def test_over_range_is_what_lies_above_the_range() -> None:
    assert of_over_range(2e7, BANDS) == (0.0, 0.0, 0.0, 1.0)
    weights = of_over_range(200.0, BANDS)
    assert weights[0] == weights[2] == 0.0
    assert 0.0 < weights[1] < weights[3]


def test_reliability_shares_the_rest_among_the_others() -> None:
    assert of_answer(3, 1, 0.9) == pytest.approx((0.05, 0.9, 0.05))
    assert of_answer(1, 0, 0.9) == (1.0,)
    assert sum(blurred((0.5, 0.5, 0.0), 0.99)) == pytest.approx(1.0)
