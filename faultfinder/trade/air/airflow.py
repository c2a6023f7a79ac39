"""Air through a heater: the rise it shows, the flow that rise means, and the water it carries out.

Flows in m³/h, powers in watt, temperatures in degrees Celsius. The density is that of the place where
the flow is meant, 1.2 kg/m³ at 20 C and sea level. Source: heat balance Q = m cp dT, cp = 1.005 kJ/(kg
K).
"""

from __future__ import annotations

import math

from faultfinder.trade.air.moist_air import humidity_ratio, volume_m3_per_kg
from faultfinder.trade.inputs import within

AIR_DENSITY = 1.2
AIR_KJ_PER_KG_KELVIN = 1.005


def air_rise(watts: float, m3_per_hour: float) -> float:
    """How much (K) air of that flow (above 0) is warmed by that heater power, none being lost: P / (rho cp V)."""
    within("the heater's power", watts, 0, 1e5, "W")
    within("the airflow", m3_per_hour, 0, 1e5, "m3/h", above=True)
    return watts / (AIR_DENSITY * AIR_KJ_PER_KG_KELVIN * 1000 * m3_per_hour / 3600)


def airflow_from_rise(watts: float, rise_kelvin: float) -> float:
    """Which airflow (m³/h) a rise (above 0) at that heater power means."""
    within("the heater's power", watts, 0, 1e5, "W")
    within("the rise", rise_kelvin, 0, 1e3, "K", above=True)
    return watts / (AIR_DENSITY * AIR_KJ_PER_KG_KELVIN * 1000 * rise_kelvin) * 3600


def water_out_grams_per_minute(
    m3_per_hour: float,
    in_celsius: float,
    in_percent: float,
    out_celsius: float,
    out_percent: float,
) -> float:
    """How many grams of water the air carries out a minute (below 0: in), the flow measured at the outlet."""
    within("the airflow", m3_per_hour, 0, 1e5, "m3/h")
    out_ratio = humidity_ratio(out_celsius, out_percent)
    dry_kg_per_minute = m3_per_hour / 60 / volume_m3_per_kg(out_celsius, out_ratio)
    return dry_kg_per_minute * (out_ratio - humidity_ratio(in_celsius, in_percent)) * 1000


def velocity_from_flow(m3_per_hour: float, millimetres: float) -> float:
    """How fast (m/s) a flow goes through a round duct of that diameter.

    Range: airflow 0 to 100 000 m³/h, diameter above 0 to 2 000 mm.
    """
    within("the airflow", m3_per_hour, 0, 1e5, "m3/h")
    within("the diameter", millimetres, 0, 2000, "mm", above=True)
    return m3_per_hour / 3600 / (math.pi * (millimetres / 1000) ** 2 / 4)
