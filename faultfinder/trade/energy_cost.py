"""What a slow machine costs against a healthy one, and which class its use of energy would have had.

Energy in kWh, money in the currency of the price given. Sources: UK SI 1996/601 Schedule 4 (kWh a kg of
load, dry cotton); the combined energy factor of 10 CFR 430 as the efficiency programme's criteria print
it (lb a kWh).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.trade.inputs import FormulaError, within

CLASS_UP_TO: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "vented": (0.51, 0.59, 0.67, 0.75, 0.83, 0.91),
        "condenser": (0.55, 0.64, 0.73, 0.82, 0.91, 1.00),
    }
)
"""The most kWh a kg of load for the classes A to F; above is G."""


def cycle_kwh(mean_watts: float, minutes: float) -> float:
    """What a cycle uses at that mean power.

    Range: mean power 0 to 100 000 W, time 0 to 100 000 min.
    """
    within("the mean power", mean_watts, 0, 1e5, "W")
    return mean_watts * within("the time", minutes, 0, 1e5, "min") / 60_000


def wasted_kwh(slow_kwh: float, healthy_kwh: float) -> float:
    """What the slow machine uses more a cycle; 0 where it does not (a heater that is off also saves).

    Range: slow cycle from 0, healthy cycle from 0.
    """
    within("the slow cycle", slow_kwh, 0, math.inf, "kWh")
    return max(0.0, slow_kwh - within("the healthy cycle", healthy_kwh, 0, math.inf, "kWh"))


def cost_a_year(kwh_a_cycle: float, cycles_a_year: float, price_a_kwh: float) -> float:
    """What that energy costs in a year.

    Range: energy from 0, cycles a year 0 to 10 000, price 0 to 1 000.
    """
    within("the energy", kwh_a_cycle, 0, math.inf, "kWh")
    within("the cycles a year", cycles_a_year, 0, 10_000)
    return kwh_a_cycle * cycles_a_year * within("the price", price_a_kwh, 0, 1000)


def energy_class(kwh_a_cycle: float, load_kg: float, kind: str) -> str:
    """The letter A to G for a load of dry cotton; a limit belongs to the better class. kind: vented, condenser.

    Range: energy 0 to 100 kWh, load above 0 to 50 kg.
    """
    if kind not in CLASS_UP_TO:
        raise FormulaError(f'no classes for "{kind}"; there are: {", ".join(CLASS_UP_TO)}')
    within("the energy", kwh_a_cycle, 0, 100, "kWh")
    # Rounded: 4.2 kWh / 7 kg is to be 0.6 and not a last bit more.
    use = round(kwh_a_cycle / within("the load", load_kg, 0, 50, "kg", above=True), 9)
    for letter, limit in zip("ABCDEF", CLASS_UP_TO[kind], strict=True):
        if use <= limit:
            return letter
    return "G"


def kwh_from_energy_factor(pounds: float, pounds_a_kwh: float) -> float:
    """What a cycle of that load (lb) uses by its combined energy factor (lb/kWh, above 0), standby included."""
    within("the load", pounds, 0, 100, "lb", above=True)
    return pounds / within("the combined energy factor", pounds_a_kwh, 0, 100, "lb/kWh", above=True)
