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


def hot_ohms(cold: float, alloy: str, celsius: float) -> float:
    return cold * temperature_factor(alloy, celsius)


def cold_ohms(hot: float, alloy: str, celsius: float) -> float:
    return hot / temperature_factor(alloy, celsius)


def amps_low_and_high(low: float, added: float, volts: float, motor_watts: float) -> tuple[float, float]:
    """What the line draws on low (the one section) and on high (both), the motor running; an open one is infinite."""
    low_amps, high_amps = (
        line_current(current_through(ohms, volts), motor_watts, FACTOR, volts)
        for ohms in (low, parallel(low, added))
    )
    return low_amps, high_amps


def added_section(volts: float, motor_watts: float, hot: float) -> float:
    """The section that is open: what the 9 A leave for it beside the other one."""
    amps = heater_current_from_line(WHOLE, motor_watts, FACTOR, volts) - current_through(hot, volts)
    return resistance_from(volts, amps)


@pytest.mark.parametrize("motor_amps", MOTOR)
@pytest.mark.parametrize(("alloy", "celsius"), ELEMENTS)
def test_at_240_volts_the_three_figures_agree_within_5_percent(
    motor_amps: float, alloy: str, celsius: float
) -> None:
    volts, motor_watts = 240.0, motor_amps * 240 * FACTOR
    hot = hot_ohms(COLD, alloy, celsius)
    # From the ohms to the amps.
    added = added_section(volts, motor_watts, hot)
    low, high = amps_low_and_high(hot, math.inf, volts, motor_watts)
    assert high == low == pytest.approx(LEFT, rel=0.05)
    whole_low, whole_high = amps_low_and_high(hot, added, volts, motor_watts)
    assert whole_high == pytest.approx(WHOLE, rel=0.05)
    assert whole_low == low
    # And from the amps back to the ohms, cold.
    left = resistance_from(volts, heater_current_from_line(LEFT, motor_watts, FACTOR, volts))
    assert cold_ohms(left, alloy, celsius) == pytest.approx(COLD, rel=0.05)


@pytest.mark.parametrize("volts", [230, 232, 235, 238, 240])
@pytest.mark.parametrize("motor_amps", MOTOR)
def test_from_230_to_240_volts_hot_or_cold_they_agree_within_10_percent(
    volts: float, motor_amps: float
) -> None:
    motor_watts = motor_amps * volts * FACTOR
    left = resistance_from(volts, heater_current_from_line(LEFT, motor_watts, FACTOR, volts))
    for ohms in (COLD, *(hot_ohms(COLD, alloy, celsius) for alloy, celsius in ELEMENTS)):
        line = line_current(current_through(ohms, volts), motor_watts, FACTOR, volts)
        assert line == pytest.approx(LEFT, rel=0.10)
    for ohms in (left, *(cold_ohms(left, alloy, celsius) for alloy, celsius in ELEMENTS)):
        assert ohms == pytest.approx(COLD, rel=0.10)


def test_the_figures_would_not_agree_with_the_other_section_or_both() -> None:
    """The check tells: with the open section whole and the other open, or none open, 5.8 A on both cannot be."""
    volts, motor_watts = 240.0, 0.7 * 240 * FACTOR
    hot = hot_ohms(COLD, "nicr_80_20", 350)
    added = added_section(volts, motor_watts, hot)
    states = {"whole": (hot, added), "low open": (math.inf, added), "added open": (hot, math.inf)}
    for state, sections in states.items():
        low, high = amps_low_and_high(*sections, volts, motor_watts)
        alike, near = high == pytest.approx(low, rel=0.05), high == pytest.approx(LEFT, rel=0.10)
        assert (alike and near) is (state == "added open"), state
