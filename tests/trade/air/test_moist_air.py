"""Moist air at its kinks: the triple point, freezing wet bulb, dry and saturated air, boiling."""

from __future__ import annotations

import pytest

from faultfinder.trade.air.moist_air import (
    dew_point_celsius,
    enthalpy_kj_per_kg,
    humidity_percent,
    humidity_ratio,
    humidity_ratio_from_wet_bulb,
    latent_heat_kj_per_kg,
    saturation_pascal,
    vapour_pascal,
    volume_m3_per_kg,
)
from faultfinder.trade.inputs import FormulaError


def test_saturation_pressure_has_no_jump_at_the_triple_point_and_rises_everywhere() -> None:
    assert saturation_pascal(0.0100001) == pytest.approx(saturation_pascal(0.01), rel=2e-4)
    values = [saturation_pascal(celsius) for celsius in range(-60, 201)]
    assert values == sorted(values)


def test_water_boils_where_its_pressure_is_that_of_the_air() -> None:
    assert saturation_pascal(100) == pytest.approx(101_325, rel=2e-3)
    with pytest.raises(FormulaError):
        humidity_ratio(101, 100)
    assert humidity_ratio(101, 50) > 0


def test_dry_air_holds_nothing() -> None:
    assert humidity_ratio(25, 0) == 0 == vapour_pascal(25, 0)
    assert humidity_percent(25, 0) == 0
    assert enthalpy_kj_per_kg(0, 0) == 0


def test_humidity_and_its_ratio_are_inverse() -> None:
    for celsius in (-20, 5, 40, 85):
        for percent in (1, 50, 100):
            ratio = humidity_ratio(celsius, percent)
            assert humidity_percent(celsius, ratio) == pytest.approx(percent)


def test_more_water_than_the_air_can_hold_reads_over_100_per_cent() -> None:
    assert humidity_percent(20, humidity_ratio(25, 100)) > 100


def test_a_wet_bulb_far_below_the_dry_one_means_no_water_and_never_less() -> None:
    assert humidity_ratio_from_wet_bulb(60, 5) == 0


def test_moist_air_is_lighter() -> None:
    assert volume_m3_per_kg(40, 0.03) > volume_m3_per_kg(40, 0)


def test_latent_heat_falls_as_water_warms() -> None:
    values = [latent_heat_kj_per_kg(celsius) for celsius in range(101)]
    assert values == sorted(values, reverse=True)
    assert values[0] == 2500.9


def test_the_straight_line_of_the_trade_is_within_0_7_per_cent() -> None:
    """Quoted: h_fg = 2500 - 2.42 t."""
    for celsius in range(0, 101, 10):
        assert 2500 - 2.42 * celsius == pytest.approx(latent_heat_kj_per_kg(celsius), rel=0.007)


def test_saturated_air_has_one_temperature_for_both() -> None:
    for celsius in (-20, 0, 5, 25, 60):
        assert dew_point_celsius(celsius, 100) == pytest.approx(celsius, abs=1e-6)
        assert humidity_ratio_from_wet_bulb(celsius, celsius) == pytest.approx(humidity_ratio(celsius, 100))


@pytest.mark.parametrize(
    "call",
    [
        lambda: saturation_pascal(201),
        lambda: saturation_pascal(-61),
        lambda: vapour_pascal(20, 101),
        lambda: humidity_ratio(20, -1),
        lambda: humidity_ratio_from_wet_bulb(20, 21),
        lambda: dew_point_celsius(20, 0),
        lambda: enthalpy_kj_per_kg(20, -0.1),
        lambda: latent_heat_kj_per_kg(-1),
        lambda: latent_heat_kj_per_kg(101),
    ],
)
def test_impossible_air_is_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
