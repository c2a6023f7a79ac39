"""Windings: temperature by resistance, and what a healthy one measures warm.

Source: R2 / R1 = (T + t2) / (T + t1) with T = 234.5 for copper (IEC 60335-1 text; some EN documents
print 235) and 228 for aluminium.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.trade.inputs import FormulaError, within

ZERO_RESISTANCE: Mapping[str, float] = MappingProxyType({"copper": 234.5, "aluminium": 228.0})
"""How far below 0 C the straight line of the resistance would reach 0."""


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
