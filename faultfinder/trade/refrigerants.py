"""Whether a refrigerant burns, by its designation on the rating plate.

Safety groups of ANSI/ASHRAE Standard 34 (2019) and ISO 817:2014: A1 does not spread flame; A2L, A2 and A3 do. Values
from memory. Only designations that small appliances carry stand here; any other is not known.
"""

from __future__ import annotations

import re

_BURNS = frozenset("R290 R600 R600A R1270 R32 R152A R441A R436A R454C R455A R1234YF R1234ZE".split())
_DOES_NOT = frozenset("R134A R450A R513A R404A R407C R410A R22 R744".split())


def burns(designation: str) -> bool | None:
    """Whether a refrigerant so designated ('R290', 'r 134a', 'R-450A') is flammable; None where it is not known."""
    name = re.sub(r"[\s-]", "", designation).upper()
    if name in _BURNS:
        return True
    return False if name in _DOES_NOT else None
