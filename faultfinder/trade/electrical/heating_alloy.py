"""Cold against hot resistance of a heating element: R_T = Ct * R_20.

The hot element has more resistance than the cold one that a repairer measures, by a few per cent only:
the temperature coefficient of pure nickel or chromium must not be used (0.0004/K would give +19 % at 500
C, the alloy shows +5 %). Sources: FeCrAl (1.45 ohm mm²/m), the wire maker's data sheet of February 2021, named
beside the checks; NiCr 80/20 (1.09 ohm mm²/m), a transcription of a data sheet that other lists differ from by
0.01, so no better than ±0.01. Ct = R_T / R_20 = 1 + (T - 20 C) * mean temperature coefficient, by definition.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.trade.inputs import FormulaError, within


@dataclass(frozen=True, slots=True)
class Alloy:
    """A heating alloy: resistivity at 20 C in ohm mm²/m, and Ct at the temperatures given (C), 20 C being 1."""

    name: str
    resistivity: float
    celsius: tuple[float, ...]
    factor: tuple[float, ...]


_EVERY_100 = tuple(float(step) for step in range(100, 1500, 100))

ALLOYS: Mapping[str, Alloy] = MappingProxyType(
    {
        "nicr_80_20": Alloy(
            "nickel-chromium 80/20",
            1.09,
            (20.0, *_EVERY_100[:12]),
            (1.0, 1.01, 1.02, 1.03, 1.04, 1.05, 1.04, 1.04, 1.04, 1.04, 1.05, 1.06, 1.07),
        ),
        "fecral": Alloy(
            "iron-chromium-aluminium",
            1.45,
            (20.0, *_EVERY_100),
            (1.0, 1.0, 1.0, 1.0, 1.0, 1.01, 1.02, 1.02, 1.03, 1.03, 1.04, 1.04, 1.04, 1.04, 1.05),
        ),
    }
)


def temperature_factor(alloy: str, celsius: float) -> float:
    """How many times its resistance at 20 C the alloy has at `celsius`: straight lines between the table's points.

    Outside the table (below 20 C, above 1200 or 1400 C) the end value holds. -60 to 2000 C. Raises
    FormulaError for an alloy that is not in ALLOYS.
    """
    within("the temperature", celsius, -60, 2000, "C")
    if alloy not in ALLOYS:
        raise FormulaError(f'there is no alloy "{alloy}"; there are: {", ".join(ALLOYS)}')
    points = list(zip(ALLOYS[alloy].celsius, ALLOYS[alloy].factor, strict=True))
    if celsius <= points[0][0]:
        return points[0][1]
    for (low, low_factor), (high, high_factor) in zip(points, points[1:], strict=False):
        if celsius <= high:
            return low_factor + (high_factor - low_factor) * (celsius - low) / (high - low)
    return points[-1][1]


def hot_ohms(cold: float, alloy: str, celsius: float) -> float:
    """What an element that measures `cold` ohm at 20 C has at `celsius`.

    Range: resistance from 0.
    """
    return within("the resistance", cold, 0, math.inf, "ohm") * temperature_factor(alloy, celsius)


def cold_ohms(hot: float, alloy: str, celsius: float) -> float:
    """What an element that has `hot` ohm at `celsius` measures at 20 C.

    Range: resistance from 0.
    """
    return within("the resistance", hot, 0, math.inf, "ohm") / temperature_factor(alloy, celsius)


def cold_range(
    watts: float, volts: float, low_share: float, high_share: float, hot_factor: float
) -> tuple[float, float]:
    """Between which resistances a healthy element of `watts` at `volts` measures cold.

    low_share and high_share are the tolerance of the power (0.90 and 1.05 for a heating appliance above
    400 W); hot_factor is how much of the resistance is added by heat, 1 for a plate that means the cold
    element. The power is that of the hot element; a cold one may lie anywhere from the hot value over
    hot_factor upwards.
    Range: power above 0, voltage above 0 to 10 000 V, lower share above 0 to 1, upper share 1 to 2, hot factor
    1 to 2.
    """
    within("the power", watts, 0, math.inf, "W", above=True)
    within("the voltage", volts, 0, 1e4, "V", above=True)
    within("the lower share", low_share, 0, 1, above=True)
    within("the upper share", high_share, 1, 2)
    within("the hot factor", hot_factor, 1, 2)
    return volts**2 / (watts * high_share) / hot_factor, volts**2 / (watts * low_share) / hot_factor


def wire_resistance(resistivity: float, metres: float, square_mm: float) -> float:
    """The resistance of a wire: resistivity (ohm mm²/m) * length / cross-section.

    Range: resistivity above 0 to 1 000 ohm mm²/m, length 0 to 100 000 m, cross-section above 0 to 10 000 mm².
    """
    within("the resistivity", resistivity, 0, 1e3, "ohm mm2/m", above=True)
    within("the length", metres, 0, 1e5, "m")
    return resistivity * metres / within("the cross-section", square_mm, 0, 1e4, "mm2", above=True)


def wire_length(ohms: float, resistivity: float, square_mm: float) -> float:
    """How long a wire of that cross-section is that has `ohms`: how much is missing after a repair in the middle.

    Range: resistivity above 0 to 1 000 ohm mm²/m, cross-section above 0 to 10 000 mm², resistance from 0.
    """
    within("the resistivity", resistivity, 0, 1e3, "ohm mm2/m", above=True)
    within("the cross-section", square_mm, 0, 1e4, "mm2", above=True)
    return within("the resistance", ohms, 0, math.inf, "ohm") * square_mm / resistivity
