"""How far a reading can be trusted: the meter's own accuracy and the digits typed.

Theory: a limit of error `a` given without a distribution is taken as rectangular, u = a / sqrt(3) (GUM,
JCGM 100:2008, 4.3.7); a resolution r gives (r/2) / sqrt(3) (same); independent parts are added in
quadrature (5.1.2). A meter's `±(% of
reading + digits)` has the digit of the range in use, so a wrong range has a larger digit.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from faultfinder.errors import FaultFinderError
from faultfinder.text.catalogue import say
from faultfinder.trade.inputs import within
from faultfinder.trade.readings.parser import Reading
from faultfinder.trade.readings.reading import parse_reading
from faultfinder.trade.readings.typed_text import ReadingError
from faultfinder.trade.readings.units import QUANTITIES, quantity_named, unit_named

_ROOT3 = math.sqrt(3.0)


class MeterError(FaultFinderError):
    """A line of a meter's accuracy file that cannot be read, or a value above every range of the meter."""


def rectangular(half_width: float) -> float:
    """Standard uncertainty of a limit of error ±half_width (>= 0), its distribution unknown. GUM 4.3.7.

    Range: half width from 0.
    """
    return within("a half width", half_width, 0.0, math.inf) / _ROOT3


def in_quadrature(parts: Iterable[float]) -> float:
    """Standard uncertainty of the sum of independent parts: the root of the sum of squares. GUM 5.1.2."""
    return math.hypot(*parts)


def standard_uncertainty(reading: Reading, quantity: str, relative: float, absolute: float) -> float:
    """Standard uncertainty of a reading, in the reading's unit.

    `relative` (a fraction of the value) and `absolute` (in the quantity's base unit) are standard
    uncertainties of meter and leads; a stated ± or typed range counts as rectangular, and so does half
    the last digit typed. 0 for an over-range reading, which says only what it is above. Raises
    UnknownName for unknown names.
    """
    if reading.over_range:
        return 0.0
    factor = unit_named(quantity_named(quantity), reading.unit).factor
    return in_quadrature(
        (
            relative * abs(reading.value),
            absolute / factor,
            reading.half_width / _ROOT3,
            reading.digits / 2 / _ROOT3,
        )
    )


def over_range_top(quantity: str, unit: str) -> float:
    """What an ordinary meter can show at most before OL, in `unit`. Raises UnknownName."""
    kind = quantity_named(quantity)
    asked = unit_named(kind, unit)
    return (kind.meter_top - asked.offset) / asked.factor


@dataclass(frozen=True, slots=True)
class MeterRange:
    """One range of a meter: up to `top`, with ±(percent of reading + digits x digit); top, digit in base unit."""

    quantity: str
    top: float
    percent: float
    digits: float
    digit: float


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter's ranges, the narrow ones first for each quantity."""

    ranges: tuple[MeterRange, ...]

    def range_for(self, quantity: str, value: float) -> MeterRange | None:
        """The narrowest range of that quantity that shows `value` (base unit), or None."""
        fitting = [each for each in self.ranges if each.quantity == quantity and abs(value) <= each.top]
        return min(fitting, key=lambda each: each.top, default=None)

    def shows(self, reading: Reading, quantity: str) -> bool:
        """Whether some range of the meter reaches the reading."""
        unit = unit_named(quantity_named(quantity), reading.unit)
        return self.range_for(quantity, reading.value * unit.factor + unit.offset) is not None

    def top_of(self, quantity: str, unit: str) -> float | None:
        """The most that the meter shows of a quantity, in `unit`; None where it has no range of it."""
        tops = [each.top for each in self.ranges if each.quantity == quantity]
        asked = unit_named(quantity_named(quantity), unit)
        return (max(tops) - asked.offset) / asked.factor if tops else None

    def standard_uncertainty(self, reading: Reading, quantity: str) -> float:
        """Standard uncertainty of a reading taken with this meter, in the reading's unit.

        The digit typed is that of the range in use where it is coarser than the meter's own. Raises
        MeterError where no range of the meter reaches the value.
        """
        if reading.over_range:
            return 0.0
        unit = unit_named(quantity_named(quantity), reading.unit)
        value = reading.value * unit.factor + unit.offset
        span = self.range_for(quantity, value)
        if span is None:
            raise MeterError(
                say(
                    "meter_meter_has_no_range",
                    quantity=quantity,
                    value=f"{reading.value:g}",
                    unit=reading.unit,
                )
            )
        # Only a digit coarser than the meter's tells of a wider range; a rounded entry is covered by its own part.
        limit = accuracy(value, span.percent, span.digits, span.digit) / unit.factor
        parts = (rectangular(limit), reading.half_width / _ROOT3, reading.digits / 2 / _ROOT3)
        return in_quadrature(parts)


def accuracy(value: float, percent: float, digits: float, digit: float) -> float:
    """Limit of error of ±(percent of reading + digits), `digit` being one count of the range in use.

    ±(0.7 % + 2) of 120.0 V is 0.7/100 * 120 + 2 * 0.1 = 1.04 V. Result in the unit of `value` and `digit`.
    Range: percent 0 to 100, digits 0 to 1000, digit from 0.
    """
    within("the percentage", percent, 0.0, 100.0, "%")
    within("the number of digits", digits, 0.0, 1000.0)
    within("one digit", digit, 0.0, math.inf)
    return percent / 100 * abs(value) + digits * digit


_LINE = re.compile(
    r"(?P<quantity>[a-z_]+)\s+(?:up\s+to\s+)?(?P<top>[^:±]+?)\s*[:±]\s*±?\s*\(?\s*(?P<percent>[\d.,]+)\s*%"
    r"(?:\s*(?:of\s+)?(?:rdg|reading))?\s*"
    r"(?:\+\s*(?P<digits>\d+)\s*(?:digits?|dgts?|counts?|lsd|d)?\s*\)?\s*"
    r"(?:(?:of|x|at|,|resolution)?\s*(?P<digit>\d.*))?|\)?)",
    re.ASCII | re.IGNORECASE,
)
_EXAMPLE = "`resistance up to 200 ohm: 0.8 % + 3 digits of 0.1 ohm`"
_METERED = ("resistance", "capacitance", "current", "voltage", "power", "temperature", "humidity", "speed")
"""Quantities named where a line names none; the others are known too."""


def range_lines(text: str) -> list[tuple[int, str]]:
    """The ranges in a meter's file as (line, text), without blank lines and comments."""
    stripped = ((number, line.partition("#")[0].strip()) for number, line in enumerate(text.splitlines(), 1))
    return [(number, line) for number, line in stripped if line]


def meter_from_text(text: str) -> Meter:
    """A meter from the lines of its owner's file; blank lines and `#` comments are passed over.

    Each line: `resistance up to 200 ohm: 0.8 % + 3 digits of 0.1 ohm`, or as the meter's papers have it,
    `resistance 200 ohm: ±(0.8 % rdg + 3 dgt) 0.1 ohm`. Raises MeterError naming the line.
    """
    ranges = []
    for number, stripped in range_lines(text):
        found = _LINE.fullmatch(stripped)
        if not found:
            raise MeterError(say("meter_line_write", number=number, example=_EXAMPLE))
        if found["quantity"] not in QUANTITIES:
            near = get_close_matches(found["quantity"], QUANTITIES, n=1)
            meant = (
                say("meter_did_you_mean", near=near[0])
                if near
                else say("meter_there", names=", ".join(_METERED))
            )
            raise MeterError(
                say("meter_line_there_no_quantity", number=number, found=found["quantity"][:24], meant=meant)
            )
        if found["digits"] and not found["digit"]:
            raise MeterError(say("meter_line_say_how_large", number=number, example=_EXAMPLE))
        kind = QUANTITIES[found["quantity"]]
        try:
            top = parse_reading(found["top"], kind.name, kind.base).value
            digit = parse_reading(found["digit"], kind.name, kind.base).value if found["digit"] else 0.0
        except ReadingError as problem:
            raise MeterError(say("at_line", line=number, words=problem)) from None
        if not (math.isfinite(top) and math.isfinite(digit)):
            raise MeterError(say("meter_line_range_its_digit", number=number))
        try:
            percent = float(found["percent"].replace(",", "."))
        except ValueError:
            percent = math.nan
        if math.isnan(percent):
            raise MeterError(say("meter_line_no_percentage", number=number, found=found["percent"][:20]))
        if not 0 <= percent <= 100:
            raise MeterError(say("meter_line_no_accuracy_from", number=number, percent=f"{percent:g}"))
        ranges.append(MeterRange(kind.name, top, percent, float(found["digits"] or 0), digit))
    return Meter(tuple(sorted(ranges, key=lambda each: (each.quantity, each.top))))
