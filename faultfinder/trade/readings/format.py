"""How a value is written for people."""

from __future__ import annotations

import math

from faultfinder.trade.readings.units import QUANTITIES

__all__ = ["format_quantity", "format_span"]


def format_quantity(value: float, unit: str) -> str:
    """A value as a person reads it: three significant digits, the prefix that keeps it short; inf is OL."""
    if math.isinf(value):
        return "OL" if value > 0 else "-OL"
    if math.isnan(value):
        return f"? {unit}".rstrip()
    value, unit = _rescaled(value, unit)
    size = abs(value)
    decimals = 3 if size == 0 else 2 - math.floor(math.log10(size) + 1e-12)
    shown = f"{value:.{min(max(decimals, 0), 12)}f}"
    if "." in shown:
        shown = shown.rstrip("0").rstrip(".")
    if shown == "-0":
        shown = "0"
    return f"{shown} {unit}" if unit not in ("", "1") else shown


def format_span(low: float, high: float, unit: str) -> str:
    """A band of values as a person reads it: '9.4 to 11.3 A', 'below 2 ohm', 'above 75 %'."""
    if math.isinf(high):
        return f"above {format_quantity(low, unit)}" if math.isfinite(low) else "any"
    if math.isinf(low) or low == 0.0:
        return f"below {format_quantity(high, unit)}"
    first, last = format_quantity(low, unit), format_quantity(high, unit)
    if first.partition(" ")[2] == last.partition(" ")[2]:
        first = first.partition(" ")[0]
    return f"{first} to {last}"


def _rescaled(value: float, unit: str) -> tuple[float, str]:
    """47 000 ohm -> 47 kohm, 8e-6 F -> 8 uF; other units stay as asked for."""
    for name, ladder in (
        ("resistance", ("ohm", "kohm", "Mohm", "Gohm")),
        ("capacitance", ("pF", "nF", "uF", "mF")),
    ):
        units = QUANTITIES[name].units
        if unit not in units or (unit not in ladder and unit not in ("F", "mohm")):
            continue
        base = value * units[unit].factor
        if unit in ladder and 0.1 <= abs(value) < 1000 or value == 0:
            return value, unit
        fitting = [step for step in ladder if abs(base) >= 0.999999 * units[step].factor]
        best = fitting[-1] if fitting else ladder[0] if unit != "mohm" else "mohm"
        return base / units[best].factor, best
    return value, unit
