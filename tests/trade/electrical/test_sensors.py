"""Sensors at their ends, at the change of formula, and against what a table says."""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.electrical.sensors import (
    SteinhartHart,
    ntc_beta_range,
    ntc_celsius,
    ntc_ohms,
    platinum_ohms,
    platinum_range,
    platinum_tolerance_kelvin,
)
from faultfinder.trade.inputs import FormulaError

# Makers' tables as collected in the Linux hwmon NTC driver (numbers only; primary).
TEN_KILOHM = [
    (-20, 68104), (0, 27326), (10, 17973), (20, 12090), (25, 10000), (40, 5825), (50, 4158), (60, 3019), (70, 2227),
    (80, 1668), (85, 1451), (100, 973), (120, 596),
]  # fmt: skip
FORTY_SEVEN_KILOHM = [
    (0, 158214), (10, 95227), (20, 59065), (25, 47000), (40, 24591), (50, 16433), (60, 11209), (70, 7798), (80, 5518),
    (85, 4674), (100, 2902), (125, 1406),
]  # fmt: skip
HUNDRED_KILOHM = [(0, 357012), (25, 100000), (50, 33195), (60, 22224), (85, 8873), (100, 5384)]


def test_at_25_degrees_an_ntc_has_its_nominal_value() -> None:
    assert ntc_ohms(10_000, 3435, 25) == 10_000
    assert ntc_celsius(10_000, 3435, 10_000) == pytest.approx(25)


def test_ntc_by_beta_and_back() -> None:
    for celsius in (-100, -20, 0, 25, 85, 400):
        assert ntc_celsius(10_000, 3435, ntc_ohms(10_000, 3435, celsius)) == pytest.approx(celsius)


@pytest.mark.parametrize(
    ("table", "beta"), [(TEN_KILOHM, 3435.4), (FORTY_SEVEN_KILOHM, 4107.8), (HUNDRED_KILOHM, 4334)]
)
def test_a_healthy_sensor_is_inside_its_beta_range_at_every_point_of_its_table(
    table: list[tuple[float, float]], beta: float
) -> None:
    """The range widens away from 25 and 85 C, where a beta formula leaves the true curve."""
    r25 = dict(table)[25]
    for celsius, ohms in table:
        low, high = ntc_beta_range(r25, beta, celsius, r25_percent=0.5, beta_percent=1)
        assert low <= ohms <= high, celsius


def test_beta_alone_is_off_at_0_degrees() -> None:
    assert ntc_ohms(10_000, 3456.2, 0) / 27326 == pytest.approx(1.057, abs=5e-4)


def test_the_range_is_narrowest_at_25_degrees_and_bends_at_the_end_of_its_interval() -> None:
    low, high = ntc_beta_range(10_000, 3435, 25)
    assert (low, high) == (pytest.approx(10_000 / 1.05), pytest.approx(10_500))

    def width(celsius: float) -> float:
        low, high = ntc_beta_range(10_000, 3435, celsius, beta_percent=0)
        return high / low

    assert width(55) > width(40) > width(25) == pytest.approx(width(85))
    assert width(90) > width(85) and width(20) > width(25)


def test_the_tolerance_of_beta_tells_away_from_25_degrees() -> None:
    """3 % of beta 3435 at 85 C: exp(0.03 * 3435 * (1/298.15 - 1/358.15)) = 1.0596 (computed)."""
    low, high = ntc_beta_range(10_000, 3435, 85, r25_percent=0, beta_percent=3)
    share = 1 - 1 / 1.0596
    assert high / ntc_ohms(10_000, 3435, 85) == pytest.approx(1 + share, abs=1e-4)
    assert ntc_ohms(10_000, 3435, 85) / low == pytest.approx(1 + share, abs=1e-4)


def test_steinhart_hart_goes_through_its_three_points() -> None:
    points = [(0, 27326), (40, 5825), (100, 973)]
    curve = SteinhartHart.through(points)
    for celsius, ohms in points:
        assert curve.celsius(ohms) == pytest.approx(celsius, abs=1e-9)
        assert curve.ohms(celsius) == pytest.approx(ohms, rel=1e-9)


def test_steinhart_hart_through_three_exact_points_has_these_coefficients() -> None:
    """Solved exactly (computed) for 2045, 100, 15 ohm at -50, 25, 100 C."""
    curve = SteinhartHart.through([(-50, 2045), (25, 100), (100, 15)])
    assert (curve.a, curve.b, curve.c) == (
        pytest.approx(1.7402e-3, rel=1e-4),
        pytest.approx(3.4519e-4, rel=1e-4),
        pytest.approx(2.4758e-7, rel=1e-3),
    )


def test_steinhart_hart_fits_a_published_table_better_than_beta() -> None:
    curve = SteinhartHart.through([(0, 27326), (50, 4158), (100, 973)])
    for celsius, ohms in TEN_KILOHM:
        assert curve.celsius(ohms) == pytest.approx(celsius, abs=0.6), celsius


def test_steinhart_hart_needs_three_different_points() -> None:
    for points in ([(0, 100), (10, 50)], [(0, 100), (10, 50), (10, 40)], [(0, 100), (10, 100), (20, 40)]):
        with pytest.raises(FormulaError):
            SteinhartHart.through(points)
    with pytest.raises(FormulaError, match="beyond this curve"):
        SteinhartHart(1.7402e-3, 3.4519e-4, 2.4758e-7).celsius(1e-9)


def test_platinum_has_no_jump_at_zero() -> None:
    below, above = platinum_ohms(100, -1e-6), platinum_ohms(100, 1e-6)
    assert above - below == pytest.approx(2e-6 * 0.39083, rel=1e-3)


@pytest.mark.parametrize("celsius", [-201, 851])
def test_platinum_ends(celsius: float) -> None:
    with pytest.raises(FormulaError):
        platinum_ohms(100, celsius)


def test_a_platinum_sensor_keeps_its_class_and_the_scale_ends() -> None:
    """IEC 60751, class B at 0 C: 0.3 K, 0.12 ohm."""
    low, high = platinum_range(100, "B", 0)
    assert (low, high) == (pytest.approx(100 - 0.12, abs=0.003), pytest.approx(100 + 0.12, abs=0.003))
    assert platinum_range(100, "A", 0)[0] > low
    assert platinum_range(100, "B", 850)[1] == platinum_ohms(100, 850)
    assert platinum_range(100, "B", -200)[0] == platinum_ohms(100, -200)


def test_an_unknown_class_of_platinum_is_refused_with_the_list() -> None:
    with pytest.raises(FormulaError, match="there are: AA, A, B"):
        platinum_tolerance_kelvin("C", 0)


@pytest.mark.parametrize(
    "call",
    [
        lambda: ntc_ohms(0, 3435, 25),
        lambda: ntc_ohms(10_000, 100, 25),
        lambda: ntc_ohms(10_000, 3435, 401),
        lambda: ntc_celsius(10_000, 3435, 0),
        lambda: ntc_celsius(10_000, 3435, 1e-9),
        lambda: ntc_celsius(10_000, 3435, math.inf),
    ],
)
def test_impossible_sensors_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
