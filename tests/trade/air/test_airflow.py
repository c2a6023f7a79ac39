"""Air through a heater."""

from __future__ import annotations

import pytest

from faultfinder.trade.air.airflow import (
    air_rise,
    airflow_from_rise,
    velocity_from_flow,
    water_out_grams_per_minute,
)
from faultfinder.trade.inputs import FormulaError


def test_rise_and_flow_are_inverse_and_a_cold_heater_warms_nothing() -> None:
    assert airflow_from_rise(2500, air_rise(2500, 180)) == pytest.approx(180)
    assert air_rise(0, 180) == 0
    assert airflow_from_rise(0, 10) == 0


def test_half_the_air_is_warmed_twice_as_much() -> None:
    assert air_rise(2400, 90) == pytest.approx(2 * air_rise(2400, 180))


def test_air_that_leaves_as_it_came_carries_no_water_and_drier_air_brings_some() -> None:
    assert water_out_grams_per_minute(150, 20, 50, 20, 50) == 0
    assert (
        water_out_grams_per_minute(150, 20, 50, 60, 30) > 0 > water_out_grams_per_minute(150, 20, 50, 20, 20)
    )


def test_water_out_by_hand() -> None:
    """150 m3/h at 50 C, 41 %: 0.0329 kg/kg, 0.9637 m3/kg; from 20 C, 50 %: 0.00726 kg/kg (psychrometric chart)."""
    grams = water_out_grams_per_minute(150, 20, 50, 50, 41)
    assert grams == pytest.approx(150 / 60 / 0.9637 * (0.0329 - 0.00726) * 1000, rel=0.01)


def test_water_out_matches_the_heat_that_evaporates_it() -> None:
    """34.3 g a minute take 1.38 kW (2406 kJ/kg): what a 2.16 kW machine of 64 % share gives (computed)."""
    assert 34.3 / 60 * 2406 / 1000 == pytest.approx(0.64 * 2.16, rel=0.01)


def test_speed_in_a_duct() -> None:
    assert velocity_from_flow(0, 100) == 0
    assert velocity_from_flow(150, 100) == pytest.approx(5.305, abs=1e-3)


@pytest.mark.parametrize(
    "call",
    [
        lambda: air_rise(2500, 0),
        lambda: air_rise(-1, 100),
        lambda: airflow_from_rise(2500, 0),
        lambda: velocity_from_flow(100, 0),
    ],
)
def test_no_air_is_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
