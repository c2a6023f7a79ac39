"""What a slow machine costs against a healthy one.

Energy in kWh, money in the currency of the price given; by definition of them.
"""

from __future__ import annotations

import math

from faultfinder.trade.inputs import within


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
