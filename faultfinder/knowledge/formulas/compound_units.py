"""Units put together from the ones that readings have: kJ/l/K, s/min, mm/kg."""

from __future__ import annotations

import re
from functools import cache

from faultfinder.trade.readings.units import QUANTITIES

_SIGN = re.compile(r"\s*([*/])\s*")


@cache
def _known() -> frozenset[str]:
    return frozenset(symbol for quantity in QUANTITIES.values() for symbol in quantity.units)


def is_unit(symbol: str) -> bool:
    """Whether some quantity is read in it."""
    return symbol in _known()


def known_units() -> list[str]:
    """The usual units of every quantity, to name the nearest one in a message."""
    usual = (unit for quantity in QUANTITIES.values() for unit in (quantity.base, *quantity.common))
    return list(dict.fromkeys(usual))


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
        elif part in _known():
            found.append((part, power))
        else:
            raise ValueError(part)
    return tuple(found)
