"""Copper windings: temperature by resistance, and what a healthy one measures warm.

Source: R2 / R1 = (T + t2) / (T + t1) with T = 234.5 for copper (IEC 60335-1 text; some EN documents print 235).
"""

from __future__ import annotations

import math

from faultfinder.trade.inputs import within

_ZERO = 234.5
"""How far below 0 C the straight line of the resistance would reach 0."""


def resistance_at(ohms: float, celsius: float, at_celsius: float) -> float:
    """What a winding of `ohms` at `celsius` measures at `at_celsius` (both -60 to 400 C)."""
    within("the resistance", ohms, 0, math.inf, "ohm")
    within("the temperature", celsius, -60, 400, "C")
    within("the other temperature", at_celsius, -60, 400, "C")
    return ohms * (_ZERO + at_celsius) / (_ZERO + celsius)


def winding_celsius(cold_ohms: float, cold_celsius: float, hot_ohms: float) -> float:
    """How hot the winding is, from its resistance cold (above 0, at a known temperature) and now."""
    within("the cold resistance", cold_ohms, 0, math.inf, "ohm", above=True, below=True)
    within("the hot resistance", hot_ohms, 0, math.inf, "ohm", below=True)
    within("the temperature", cold_celsius, -60, 400, "C")
    return hot_ohms / cold_ohms * (_ZERO + cold_celsius) - _ZERO
