"""The values of a logged cycle: which mark is the decimal one, and what a cell with or without a unit says.

A logger writes one way in a whole column, so the column decides: where both marks stand in a cell the last is the
decimal one; where commas only ever part groups of three beside points or whole numbers, they part thousands.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from faultfinder.trade.readings.units import QUANTITIES, Unit, find_unit

_FIGURE = re.compile(r"[+-]?[\d.,'’\u00a0\u202f]*\d[.]?(?:[eE][+-]?\d{1,2})?", re.ASCII)
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,2})?", re.ASCII)


def _thousands(digits: str, mark: str) -> bool:
    """Whether the mark parts groups of three: 2,582 or 1,234,567; not 0,805."""
    return re.fullmatch(rf"[1-9]\d{{0,2}}(?:{re.escape(mark)}\d{{3}})+", digits) is not None


def decimal_mark(cells: Iterable[str]) -> str:
    """'.' or ',': the decimal mark of a column."""
    both: list[str] = []
    commas: list[str] = []
    points: list[str] = []
    whole_tens = False
    for cell in cells:
        found = _FIGURE.match(cell.strip())
        if found is None:
            continue
        digits = found[0].lstrip("+-")
        if "," in digits and "." in digits:
            both.append("," if digits.rfind(",") > digits.rfind(".") else ".")
        elif "," in digits:
            commas.append(digits)
        elif "." in digits:
            points.append(digits)
        elif digits.isdecimal() and len(digits) > 1:
            whole_tens = True
    if both:
        return "," if both.count(",") > both.count(".") else "."
    if not commas:
        return "."
    grouped = all(_thousands(each, ",") for each in commas)
    if points:
        return (
            "," if not grouped and all(_thousands(each, ".") for each in points) else "." if grouped else ","
        )
    return "." if grouped and whole_tens else ","


def value_of(cell: str, quantity: str, factor: float, mark: str) -> float | None:
    """A value in W, A or V; a small negative one is the noise of a clamp and counts as 0, a large one as unreadable.

    factor: of a number without a unit of its own. mark: the column's decimal mark.
    """
    text = re.sub(r"(?<=\d)['’\u00a0\u202f ](?=\d{3})", "", cell.strip())
    other = "." if mark == "," else ","
    found = _FIGURE.match(text)
    if found is None:
        return None
    digits, rest = found[0], text[found.end() :].strip()
    if other in digits:
        if _thousands(digits.lstrip("+-").partition(mark)[0], other):
            digits = digits.replace(other, "")
        elif mark not in digits and digits.count(other) == 1:
            digits = digits.replace(other, mark)
        else:
            return None
    number_text = digits.replace(mark, ".")
    if not _NUMBER.fullmatch(number_text):
        return None
    if rest:
        unit = find_unit(QUANTITIES[quantity], rest)
        if not isinstance(unit, Unit):
            return None
        factor = unit.factor
    number = float(number_text) * factor
    kind = QUANTITIES[quantity]
    if quantity == "temperature":
        return number if kind.low <= number <= kind.high else None
    if number < 0:
        return 0.0 if number > -0.001 * kind.high else None
    return number if number <= kind.high else None
