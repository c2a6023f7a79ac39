"""Mains circuits of heater sections and a motor: what resistance, current and power ought to be.

Resistances in ohm (math.inf is open), voltages in volt r.m.s., currents in ampere r.m.s., powers in
watt. Heater sections are taken as pure resistance; a motor draws its watts in phase and the rest of its
apparent power at right angles (power factor lagging). Source: Ohm's law, Kirchhoff's laws; the a.c.
power triangle.
"""

from __future__ import annotations

import math

from faultfinder.trade.inputs import within


def resistance_of(watts: float, volts: float) -> float:
    """Which resistance turns `watts` (above 0) into heat at `volts` (above 0): V² / P.

    >>> round(resistance_of(2400, 240), 3)
    24.0
    """
    within("the power", watts, 0, math.inf, "W", above=True)
    return within("the voltage", volts, 0, 1e4, "V", above=True) ** 2 / watts


def watts_of_resistance(ohms: float, volts: float) -> float:
    """Which power a resistance (above 0; open gives 0) turns into heat at `volts`: V² / R."""
    within("the resistance", ohms, 0, math.inf, "ohm", above=True)
    return within("the voltage", volts, 0, 1e4, "V") ** 2 / ohms


def current_of(watts: float, volts: float) -> float:
    """Which current a pure resistance of `watts` draws at `volts` (above 0): P / V.

    >>> round(current_of(2700, 230), 2)
    11.74
    """
    within("the power", watts, 0, math.inf, "W")
    return watts / within("the voltage", volts, 0, 1e4, "V", above=True)


def current_through(ohms: float, volts: float) -> float:
    """Which current flows through a resistance (above 0; open gives 0) at `volts`: V / R."""
    within("the resistance", ohms, 0, math.inf, "ohm", above=True)
    return within("the voltage", volts, 0, 1e4, "V") / ohms


def resistance_from(volts: float, amps: float) -> float:
    """Which resistance lets `amps` (0 gives open) flow at `volts`: V / I.

    Range: voltage above 0 to 10 000 V, current from 0.
    """
    within("the voltage", volts, 0, 1e4, "V", above=True)
    within("the current", amps, 0, math.inf, "A")
    return volts / amps if amps else math.inf


def parallel(*ohms: float) -> float:
    """What resistances (0 to open) measure side by side; a dead short anywhere gives 0, all open gives open."""
    for each in ohms:
        within("a resistance", each, 0, math.inf, "ohm")
    if 0 in ohms:
        return 0.0
    conductance = math.fsum(1 / each for each in ohms)
    return 1 / conductance if conductance else math.inf


def series(*ohms: float) -> float:
    """What resistances (0 to open) measure one after the other; one open gives open."""
    for each in ohms:
        within("a resistance", each, 0, math.inf, "ohm")
    return math.inf if math.inf in ohms else math.fsum(ohms)


def other_path(measured_ohms: float, expected_ohms: float) -> float:
    """Which resistance in parallel makes `expected_ohms` measure as `measured_ohms` (a lead left on).

    Open where the reading is not below what is expected: no path explains it. Both above 0.
    """
    within("the reading", measured_ohms, 0, math.inf, "ohm", above=True)
    within("the expected resistance", expected_ohms, 0, math.inf, "ohm", above=True)
    if measured_ohms >= expected_ohms:
        return math.inf
    return 1 / (1 / measured_ohms - 1 / expected_ohms)


def lead_corrected(measured_ohms: float, lead_ohms: float) -> float:
    """A reading less what the meter shows with its probes touched together; never below 0."""
    within("the reading", measured_ohms, 0, math.inf, "ohm")
    return max(0.0, measured_ohms - within("the leads", lead_ohms, 0, 100, "ohm"))


def divided_voltage(volts: float, ohms: float, other_ohms: float) -> float:
    """The voltage across `ohms` with `other_ohms` in series (a bad joint, a lead): V R / (R + R_other).

    Range: voltage 0 to 10 000 V, resistance from 0, other resistance from 0.
    """
    within("the voltage", volts, 0, 1e4, "V")
    within("the resistance", ohms, 0, math.inf, "ohm")
    within("the other resistance", other_ohms, 0, math.inf, "ohm", below=True)
    if math.isinf(ohms):
        return volts
    return volts * ohms / (ohms + other_ohms) if ohms else 0.0


def power_at_voltage(rated_watts: float, rated_volts: float, volts: float) -> float:
    """What a resistive load rated at `rated_volts` takes at the voltage it really gets: Pn (V / Vn)².

    Range: rated power from 0, rated voltage above 0 to 10 000 V, voltage 0 to 10 000 V.
    """
    within("the rated power", rated_watts, 0, math.inf, "W")
    within("the rated voltage", rated_volts, 0, 1e4, "V", above=True)
    return rated_watts * (within("the voltage", volts, 0, 1e4, "V") / rated_volts) ** 2


def line_current(heater_amps: float, motor_watts: float, power_factor: float, volts: float) -> float:
    """What the line current is with a heater (pure resistance) and a motor running together.

    The motor takes `motor_watts` in phase and motor_watts * tan(acos(power_factor)) at right angles; so
    the sum is less than the two ammeter readings added. power_factor above 0, at most 1.
    """
    within("the heater current", heater_amps, 0, math.inf, "A")
    in_phase, across = _motor(motor_watts, power_factor, volts)
    return math.hypot(heater_amps + in_phase, across)


def heater_current_from_line(
    line_amps: float, motor_watts: float, power_factor: float, volts: float
) -> float:
    """What the heater alone draws when the line draws `line_amps` with the motor running; 0 where none is left.

    Range: line current from 0.
    """
    within("the line current", line_amps, 0, math.inf, "A")
    in_phase, across = _motor(motor_watts, power_factor, volts)
    return max(0.0, math.sqrt(max(0.0, line_amps**2 - across**2)) - in_phase)


def _motor(motor_watts: float, power_factor: float, volts: float) -> tuple[float, float]:
    """The motor's current in phase with the voltage and at right angles to it."""
    within("the motor's power", motor_watts, 0, math.inf, "W")
    within("the power factor", power_factor, 0, 1, above=True)
    in_phase = motor_watts / within("the voltage", volts, 0, 1e4, "V", above=True)
    return in_phase, in_phase * math.sqrt(max(0.0, 1 - power_factor**2)) / power_factor
