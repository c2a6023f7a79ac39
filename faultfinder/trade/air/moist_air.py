"""Moist air: what water it holds, by dry bulb and humidity or wet bulb.

Temperatures in degrees Celsius (-60 to 200), relative humidity in per cent, humidity ratio in kg water a
kg dry air, pressures in Pa, enthalpy in kJ a kg dry air, volume in m³ a kg dry air. Sources: ASHRAE
Handbook Fundamentals 2017, chapter 1: saturation pressure eqs. 5 and 6 (Hyland and Wexler), humidity
ratio eq. 20, enthalpy eq. 30, volume eq. 26, wet bulb eqs. 33 and 35; equation numbers from
memory. Perfect-gas mixture: within 1 % of tables with real-gas corrections.
"""

from __future__ import annotations

import math

from faultfinder.trade.inputs import within

_PRESSURE = 101325.0
"""Of the air at sea level, Pa."""
_WATER_TO_AIR = 0.621945
"""Ratio of molar masses."""
_GAS_CONSTANT = 287.042
"""Of dry air, J/(kg K)."""


def _dry_bulb(celsius: float) -> float:
    return within("the temperature", celsius, -60, 200, "C")


def saturation_pascal(celsius: float) -> float:
    """The vapour pressure of saturated air, over ice below 0.01 C and over water above; -60 to 200 C."""
    kelvin = _dry_bulb(celsius) + 273.15
    if celsius <= 0.01:
        power = (
            -5.6745359e3 / kelvin
            + 6.3925247
            - 9.677843e-3 * kelvin
            + 6.2215701e-7 * kelvin**2
            + 2.0747825e-9 * kelvin**3
            - 9.484024e-13 * kelvin**4
            + 4.1635019 * math.log(kelvin)
        )
    else:
        power = (
            -5.8002206e3 / kelvin
            + 1.3914993
            - 4.8640239e-2 * kelvin
            + 4.1764768e-5 * kelvin**2
            - 1.4452093e-8 * kelvin**3
            + 6.5459673 * math.log(kelvin)
        )
    return math.exp(power)


def vapour_pascal(celsius: float, percent: float) -> float:
    """The vapour pressure at a dry bulb and a relative humidity.

    Range: relative humidity 0 to 100 %.
    """
    return saturation_pascal(celsius) * within("the relative humidity", percent, 0, 100, "%") / 100


def _ratio(vapour: float) -> float:
    # Hotter than boiling there is no limit to the water a kg of dry air goes with.
    within("the vapour pressure", vapour, 0, _PRESSURE, "Pa", below=True)
    return _WATER_TO_AIR * vapour / (_PRESSURE - vapour)


def humidity_ratio(celsius: float, percent: float) -> float:
    """How much water (kg a kg dry air) air of that dry bulb and relative humidity carries."""
    return _ratio(vapour_pascal(celsius, percent))


def humidity_percent(celsius: float, ratio: float) -> float:
    """The relative humidity of air with that humidity ratio (0 to 10); over 100 means fog."""
    within("the humidity ratio", ratio, 0, 10, "kg/kg")
    return 100 * _PRESSURE * ratio / (_WATER_TO_AIR + ratio) / saturation_pascal(celsius)


def humidity_ratio_from_wet_bulb(celsius: float, wet: float) -> float:
    """How much water air carries whose wet bulb shows `wet` (not above the dry bulb). Never below 0."""
    _dry_bulb(celsius)
    within("the wet bulb", wet, -60, celsius, "C")
    saturated = _ratio(saturation_pascal(wet))
    if wet >= 0:
        ratio = ((2501 - 2.326 * wet) * saturated - 1.006 * (celsius - wet)) / (
            2501 + 1.86 * celsius - 4.186 * wet
        )
    else:
        ratio = ((2830 - 0.24 * wet) * saturated - 1.006 * (celsius - wet)) / (
            2830 + 1.86 * celsius - 2.1 * wet
        )
    return max(0.0, ratio)


def dew_point_celsius(celsius: float, percent: float) -> float:
    """At which temperature water comes out of the air; percent above 0; not below -60 C."""
    within("the relative humidity", percent, 0, 100, "%", above=True)
    vapour = vapour_pascal(celsius, percent)
    low, high = -60.0, celsius
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if saturation_pascal(middle) < vapour else (low, middle)
    return (low + high) / 2


def enthalpy_kj_per_kg(celsius: float, ratio: float) -> float:
    """The heat content of moist air, from dry air at 0 C and water at 0 C: 1.006 t + W (2501 + 1.86 t).

    Range: humidity ratio 0 to 10 kg/kg.
    """
    within("the humidity ratio", ratio, 0, 10, "kg/kg")
    return 1.006 * _dry_bulb(celsius) + ratio * (2501 + 1.86 * celsius)


def volume_m3_per_kg(celsius: float, ratio: float) -> float:
    """How many m³ one kg of dry air takes up with its water.

    Range: humidity ratio 0 to 10 kg/kg.
    """
    within("the humidity ratio", ratio, 0, 10, "kg/kg")
    return _GAS_CONSTANT * (_dry_bulb(celsius) + 273.15) * (1 + 1.607858 * ratio) / _PRESSURE


def latent_heat_kj_per_kg(celsius: float) -> float:
    """The heat that evaporates one kg of water at 0 to 100 C.

    A cubic laid through steam-table values (IAPWS-IF97: 2500.9 at 0 C, 2406.0 at 40 C, 2333.1 at 70 C,
    2256.5 at 100 C); within 0.04 kJ/kg of the table over the whole range.
    """
    t = within("the temperature of the water", celsius, 0, 100, "C")
    return 2500.9 + t * (_CUBIC[0] + t * (_CUBIC[1] + t * _CUBIC[2]))


_CUBIC = (-2.3729, 4.9387e-4, -1.2060e-5)
