"""How far the power an appliance takes may lie from its rated power when it is hot and healthy.

Source: IEC 60335-1, 10.1, Table 1 (read in GOST R IEC 335-1-94, its identical adoption; that the 2010
and 2020 editions keep the figures is from memory).
"""

from __future__ import annotations

import math
from enum import StrEnum

from faultfinder.trade.inputs import within


class Load(StrEnum):
    """The rows of the table."""

    HEATING = "heating"
    """Heating, or combined where the motors take no more than half."""
    MOTOR = "motor"
    """Motor-operated, or combined where the motors take more than half."""


def power_band(rated_watts: float, load: Load = Load.HEATING) -> tuple[float, float]:
    """The least and the most watts allowed at rated voltage; the least is 0 where the table sets none.

    Kinks: at 25 W, at 200 W (heating) and 300 W (motor), where rows change; at 400 W, where 20 W become
    5 % and 60 W become 15 %.
    Range: rated power above 0.
    """
    rated = within("the rated power", rated_watts, 0, math.inf, "W", above=True, below=True)
    if rated <= 25:
        return 0.0, 1.2 * rated
    if load is Load.MOTOR:
        return 0.0, 1.2 * rated if rated <= 300 else rated + max(0.15 * rated, 60.0)
    if rated <= 200:
        return 0.9 * rated, 1.1 * rated
    return 0.9 * rated, rated + max(0.05 * rated, 20.0)
