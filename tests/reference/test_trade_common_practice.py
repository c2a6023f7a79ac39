"""The two-section heater as the trade knows it, held against the formulas. Common practice, no source.

A heater that should draw about 9 A in all on high, on a nominal 230 to 240 V supply, but draws 5.8 A on high and on
low alike has one section open; the section that is left measures about 46 ohm cold. The motor takes 0.6 to 0.8 A.
Its power factor is stated here: 0.9, that of a motor with a run capacitor (chosen). Heater surfaces run at 300 to
400 C with air passing.
"""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.electrical.circuit import (
    current_through,
    heater_current_from_line,
    line_current,
    parallel,
    resistance_from,
)
from faultfinder.trade.electrical.heating_alloy import ALLOYS, temperature_factor

WHOLE, LEFT, COLD = 9.0, 5.8, 46.0
FACTOR = 0.9
SURFACE_CELSIUS = (300.0, 400.0)
MOTOR = (0.6, 0.7, 0.8)
ELEMENTS = [(alloy, celsius) for alloy in ALLOYS for celsius in SURFACE_CELSIUS]


def added_section(volts: float, motor_watts: float, hot: float) -> float:
    """The section that is open: what the 9 A leave for it beside the other one."""
    amps = heater_current_from_line(WHOLE, motor_watts, FACTOR, volts) - current_through(hot, volts)
    return resistance_from(volts, amps)


def line_amps(low: float, added: float, volts: float, motor_watts: float) -> tuple[float, float]:
    """On low, which runs the low section alone, and on high, which runs both side by side; open is infinite."""

    def line(ohms: float) -> float:
        return line_current(current_through(ohms, volts), motor_watts, FACTOR, volts)

    return line(low), line(parallel(low, added))


@pytest.mark.parametrize("motor_amps", MOTOR)
@pytest.mark.parametrize(("alloy", "celsius"), ELEMENTS)
def test_at_240_volts_the_three_figures_agree_within_5_percent(
    motor_amps: float, alloy: str, celsius: float
) -> None:
    volts, motor_watts = 240.0, motor_amps * 240 * FACTOR
    factor = temperature_factor(alloy, celsius)
    hot = COLD * factor
    # From the ohms to the amps.
    low, high = line_amps(hot, math.inf, volts, motor_watts)
    assert low == high == pytest.approx(LEFT, rel=0.05)
    assert line_amps(hot, added_section(volts, motor_watts, hot), volts, motor_watts) == (
        low,
        pytest.approx(WHOLE, rel=0.05),
    )
    # And from the amps back to the ohms, cold.
    left = resistance_from(volts, heater_current_from_line(LEFT, motor_watts, FACTOR, volts))
    assert left / factor == pytest.approx(COLD, rel=0.05)


@pytest.mark.parametrize("volts", [230, 232, 235, 238, 240])
@pytest.mark.parametrize("motor_amps", MOTOR)
def test_from_230_to_240_volts_hot_or_cold_they_agree_within_10_percent(
    volts: float, motor_amps: float
) -> None:
    motor_watts = motor_amps * volts * FACTOR
    left = resistance_from(volts, heater_current_from_line(LEFT, motor_watts, FACTOR, volts))
    factors = (1.0, *(temperature_factor(alloy, celsius) for alloy, celsius in ELEMENTS))
    for ohms in (COLD * factor for factor in factors):
        line = line_current(current_through(ohms, volts), motor_watts, FACTOR, volts)
        assert line == pytest.approx(LEFT, rel=0.10)
    for ohms in (left / factor for factor in factors):
        assert ohms == pytest.approx(COLD, rel=0.10)


def test_the_figures_would_not_agree_with_the_other_section_or_both() -> None:
    """The check tells: with the open section whole and the other open, or none open, 5.8 A on both cannot be."""
    volts, motor_watts = 240.0, 0.7 * 240 * FACTOR
    hot = COLD * temperature_factor("nicr_80_20", 350)
    added = added_section(volts, motor_watts, hot)
    for sections in ((hot, added), (math.inf, added), (hot, math.inf), (math.inf, math.inf)):
        low, high = line_amps(*sections, volts, motor_watts)
        alike, near = high == pytest.approx(low, rel=0.05), high == pytest.approx(LEFT, rel=0.10)
        assert (alike and near) is (sections == (hot, math.inf)), sections
