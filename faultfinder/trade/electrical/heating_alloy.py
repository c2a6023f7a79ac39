"""Cold against hot resistance of a heating element: R_T = Ct * R_20.

The hot element has more resistance than the cold one that a repairer measures, by a few per cent only: the
temperature coefficient of pure nickel or chromium must not be used (0.0004/K would give +19 % at 500 C, the alloy
shows +5 %). Sources: FeCrAl, the wire maker's data sheet of February 2021, named beside the checks; NiCr 80/20, a
transcription of a data sheet that other lists differ from by 0.01, so no better than ±0.01. Ct = R_T / R_20, by
definition.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.trade.inputs import FormulaError, between_points, within

_NICR = (1.01, 1.02, 1.03, 1.04, 1.05, 1.04, 1.04, 1.04, 1.04, 1.05, 1.06, 1.07)
_FECRAL = (1.0, 1.0, 1.0, 1.0, 1.01, 1.02, 1.02, 1.03, 1.03, 1.04, 1.04, 1.04, 1.04, 1.05)

ALLOYS: Mapping[str, tuple[tuple[float, float], ...]] = MappingProxyType(
    {
        alloy: ((20.0, 1.0), *zip(range(100, 1500, 100), factors, strict=False))
        for alloy, factors in (("nicr_80_20", _NICR), ("fecral", _FECRAL))
    }
)
"""Nickel-chromium 80/20 and iron-chromium-aluminium: Ct by temperature in C."""


def temperature_factor(alloy: str, celsius: float) -> float:
    """How many times its resistance at 20 C the alloy has at `celsius`: straight lines between the table's points.

    Outside the table (below 20 C, above 1200 or 1400 C) the end value holds. -60 to 2000 C. Raises
    FormulaError for an alloy that is not in ALLOYS.
    """
    within("the temperature", celsius, -60, 2000, "C")
    if alloy not in ALLOYS:
        raise FormulaError(f'there is no alloy "{alloy}"; there are: {", ".join(ALLOYS)}')
    return between_points(ALLOYS[alloy], celsius)
