"""Water to be removed from a load, the heat that takes, and so the minutes it ought to take.

Masses in kg, power in watt, time in minutes, energy in kWh. Moisture is the water as a share of the
bone-dry load: 0.6 is 60 %. `share` is the part of the heat put in that evaporates water: benchmarks of
Regulation (EU) 2023/2533 Annex V give 0.64 for condenser and 0.67 for vented machines with a heater, and
2.05 for heat pumps (which move more heat than they are fed), reckoned at 2406 kJ/kg.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.trade.air.moist_air import latent_heat_kj_per_kg
from faultfinder.trade.inputs import FormulaError, between_points, within

MOISTURE_AFTER_SPIN: Mapping[int, float] = MappingProxyType(
    {400: 1.05, 600: 0.85, 800: 0.70, 1000: 0.60, 1200: 0.53, 1400: 0.50, 1600: 0.46}
)
"""Moisture of spun cotton by revolutions a minute; common practice, no source, good to ±0.08."""

_WATER_KJ = 4.186
_COTTON_KJ = 1.3
"""Specific heats, kJ/(kg K); that of cotton from memory."""


def water_in_load(dry_kg: float, from_moisture: float, to_moisture: float = 0.0) -> float:
    """How much water (kg) leaves a load dried from one moisture to another (shares of the dry mass, 0 to 3)."""
    within("the load", dry_kg, 0, 50, "kg")
    within("the first moisture", from_moisture, 0, 3)
    return dry_kg * (from_moisture - within("the last moisture", to_moisture, 0, from_moisture))


def moisture_after_spin(rpm: float) -> float:
    """The moisture of cotton after a spin (share of the dry mass), straight lines between MOISTURE_AFTER_SPIN.

    0 to 3000 rpm; outside 400 to 1600 the end value holds. Common practice, no source.
    """
    within("the spin speed", rpm, 0, 3000, "rpm")
    return between_points(tuple(MOISTURE_AFTER_SPIN.items()), rpm)


def least_kwh(
    water_kg: float, dry_kg: float = 0.0, from_celsius: float = 20.0, at_celsius: float = 40.0
) -> float:
    """The least heat (kWh) that dries a load: water and cloth warmed once, the water evaporated, nothing lost.

    Range: water 0 to 100 kg, load 0 to 50 kg, first temperature 0 to at_celsius C.
    """
    within("the water", water_kg, 0, 100, "kg")
    within("the load", dry_kg, 0, 50, "kg")
    within("the first temperature", from_celsius, 0, at_celsius, "C")
    warming = (water_kg * _WATER_KJ + dry_kg * _COTTON_KJ) * (at_celsius - from_celsius)
    return (water_kg * latent_heat_kj_per_kg(at_celsius) + warming) / 3600


def minutes_to_dry(water_kg: float, watts: float, share: float = 0.65) -> float:
    """How long removing that water takes at that mean power (above 0) with `share` of it evaporating (2406 kJ/kg).

    share above 0, at most 5 (a heat pump is above 1). An open heater, 0 W, never dries: FormulaError.
    """
    within("the water", water_kg, 0, 100, "kg")
    within("the power", watts, 0, 1e5, "W", above=True)
    within("the share", share, 0, 5, above=True)
    return water_kg * latent_heat_kj_per_kg(40) * 1000 / (watts * share) / 60


def delivered_watts(water_kg: float, minutes: float, share: float = 0.65) -> float:
    """Which mean power a machine really put in that took `minutes` (above 0) for that water."""
    within("the water", water_kg, 0, 100, "kg")
    within("the time", minutes, 0, 1e5, "min", above=True)
    within("the share", share, 0, 5, above=True)
    return water_kg * latent_heat_kj_per_kg(40) * 1000 / (minutes * 60) / share


def extra_minutes(taken_minutes: float, water_kg: float, watts: float, share: float = 0.65) -> float:
    """How many minutes more than it ought to take it took; below 0 it was faster than reckoned."""
    within("the time taken", taken_minutes, 0, 1e5, "min")
    return taken_minutes - minutes_to_dry(water_kg, watts, share)


def condensation_percent(condensed_kg: float, removed_kg: float) -> float:
    """How much of the water removed from the load was caught; the rest leaked into the room.

    80 % is the least for a condenser machine (Regulation (EU) 2023/2533 Annex II 3). More caught than was
    removed is a slip of the scales: FormulaError above 105 %.
    Range: water removed above 0 to 100 kg, water caught 0 to 100 kg.
    """
    within("the water removed", removed_kg, 0, 100, "kg", above=True)
    percent = 100 * within("the water caught", condensed_kg, 0, 100, "kg") / removed_kg
    if percent > 105:
        raise FormulaError(f"{condensed_kg:g} kg caught of {removed_kg:g} kg removed cannot be; weigh again.")
    return min(percent, 100.0)
