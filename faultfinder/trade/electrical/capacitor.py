"""Motor-run capacitors: what the marking allows, what current they pass, how long they stay dangerous.

Capacitances in microfarad, voltages in volt r.m.s. (d.c. for charge), currents in ampere, times in second.
Source: physics; tolerances (±5, ±10, ±15 % by IEC 60252-1) stand on the can.
"""

from __future__ import annotations

import math

from faultfinder.trade.inputs import within


def capacitor_current(microfarads: float, volts: float, hertz: float) -> float:
    """Which current a healthy capacitor passes at mains: 2 pi f C U. 0 to 10 000 µF, 1 to 1000 Hz."""
    within("the capacitance", microfarads, 0, 1e4, "uF")
    within("the voltage", volts, 0, 1e4, "V")
    return 2 * math.pi * within("the frequency", hertz, 1, 1000, "Hz") * microfarads * 1e-6 * volts


def capacitance_from_current(amps: float, volts: float, hertz: float) -> float:
    """Which capacitance (µF) passes `amps` at `volts` across it: I / (2 pi f U).

    Range: current 0 to 1 000 A, voltage above 0 to 10 000 V, frequency 1 to 1 000 Hz.
    """
    within("the current", amps, 0, 1e3, "A")
    within("the voltage", volts, 0, 1e4, "V", above=True)
    return amps / (2 * math.pi * within("the frequency", hertz, 1, 1000, "Hz") * volts) * 1e6


def capacitor_band(microfarads: float, tolerance_percent: float) -> tuple[float, float]:
    """Between which values a healthy capacitor of that marking measures, in µF.

    Range: capacitance above 0 to 10 000 µF, tolerance 0 to 100 %.
    """
    within("the capacitance", microfarads, 0, 1e4, "uF", above=True)
    share = within("the tolerance", tolerance_percent, 0, 100, "%") / 100
    return microfarads * (1 - share), microfarads * (1 + share)


def discharge_seconds(volts: float, microfarads: float, ohms: float, safe_volts: float = 50.0) -> float:
    """How long discharging through `ohms` takes to fall from `volts` to `safe_volts`: RC ln(V / V_safe).

    `volts` is the charge, up to the peak of the mains (1.414 times the r.m.s. value). 0 where it is
    there already.
    Range: voltage 0 to 10 000 V, capacitance above 0 to 1 000 000 µF, resistance above 0 to 1 Tohm,
    safe voltage above 0 to 10 000 V.
    """
    within("the voltage", volts, 0, 1e4, "V")
    within("the capacitance", microfarads, 0, 1e6, "uF", above=True)
    within("the resistance", ohms, 0, 1e12, "ohm", above=True)
    within("the safe voltage", safe_volts, 0, 1e4, "V", above=True)
    return max(0.0, ohms * microfarads * 1e-6 * math.log(volts / safe_volts)) if volts > 0 else 0.0
