"""Units put together from the ones that readings have: kJ/l/K, s/min, mm/kg."""

from __future__ import annotations

import re

from faultfinder.trade.readings.units import QUANTITIES

_SIGN = re.compile(r"\s*([*/])\s*")


UNITS = frozenset(symbol for quantity in QUANTITIES.values() for symbol in quantity.units)
"""Every unit that some quantity is read in."""
USUAL_UNITS = tuple(
    dict.fromkeys(unit for quantity in QUANTITIES.values() for unit in (quantity.base, *quantity.common))
)
"""The usual ones, to name the nearest one in a message."""


def parts_of(text: str) -> tuple[tuple[str, int], ...]:
    """The units of a compound with the power of each, from the left: 'kJ/l/K' is kJ, l to the -1, K to the -1.

    What stands behind a / divides, and nothing else does: there are no brackets. Raises ValueError with the part that
    is no unit.
    """
    found: list[tuple[str, int]] = []
    power = 1
    for part in _SIGN.split(text.strip()):
        if part in ("*", "/"):
            power = 1 if part == "*" else -1
        elif part in UNITS:
            found.append((part, power))
        else:
            raise ValueError(part)
    return tuple(found)
