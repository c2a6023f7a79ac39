"""How long a load ought to take."""

from __future__ import annotations

import pytest

from faultfinder.trade.air.drying import (
    MOISTURE_AFTER_SPIN,
    condensation_percent,
    delivered_watts,
    extra_minutes,
    least_kwh,
    minutes_to_dry,
    moisture_after_spin,
    water_in_load,
)
from faultfinder.trade.inputs import FormulaError


def test_a_load_as_dry_as_it_should_be_gives_off_nothing() -> None:
    assert water_in_load(7, 0.6, 0.6) == 0
    assert water_in_load(0, 0.6) == 0
    assert minutes_to_dry(0, 2400) == 0


def test_minutes_and_power_are_inverse() -> None:
    minutes = minutes_to_dry(4.2, 2400, 0.67)
    assert delivered_watts(4.2, minutes, 0.67) == pytest.approx(2400)
    assert extra_minutes(minutes, 4.2, 2400, 0.67) == pytest.approx(0)


def test_half_the_heater_takes_twice_as_long() -> None:
    assert minutes_to_dry(4.2, 1200) == pytest.approx(2 * minutes_to_dry(4.2, 2400))
    assert extra_minutes(2 * minutes_to_dry(4.2, 2400), 4.2, 2400) == pytest.approx(minutes_to_dry(4.2, 2400))


def test_no_heater_never_dries() -> None:
    with pytest.raises(FormulaError, match="the power is 0 W"):
        minutes_to_dry(4.2, 0)


def test_the_least_energy_is_the_latent_heat_and_the_warming() -> None:
    """1 kg at 40 C: 2406 kJ, and 83.7 kJ to warm it from 20 C (computed)."""
    assert least_kwh(1, at_celsius=40, from_celsius=40) == pytest.approx(2406 / 3600, rel=1e-4)
    assert least_kwh(1) == pytest.approx((2406 + 83.72) / 3600, rel=1e-4)
    assert least_kwh(0, 7) == pytest.approx(7 * 1.3 * 20 / 3600)


def test_spin_speeds_between_and_beyond_the_table() -> None:
    """Common practice, no source."""
    assert moisture_after_spin(0) == moisture_after_spin(400) == 1.05
    assert moisture_after_spin(1000) == 0.60
    assert moisture_after_spin(1100) == pytest.approx(0.565)
    assert moisture_after_spin(3000) == moisture_after_spin(1600)
    falling = list(MOISTURE_AFTER_SPIN.values())
    assert falling == sorted(falling, reverse=True)


def test_condensed_against_removed() -> None:
    """At least 80 % (Regulation (EU) 2023/2533 Annex II 3): 3.8 of 4.6 kg pass, 3.6 do not."""
    assert condensation_percent(3.8, 4.6) > 80 > condensation_percent(3.6, 4.6)
    assert condensation_percent(0, 4.6) == 0
    assert condensation_percent(4.7, 4.6) == 100  # within the scales
    with pytest.raises(FormulaError, match="weigh again"):
        condensation_percent(5, 4.6)


@pytest.mark.parametrize(
    "call",
    [
        lambda: water_in_load(7, 0.1, 0.6),
        lambda: water_in_load(-1, 0.6),
        lambda: moisture_after_spin(-1),
        lambda: minutes_to_dry(4, 2400, 0),
        lambda: delivered_watts(4, 0),
        lambda: least_kwh(1, from_celsius=60, at_celsius=40),
    ],
)
def test_impossible_loads_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
