"""The supply: what voltage to expect, what is lost on the way, and the fuse in the plug.

Sources: Regulation (EU) 2023/2533 Art. 2(2) and IEC 60038 (230 V ±10 %); IEC 60228 class 5, plain copper at 20 C;
BS 1362 and the 700 W rule of UK practice; flex ratings of the IET Code of Practice. The drop in a lead counts both
conductors.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.trade.inputs import within

SUPPLY_VOLTS = (230.0 * 0.9, 230.0 * 1.1)
"""The least and the most that a supply in order has at the point of supply."""

MILLIOHM_PER_METRE: Mapping[float, float] = MappingProxyType(
    {0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95}
)
"""Largest resistance of one flexible conductor by cross-section in mm², 20 C."""

FLEX_AMPS: Mapping[float, float] = MappingProxyType({0.5: 3.0, 0.75: 6.0, 1.0: 10.0, 1.25: 13.0, 1.5: 15.0})
"""What a flex of that cross-section (mm²) carries."""


def conductor_milliohm_per_metre(square_mm: float) -> float:
    """The largest resistance of one metre of flexible copper conductor, 0.5 to 16 mm².

    The standard's value where the size is in its table; else that of the copper itself, 19.5 over the
    cross-section, which is within 5 % of the table's rows.
    """
    within("the cross-section", square_mm, 0.5, 16, "mm2")
    return MILLIOHM_PER_METRE.get(square_mm, 19.5 / square_mm)


def drop_volts(amps: float, metres: float, square_mm: float) -> float:
    """What voltage is lost in an extension lead of that length, out and back: 2 L r I.

    Range: current 0 to 100 A, length 0 to 1 000 m.
    """
    within("the current", amps, 0, 100, "A")
    within("the length", metres, 0, 1000, "m")
    return 2 * metres * conductor_milliohm_per_metre(square_mm) / 1000 * amps


def volts_after_lead(volts: float, ohms: float, metres: float, square_mm: float) -> float:
    """What voltage a load of `ohms` (above 0) has left at the far end of a lead."""
    within("the voltage", volts, 0, 1e4, "V")
    within("the load", ohms, 0, math.inf, "ohm", above=True)
    lead = 2 * within("the length", metres, 0, 1000, "m") * conductor_milliohm_per_metre(square_mm) / 1000
    return volts / (1 + lead / ohms)


def flex_amps(square_mm: float) -> float:
    """What current a flex carries, by the next listed size not above its own; below 0.5 mm² FormulaError."""
    within("the cross-section", square_mm, 0.5, 16, "mm2")
    return max(amps for size, amps in FLEX_AMPS.items() if size <= square_mm)


def fuse_for(watts: float) -> float:
    """The plug fuse (A) of UK practice: 3 A up to 700 W, 13 A above, up to what 13 A at 230 V carry (2990 W).

    A motor may need the larger one for its start. Raises FormulaError above 2990 W: no plug with a 13 A fuse.
    """
    within("the rated power", watts, 0, 13 * 230, "W", above=True)
    return 3.0 if watts <= 700 else 13.0
