"""Cold against hot resistance of a heating element: R_T = Ct * R_20.

The hot element has more resistance than the cold one that a repairer measures, by a few per cent only:
the temperature coefficient of pure nickel or chromium must not be used (0.0004/K would give +19 % at 500
C, the alloy shows +5 %). Sources: FeCrAl, the wire maker's data sheet of February 2021, named
beside the checks; NiCr 80/20, a transcription of a data sheet that other lists differ from by
0.01, so no better than ±0.01. Ct = R_T / R_20 = 1 + (T - 20 C) * mean temperature coefficient, by definition.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.trade.inputs import FormulaError, within

ALLOYS: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "nicr_80_20": (1.0, 1.01, 1.02, 1.03, 1.04, 1.05, 1.04, 1.04, 1.04, 1.04, 1.05, 1.06, 1.07),
        "fecral": (1.0, 1.0, 1.0, 1.0, 1.0, 1.01, 1.02, 1.02, 1.03, 1.03, 1.04, 1.04, 1.04, 1.04, 1.05),
    }
)
"""Heating alloy -> Ct at 20 C, and at every 100 C from 100 C on."""


def temperature_factor(alloy: str, celsius: float) -> float:
    """How many times its resistance at 20 C the alloy has at `celsius`: straight lines between the table's points.

    Outside the table (below 20 C, above 1200 or 1400 C) the end value holds. -60 to 2000 C. Raises
    FormulaError for an alloy that is not in ALLOYS.
    """
    within("the temperature", celsius, -60, 2000, "C")
    if alloy not in ALLOYS:
        raise FormulaError(f'there is no alloy "{alloy}"; there are: {", ".join(ALLOYS)}')
    points = list(zip((20.0, *map(float, range(100, 1500, 100))), ALLOYS[alloy], strict=False))
    if celsius <= points[0][0]:
        return points[0][1]
    for (low, low_factor), (high, high_factor) in zip(points, points[1:], strict=False):
        if celsius <= high:
            return low_factor + (high_factor - low_factor) * (celsius - low) / (high - low)
    return points[-1][1]
