"""What is printed on resistors and capacitors, read and written.

Sources: IEC 60062 (a letter for the decimal point, tolerance letters; B, C, D on resistors from memory),
three-digit picofarad codes of common practice, IEC 60063 (series of preferred values: they are no
roundings of 10^(i/n), so the tables are written out).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.trade.inputs import FormulaError, within

_E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)
SERIES: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {"E3": _E24[::8], "E6": _E24[::4], "E12": _E24[::2], "E24": _E24}
)

TOLERANCE_PERCENT: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "B": (0.1, 0.1),
        "C": (0.25, 0.25),
        "D": (0.5, 0.5),
        "F": (1, 1),
        "G": (2, 2),
        "J": (5, 5),
        "K": (10, 10),
    }
    | {"M": (20, 20), "Z": (20, 80)}
)
"""Per cent below and above. Capacitors under 10 pF use B, C, D for pF: see tolerance_band."""

_OHM = MappingProxyType({"L": 1e-3, "R": 1.0, "K": 1e3, "M": 1e6, "G": 1e9})
_FARAD = MappingProxyType({"p": 1e-12, "n": 1e-9, "u": 1e-6, "m": 1e-3, "F": 1.0})


def resistance_ohms(code: str) -> tuple[float, str]:
    """The ohms of a marking such as 4K7, R47, 470R or 4K7J, and its tolerance letter ('' without).

    >>> resistance_ohms("4K7J")
    (4700.0, 'J')
    """
    text = code.strip().upper()
    found = re.fullmatch(r"(\d{0,4})([LRKMG])(\d{0,4})([BCDFGJKMZ]?)", text, re.ASCII)
    if not found or not (found[1] or found[3]):
        raise FormulaError(f'"{code[:16]}" is no resistor marking; such as 4K7, R47, 470R or 4K7J.')
    return float(f"{found[1] or 0}.{found[3] or 0}") * _OHM[found[2]], found[4]


def capacitance_farad(code: str) -> tuple[float, str]:
    """The farads of a marking such as 4n7, 1u0, 10p or 105K (three digits: pF), and its tolerance letter."""
    text = code.strip().replace("µ", "u").replace("μ", "u")
    digits = re.fullmatch(r"(\d\d)(\d)([BCDFGJKMZ]?)", text, re.ASCII)
    if digits:
        return int(digits[1]) * 10.0 ** int(digits[2]) * 1e-12, digits[3]
    found = re.fullmatch(r"(\d{0,4})([pnumF])(\d{0,4})([BCDFGJKMZ]?)", text, re.ASCII)
    if not found or not (found[1] or found[3]):
        raise FormulaError(f'"{code[:16]}" is no capacitor marking; such as 4n7, 1u0, 10p or 105K.')
    return float(f"{found[1] or 0}.{found[3] or 0}") * _FARAD[found[2]], found[4]


def code_for_ohms(ohms: float) -> str:
    """How that resistance is marked, three digits at least kept: 47300 -> 47K3. From 0.001 ohm to 1 Tohm."""
    within("the resistance", ohms, 1e-3, 1e12, "ohm", below=True)
    for letter, size in (("G", 1e9), ("M", 1e6), ("K", 1e3), ("R", 1.0), ("L", 1e-3)):
        number = float(f"{ohms / size:.4g}")
        if number >= 1 or (letter == "R" and ohms >= 0.1) or letter == "L":
            whole, _, part = f"{number:.10g}".partition(".")
            return f"{'' if whole == '0' else whole}{letter}{part}"
    raise AssertionError("the last size takes all")


def tolerance_band(value: float, letter: str, picofarads: bool = False) -> tuple[float, float]:
    """Between which values a part of that marking lies; no letter means ±20 %.

    `picofarads`: the value is a capacitance in pF, where B, C, D under 10 pF mean 0.1, 0.25, 0.5 pF.
    Range: value above 0.
    """
    within("the value", value, 0, math.inf, above=True)
    if not letter:
        letter = "M"
    if letter not in TOLERANCE_PERCENT:
        raise FormulaError(
            f'tolerance letter "{letter[:4]}" is not known; there are: {", ".join(TOLERANCE_PERCENT)}'
        )
    below, above = TOLERANCE_PERCENT[letter]
    if picofarads and value < 10 and letter in "BCD":
        return value - below, value + above
    # The letters' shares are written exactly; per cent first keeps 4700 + 5 % at 4935 and no last bit more.
    return value * (100 - below) / 100, value * (100 + above) / 100


def nearest_preferred(value: float, series: str = "E24") -> float:
    """The preferred value nearest to `value` (above 0) on a scale of equal ratios. IEC 60063."""
    within("the value", value, 0, math.inf, above=True, below=True)
    if series not in SERIES:
        raise FormulaError(f'no series "{series}"; there are: {", ".join(SERIES)}')
    decade = math.floor(math.log10(value))
    steps = [(step, power) for power in (decade - 1, decade, decade + 1) for step in SERIES[series]]
    step, power = min(
        steps, key=lambda each: abs(math.log(each[0] / 10) + each[1] * math.log(10) - math.log(value))
    )
    return float(f"{step}e{power - 1}")
