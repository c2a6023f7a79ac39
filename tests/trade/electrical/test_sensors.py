"""Sensors at their ends, at the change of formula, and against what a table says."""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.electrical.sensors import (
    SteinhartHart,
    Thermostat,
    beta_between,
    ntc_beta_range,
    ntc_celsius,
    ntc_from_slope,
    ntc_from_table,
    ntc_ohms,
    platinum_celsius,
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


def test_beta_needs_two_temperatures() -> None:
    with pytest.raises(FormulaError, match="take two temperatures"):
        beta_between(10_000, 25, 5_000, 25)


def test_a_table_is_read_at_its_points_and_between_them() -> None:
    for celsius, ohms in TEN_KILOHM:
        assert ntc_from_table(TEN_KILOHM, ohms) == pytest.approx(celsius)
    # Left out one point: the neighbours, 30 K apart, give it back within 0.3 K.
    thinned = [point for point in TEN_KILOHM if point[0] not in (60, 70)]
    assert ntc_from_table(thinned, 3019) == pytest.approx(60, abs=0.3)


def test_a_table_is_not_read_beyond_its_ends() -> None:
    for ohms in (595, 68105):
        with pytest.raises(FormulaError):
            ntc_from_table(TEN_KILOHM, ohms)
    for bad in ([], [(0, 100)], [(0, 100), (0, 50)], [(0, 100), (10, 120)], [(10, 100), (0, 50)]):
        with pytest.raises(FormulaError):
            ntc_from_table(bad, 60)


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


def test_interpolation_by_slope_stays_at_its_own_point() -> None:
    assert ntc_from_slope(10_687.3, 5, 4.4, 5) == pytest.approx(10_687.3)


def test_platinum_and_back_on_both_sides_of_zero() -> None:
    for r0 in (100, 1000):
        for celsius in (-200, -100, -0.01, 0, 0.01, 80, 850):
            assert platinum_celsius(r0, platinum_ohms(r0, celsius)) == pytest.approx(celsius, abs=1e-6)


def test_platinum_has_no_jump_at_zero() -> None:
    below, above = platinum_ohms(100, -1e-6), platinum_ohms(100, 1e-6)
    assert above - below == pytest.approx(2e-6 * 0.39083, rel=1e-3)


@pytest.mark.parametrize("celsius", [-201, 851])
def test_platinum_ends(celsius: float) -> None:
    with pytest.raises(FormulaError):
        platinum_ohms(100, celsius)


def test_platinum_resistance_beyond_its_range_is_refused() -> None:
    for ohms in (18.5, 391):
        with pytest.raises(FormulaError):
            platinum_celsius(100, ohms)
    with pytest.raises(FormulaError, match="there are: AA, A, B"):
        platinum_tolerance_kelvin("C", 0)


def test_a_platinum_sensor_keeps_its_class_and_the_scale_ends() -> None:
    """IEC 60751, class B at 0 C: 0.3 K, 0.12 ohm."""
    low, high = platinum_range(100, "B", 0)
    assert (low, high) == (pytest.approx(100 - 0.12, abs=0.003), pytest.approx(100 + 0.12, abs=0.003))
    assert platinum_range(100, "A", 0)[0] > low
    assert platinum_range(100, "B", 850)[1] == platinum_ohms(100, 850)
    assert platinum_range(100, "B", -200)[0] == platinum_ohms(100, -200)


@pytest.mark.parametrize(
    ("marking", "opens", "closes"),
    [
        ("L65-8", 65, 57),
        ("65/8", 65, 57),
        ("nc140", 140, None),
        ("L 65-8", None, None),
        ("65-8-2", None, None),
    ],
)
def test_a_thermostat_marking_says_where_it_opens_and_closes(
    marking: str, opens: float | None, closes: float | None
) -> None:
    if opens is None:
        with pytest.raises(FormulaError, match="no thermostat marking"):
            Thermostat.marked(marking, 3)
        return
    switch = Thermostat.marked(marking, 3)
    assert (switch.opens, switch.closes) == (opens, closes)


@pytest.mark.parametrize("bad", [(500, 8, 3), (65, 0, 3), (65, 8, -1), (65, math.nan, 3)])
def test_impossible_thermostats_are_refused(bad: tuple[float, float, float]) -> None:
    with pytest.raises(FormulaError):
        Thermostat(*bad)


CUT_OUT = Thermostat(opens=140, spread=None, tolerance=7)
CYCLING = Thermostat(opens=70, spread=15, tolerance=3)


@pytest.mark.parametrize(
    ("switch", "celsius", "rising", "expected"),
    [
        (CYCLING, 20, None, "closed"),
        (CYCLING, 51.9, None, "closed"),
        (CYCLING, 52.1, None, "either"),
        (CYCLING, 60, None, "either"),
        (CYCLING, 60, True, "closed"),
        (CYCLING, 60, False, "open"),
        (CYCLING, 68, True, "either"),
        (CYCLING, 57, False, "either"),
        (CYCLING, 73, None, "either"),
        (CYCLING, 73.1, None, "open"),
        (CUT_OUT, 20, None, "either"),
        (CUT_OUT, 20, True, "closed"),
        (CUT_OUT, 20, False, "open"),
        (CUT_OUT, 148, None, "open"),
    ],
)
def test_a_switch_between_its_two_temperatures_depends_on_the_way(
    switch: Thermostat, celsius: float, rising: bool | None, expected: str
) -> None:
    assert switch.expected(celsius, rising) == expected


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
