"""How every formula of the trade refuses an input it is not meant for, and reads a table between its points."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from faultfinder.errors import FaultFinderError


class FormulaError(FaultFinderError):
    """A formula was given a value outside its range; the message names the value, its unit and the range."""


def number_text(value: float) -> str:
    """How a number reads in a message: at most six significant digits, never `1.0`."""
    if not math.isfinite(value):
        return "infinity" if value > 0 else "-infinity" if value < 0 else "not a number"
    return f"{value:.6g}"


def within(
    name: str,
    value: float,
    low: float,
    high: float,
    unit: str = "",
    *,
    above: bool = False,
    below: bool = False,
) -> float:
    """The value itself when low <= value <= high (strictly where `above` or `below` is set).

    Raises FormulaError, also for a value that is not a number. An infinite value passes only where the
    limit on its side is infinite and included.
    """
    fits = low <= value <= high and not (above and value == low) and not (below and value == high)
    if fits:
        return value
    shown = f" {unit}" if unit else ""
    if math.isinf(high):
        expected = f"{'above' if above else 'at least'} {number_text(low)}{shown}"
    else:
        more = "more than " if above else ""
        less = "less than " if below else ""
        expected = f"{more}{number_text(low)} to {less}{number_text(high)}{shown}"
    raise FormulaError(f"{name} is {number_text(value)}{shown}; it must be {expected}.")


def between_points(points: Sequence[tuple[float, float]], at: float) -> float:
    """The value at `at` on the straight lines through points of rising place; beyond them the end value holds."""
    if at <= points[0][0]:
        return points[0][1]
    for (low, first), (high, last) in pairwise(points):
        if at <= high:
            return first + (last - first) * (at - low) / (high - low)
    return points[-1][1]
