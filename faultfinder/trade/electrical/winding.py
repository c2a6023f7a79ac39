"""Windings: temperature by resistance, what a healthy one measures warm, and the class of its insulation.

Source: R2 / R1 = (T + t2) / (T + t1) with T = 234.5 for copper (IEC 60335-1 text; some EN documents
print 235) and 228 for aluminium; thermal classes: IEC 60085. The share taken off for a room that warmed
up during the test is quoted from memory of IEC 60335-1, 11.3.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.trade.inputs import FormulaError, within

ZERO_RESISTANCE: Mapping[str, float] = MappingProxyType({"copper": 234.5, "aluminium": 228.0})
"""How far below 0 C the straight line of the resistance would reach 0."""

THERMAL_CLASS_CELSIUS: Mapping[str, int] = MappingProxyType(
    {"Y": 90, "A": 105, "E": 120, "B": 130, "F": 155, "H": 180}
)


def _inferred_zero(metal: str) -> float:
    try:
        return ZERO_RESISTANCE[metal]
    except KeyError:
        raise FormulaError(f'no figures for "{metal}"; there are: {", ".join(ZERO_RESISTANCE)}') from None


def resistance_at(ohms: float, celsius: float, at_celsius: float, metal: str = "copper") -> float:
    """What a winding of `ohms` at `celsius` measures at `at_celsius` (both -60 to 400 C)."""
    zero = _inferred_zero(metal)
    within("the resistance", ohms, 0, math.inf, "ohm")
    within("the temperature", celsius, -60, 400, "C")
    within("the other temperature", at_celsius, -60, 400, "C")
    return ohms * (zero + at_celsius) / (zero + celsius)


def winding_celsius(cold_ohms: float, cold_celsius: float, hot_ohms: float, metal: str = "copper") -> float:
    """How hot the winding is, from its resistance cold (above 0, at a known temperature) and now."""
    zero = _inferred_zero(metal)
    within("the cold resistance", cold_ohms, 0, math.inf, "ohm", above=True, below=True)
    within("the hot resistance", hot_ohms, 0, math.inf, "ohm", below=True)
    within("the temperature", cold_celsius, -60, 400, "C")
    return hot_ohms / cold_ohms * (zero + cold_celsius) - zero


def winding_rise(
    cold_ohms: float, cold_celsius: float, hot_ohms: float, room_celsius: float, metal: str = "copper"
) -> float:
    """How far (K) the winding is above the room, the room being at `room_celsius` when it was measured hot.

    Range: room temperature -60 to 100 C.
    """
    within("the room temperature", room_celsius, -60, 100, "C")
    return winding_celsius(cold_ohms, cold_celsius, hot_ohms, metal) - room_celsius


def class_limit_celsius(letter: str) -> int:
    """The temperature (C) an insulation of that thermal class stands for its life. Raises FormulaError."""
    try:
        return THERMAL_CLASS_CELSIUS[letter.strip().upper()]
    except KeyError:
        known = ", ".join(THERMAL_CLASS_CELSIUS)
        raise FormulaError(f'thermal class "{letter}" is not known; there are: {known}') from None
