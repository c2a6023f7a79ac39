"""What a person types for a reading, understood the way a meter shows it and a repairer writes it.

`33`, `33R`, `4k7`, `0.2 Mohm`, `OL`, `OL@200`, `>200 Mohm`, `7.4A`, `740 mA`, `230V~`, `12,5`, `32-34`,
`33 +- 1`, `72 C`, `1h50`. A bare number is in the unit asked for; where that is per cent and it could as
well be a share of 1, it is asked which. A comma is a decimal comma; several readings on one line are
parted by `;`. Prefixes are read by case, and where that gives a value no appliance can show, the message
asks which was meant. Nothing is guessed: what has two meanings is refused, with what to type.

Source of the letter-for-decimal-point codes (4R7, 47K3, 4n7): IEC 60062. Unicode forms go through NFKC,
then a small table. Digits other than 0-9 and invisible characters are refused: they come from a paste,
and may be shown in another order than they are read.
"""

from __future__ import annotations

import math

from faultfinder.text.catalogue import say
from faultfinder.trade.readings.parser import OPEN, OVER, Parser, Reading
from faultfinder.trade.readings.typed_text import ReadingError, plain_text
from faultfinder.trade.readings.units import MARKINGS, QUANTITIES, quantity_named, unit_named


def parse_reading(text: str | float, quantity: str, unit: str) -> Reading:
    """The reading a person typed, in `unit` of `quantity`.

    A number instead of a text is taken as typed in `unit` (infinity as over range). Raises ReadingError for
    what cannot be understood or is outside the limits of the quantity, and UnknownName where `quantity` or
    `unit` do not exist.

    >>> parse_reading("4k7", "resistance", "ohm").value
    4700.0
    >>> parse_reading("OL", "resistance", "ohm").over_range
    True
    """
    kind = quantity_named(quantity)
    asked = unit_named(kind, unit)
    typed = text if isinstance(text, str) else "∞" if text == math.inf else repr(text)
    return Parser(kind, unit, asked, typed, by_hand=isinstance(text, str)).reading()


def split_readings(line: str) -> list[str]:
    """The readings of one line, parted by `;` (a comma is a decimal comma). Empty parts are left out."""
    return [part.strip() for part in line.split(";") if part.strip()]


def quantities_of(text: str) -> tuple[str, ...]:
    """The quantities whose units fit a typed reading; empty where the unit says nothing.

    >>> quantities_of("7.4A")
    ('current',)
    """
    try:
        cleaned = plain_text(text, say("reading_number_unit"))
    except ReadingError:
        return ()
    if OVER.fullmatch(cleaned) or OPEN.fullmatch(cleaned):
        return ()
    for strict in (True, False):
        fitting = [
            kind.name
            for kind in QUANTITIES.values()
            if kind.name not in MARKINGS
            and Parser(kind, kind.base, kind.units[kind.base], text).has_own_unit(within_limits=strict)
        ]
        if fitting:
            return tuple(fitting)
    return ()
