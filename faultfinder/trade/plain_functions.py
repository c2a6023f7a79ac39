"""Formulas of this folder as rule files want them: plain numbers in, one out, units in the parameters' names.

A wrapper chooses what a rule file cannot say (a class of a standard, the strictest of several rules, one side of a
band). Its docstring is the line that the guide prints: what it gives, and the unit.
"""

from __future__ import annotations

from collections.abc import Callable

from faultfinder.trade.air import airflow, drying, duct, moist_air
from faultfinder.trade.electrical import (
    capacitor,
    circuit,
    heating_alloy,
    power_tolerance,
    sensors,
    supply,
    winding,
)
from faultfinder.trade.electrical.in_service_limits import Protection
from faultfinder.trade.electrical.in_service_limits import earth_path_limit as _earth
from faultfinder.trade.electrical.in_service_limits import insulation_limit as _insulation
from faultfinder.trade.electrical.in_service_limits import leakage_limit as _leakage


def parallel(ohms_a: float, ohms_b: float) -> float:
    """Two resistances side by side, ohm"""
    return circuit.parallel(ohms_a, ohms_b)


def series(ohms_a: float, ohms_b: float) -> float:
    """Two resistances one after the other, ohm"""
    return circuit.series(ohms_a, ohms_b)


def nichrome_factor(celsius: float) -> float:
    """How many times its cold resistance a nickel-chromium element has at that temperature"""
    return heating_alloy.temperature_factor("nicr_80_20", celsius)


def fecral_factor(celsius: float) -> float:
    """How many times its cold resistance an iron-chromium-aluminium element has at that temperature"""
    return heating_alloy.temperature_factor("fecral", celsius)


def heating_least_watts(rated_watts: float) -> float:
    """The least a healthy heating appliance of that rated power takes, W"""
    return power_tolerance.power_band(rated_watts)[0]


def heating_most_watts(rated_watts: float) -> float:
    """The most a healthy heating appliance of that rated power takes, W"""
    return power_tolerance.power_band(rated_watts)[1]


def motor_most_watts(rated_watts: float) -> float:
    """The most a healthy motor-operated appliance of that rated power takes, W"""
    return power_tolerance.power_band(rated_watts, power_tolerance.Load.MOTOR)[1]


def capacitor_least(microfarads: float, tolerance_percent: float) -> float:
    """The least a healthy capacitor of that marking measures, uF"""
    return capacitor.capacitor_band(microfarads, tolerance_percent)[0]


def capacitor_most(microfarads: float, tolerance_percent: float) -> float:
    """The most a healthy capacitor of that marking measures, uF"""
    return capacitor.capacitor_band(microfarads, tolerance_percent)[1]


def copper_ohms(ohms_at_20: float, celsius: float) -> float:
    """A copper winding's resistance at another temperature, ohm"""
    return winding.resistance_at(ohms_at_20, 20.0, celsius)


def winding_celsius(cold_ohms: float, cold_celsius: float, hot_ohms: float) -> float:
    """How hot a copper winding is, from its resistance cold and now, C"""
    return winding.winding_celsius(cold_ohms, cold_celsius, hot_ohms)


def earth_path_limit(flex_metres: float, square_mm: float) -> float:
    """The most the earth path may measure by the strictest rules (0.1 ohm and the flex), ohm"""
    return _earth(None, flex_metres, square_mm).value


def insulation_limit_class_i(heating_watts: float) -> float:
    """The least insulation of a class I appliance by UK practice (0.3 Mohm above 3 kW, else 1), Mohm"""
    return _insulation("UK", Protection.CLASS_I, heating_watts / 1000).value


def insulation_limit_class_ii() -> float:
    """The least insulation of a class II appliance, Mohm"""
    return _insulation("UK", Protection.CLASS_II).value


def protective_current_limit(heating_watts: float) -> float:
    """The most current in the protective conductor (3.5 mA, 1 mA a kW above 3.5 kW; DIN VDE 0701-0702), mA"""
    return _leakage("DE", Protection.CLASS_I, heating_kw=heating_watts / 1000).value


def touch_current_limit() -> float:
    """The most current from touchable metal that is not earthed, by the strictest rules, mA"""
    return _leakage(None, Protection.CLASS_II).value


def supply_least_volts() -> float:
    """The least a 230 V supply may have (230 V less 10 %), V"""
    return supply.supply_band("EU")[0]


def supply_most_volts() -> float:
    """The most a 230 V supply may have (230 V and 10 %), V"""
    return supply.supply_band("EU")[1]


def pt100_ohms(celsius: float) -> float:
    """A Pt100 sensor's resistance, ohm"""
    return sensors.platinum_ohms(100.0, celsius)


def pt1000_ohms(celsius: float) -> float:
    """A Pt1000 sensor's resistance, ohm"""
    return sensors.platinum_ohms(1000.0, celsius)


def platinum_least_ohms(ohms_at_0: float, celsius: float) -> float:
    """The least a healthy platinum sensor of class B measures (Pt100: 100, Pt1000: 1000), ohm"""
    return sensors.platinum_range(ohms_at_0, "B", celsius)[0]


def platinum_most_ohms(ohms_at_0: float, celsius: float) -> float:
    """The most a healthy platinum sensor of class B measures, ohm"""
    return sensors.platinum_range(ohms_at_0, "B", celsius)[1]


def ntc_curve_ohms(c1: float, r1: float, c2: float, r2: float, c3: float, r3: float, celsius: float) -> float:
    """An NTC's resistance through three points of its sheet, C and ohm each (Steinhart-Hart), ohm"""
    return sensors.SteinhartHart.through(((c1, r1), (c2, r2), (c3, r3))).ohms(celsius)


def ntc_least_ohms(r25: float, beta: float, celsius: float) -> float:
    """The least a healthy NTC measures (5 % at 25 C, 3 % of beta), ohm"""
    return sensors.ntc_beta_range(r25, beta, celsius)[0]


def ntc_most_ohms(r25: float, beta: float, celsius: float) -> float:
    """The most a healthy NTC measures (5 % at 25 C, 3 % of beta), ohm"""
    return sensors.ntc_beta_range(r25, beta, celsius)[1]


def humidity_ratio(celsius: float, percent: float) -> float:
    """Water in air of that temperature and relative humidity at sea level, kg a kg of dry air"""
    return moist_air.humidity_ratio(celsius, percent)


def humidity_from_wet_bulb(celsius: float, wet_celsius: float) -> float:
    """Relative humidity of air by its dry and wet bulb at sea level, %"""
    ratio = moist_air.humidity_ratio_from_wet_bulb(celsius, wet_celsius)
    return moist_air.humidity_percent(celsius, ratio)


def air_heat(celsius: float, percent: float) -> float:
    """Heat content of moist air at sea level, kJ a kg of dry air"""
    return moist_air.enthalpy_kj_per_kg(celsius, moist_air.humidity_ratio(celsius, percent))


def water_in_load(dry_kg: float, from_moisture: float, to_moisture: float) -> float:
    """Water that leaves a load (moistures as shares of the dry mass), kg"""
    return drying.water_in_load(dry_kg, from_moisture, to_moisture)


def minutes_to_dry(water_kg: float, watts: float, share: float) -> float:
    """Minutes to evaporate that water with `share` of the power (0.64 condenser, 0.67 vented, 2.05 heat pump)"""
    return drying.minutes_to_dry(water_kg, watts, share)


def extra_minutes(taken_minutes: float, water_kg: float, watts: float, share: float) -> float:
    """Minutes more than that water ought to take at that power and share, min"""
    return drying.extra_minutes(taken_minutes, water_kg, watts, share)


def least_kwh(water_kg: float) -> float:
    """The heat that evaporates that water, warmed from 20 to 40 C, kWh"""
    return drying.least_kwh(water_kg)


def water_out(
    m3_per_hour: float, in_celsius: float, in_percent: float, out_celsius: float, out_percent: float
) -> float:
    """Water the air carries out, grams a minute"""
    return airflow.water_out_grams_per_minute(m3_per_hour, in_celsius, in_percent, out_celsius, out_percent)


def duct_pascal(
    m3_per_hour: float, metres: float, millimetres: float, roughness_mm: float, fittings_k: float
) -> float:
    """Pressure that a vent run takes at that airflow, Pa"""
    return duct.duct_pressure(duct.Duct(metres, millimetres, roughness_mm, fittings_k), m3_per_hour)


def flow_left(
    free_m3_per_hour: float,
    blocked_pascal: float,
    metres: float,
    millimetres: float,
    roughness_mm: float,
    fittings_k: float,
) -> float:
    """Airflow that a fan has left behind a vent run, m3/h"""
    run = duct.Duct(metres, millimetres, roughness_mm, fittings_k)
    return duct.flow_left(run, free_m3_per_hour, blocked_pascal)


WRAPPED: tuple[Callable[..., float], ...] = (
    parallel,
    series,
    nichrome_factor,
    fecral_factor,
    heating_least_watts,
    heating_most_watts,
    motor_most_watts,
    capacitor_least,
    capacitor_most,
    copper_ohms,
    winding_celsius,
    earth_path_limit,
    insulation_limit_class_i,
    insulation_limit_class_ii,
    protective_current_limit,
    touch_current_limit,
    supply_least_volts,
    supply_most_volts,
    pt100_ohms,
    pt1000_ohms,
    platinum_least_ohms,
    platinum_most_ohms,
    ntc_curve_ohms,
    ntc_least_ohms,
    ntc_most_ohms,
    humidity_ratio,
    humidity_from_wet_bulb,
    air_heat,
    water_in_load,
    minutes_to_dry,
    extra_minutes,
    least_kwh,
    water_out,
    duct_pascal,
    flow_left,
)
"""All of them, in the order of the guide."""
