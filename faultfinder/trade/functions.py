"""The formulas that a rule file may use by name: plain numbers in, a plain number out.

Each wraps one function of this folder with the units in its parameter names; the folder's modules tell
the source. A value outside a formula's range raises FormulaError, which the reader of the rule file
shows beside the line. Volts and ohms hold for one phase and for resistances that are hot or cold as the
formula says.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from inspect import signature
from types import MappingProxyType

from faultfinder.trade import (
    airflow,
    capacitor,
    circuit,
    drying,
    duct,
    energy_cost,
    heating_alloy,
    moist_air,
    power_tolerance,
    sensors,
    supply,
    winding,
)
from faultfinder.trade.in_service_limits import Protection
from faultfinder.trade.in_service_limits import earth_path_limit as _earth
from faultfinder.trade.in_service_limits import insulation_limit as _insulation

__all__ = ["FUNCTIONS", "SIGNATURES"]


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


def earth_path_limit(flex_metres: float, square_mm: float) -> float:
    """The most the earth path may measure by the strictest rules (0.1 ohm and the flex), ohm"""
    return _earth(None, flex_metres, square_mm).value


def insulation_limit_class_i(heating_watts: float) -> float:
    """The least insulation of a class I appliance by UK practice (0.3 Mohm above 3 kW, else 1), Mohm"""
    return _insulation("UK", Protection.CLASS_I, heating_watts / 1000).value


def insulation_limit_class_ii() -> float:
    """The least insulation of a class II appliance, Mohm"""
    return _insulation("UK", Protection.CLASS_II).value


def pt100_ohms(celsius: float) -> float:
    """A Pt100 sensor's resistance, ohm"""
    return sensors.platinum_ohms(100.0, celsius)


def pt1000_ohms(celsius: float) -> float:
    """A Pt1000 sensor's resistance, ohm"""
    return sensors.platinum_ohms(1000.0, celsius)


def ntc_least_ohms(r25: float, beta: float, celsius: float) -> float:
    """The least a healthy NTC measures (5 % at 25 C, 3 % of beta), ohm"""
    return sensors.ntc_beta_range(r25, beta, celsius)[0]


def ntc_most_ohms(r25: float, beta: float, celsius: float) -> float:
    """The most a healthy NTC measures (5 % at 25 C, 3 % of beta), ohm"""
    return sensors.ntc_beta_range(r25, beta, celsius)[1]


def humidity_ratio(celsius: float, percent: float) -> float:
    """Water in air of that temperature and relative humidity at sea level, kg a kg of dry air"""
    return moist_air.humidity_ratio(celsius, percent)


def water_in_load(dry_kg: float, from_moisture: float, to_moisture: float) -> float:
    """Water that leaves a load (moistures as shares of the dry mass), kg"""
    return drying.water_in_load(dry_kg, from_moisture, to_moisture)


def minutes_to_dry(water_kg: float, watts: float, share: float) -> float:
    """Minutes to evaporate that water with `share` of the power (0.64 condenser, 0.67 vented, 2.05 heat pump)"""
    return drying.minutes_to_dry(water_kg, watts, share)


def least_kwh(water_kg: float) -> float:
    """The heat that evaporates that water, warmed from 20 to 40 C, kWh"""
    return drying.least_kwh(water_kg)


def water_out(
    m3_per_hour: float, in_celsius: float, in_percent: float, out_celsius: float, out_percent: float
) -> float:
    """Water the air carries out, grams a minute"""
    return airflow.water_out_grams_per_minute(m3_per_hour, in_celsius, in_percent, out_celsius, out_percent)


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


_DIRECT: Mapping[str, tuple[Callable[..., float], str]] = {
    "resistance_of": (circuit.resistance_of, "Resistance of a heater of that power, ohm"),
    "watts_of_resistance": (circuit.watts_of_resistance, "Power of a resistance, W"),
    "current_of": (circuit.current_of, "Current of a heater of that power, A"),
    "current_through": (circuit.current_through, "Current through a resistance, A"),
    "resistance_from": (circuit.resistance_from, "Resistance that lets that current flow, ohm"),
    "power_at_voltage": (
        circuit.power_at_voltage,
        "Power of a resistive load at the voltage it really gets, W",
    ),
    "line_current": (circuit.line_current, "Line current of a heater and a motor together, A"),
    "heater_current_from_line": (circuit.heater_current_from_line, "Heater's part of that line current, A"),
    "divided_voltage": (circuit.divided_voltage, "Voltage left across a load behind a bad joint, V"),
    "other_path": (circuit.other_path, "Path in parallel that explains a low reading, ohm"),
    "capacitor_current": (capacitor.capacitor_current, "Current of a healthy capacitor at mains, A"),
    "capacitance_from_current": (
        capacitor.capacitance_from_current,
        "Capacitance that passes that current, uF",
    ),
    "discharge_seconds": (capacitor.discharge_seconds, "Time to discharge below the safe voltage, s"),
    "drop_volts": (supply.drop_volts, "Voltage lost in a lead, out and back, V"),
    "volts_after_lead": (supply.volts_after_lead, "Voltage left at the end of a lead, V"),
    "fuse_for": (supply.fuse_for, "Plug fuse of UK practice, A"),
    "flex_amps": (supply.flex_amps, "What a flex carries, A"),
    "ntc_ohms": (sensors.ntc_ohms, "An NTC's resistance by its beta value, ohm"),
    "ntc_celsius": (sensors.ntc_celsius, "Temperature an NTC's resistance means, C"),
    "air_rise": (airflow.air_rise, "Warming of the air by the heater, K"),
    "airflow_from_rise": (airflow.airflow_from_rise, "Airflow that a warming means, m3/h"),
    "velocity_from_flow": (airflow.velocity_from_flow, "Speed in a round duct, m/s"),
    "saturation_pascal": (moist_air.saturation_pascal, "Vapour pressure of saturated air, Pa"),
    "dew_point": (moist_air.dew_point_celsius, "Temperature at which air gives off water, C"),
    "latent_heat": (moist_air.latent_heat_kj_per_kg, "Heat that evaporates a kg of water, kJ"),
    "moisture_after_spin": (drying.moisture_after_spin, "Moisture of spun cotton, share of the dry mass"),
    "delivered_watts": (drying.delivered_watts, "Mean power that dried that water in that time, W"),
    "condensation_percent": (drying.condensation_percent, "Share of the water removed that was caught, %"),
    "cycle_kwh": (energy_cost.cycle_kwh, "Energy of a cycle, kWh"),
}

_WRAPPED: tuple[Callable[..., float], ...] = (
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
    earth_path_limit,
    insulation_limit_class_i,
    insulation_limit_class_ii,
    pt100_ohms,
    pt1000_ohms,
    ntc_least_ohms,
    ntc_most_ohms,
    humidity_ratio,
    water_in_load,
    minutes_to_dry,
    least_kwh,
    water_out,
    flow_left,
)

FUNCTIONS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {name: function for name, (function, _) in _DIRECT.items()}
    | {function.__name__: function for function in _WRAPPED}
)
"""Name in a rule file -> the formula."""


def _signature(name: str, function: Callable[..., float], words: str) -> str:
    parameters = [
        each.name if each.default is each.empty else f"{each.name}={each.default:g}"
        for each in signature(function).parameters.values()
    ]
    return f"{name}({', '.join(parameters)}): {words}"


SIGNATURES: Mapping[str, str] = MappingProxyType(
    {name: _signature(name, function, words) for name, (function, words) in _DIRECT.items()}
    | {each.__name__: _signature(each.__name__, each, each.__doc__ or "") for each in _WRAPPED}
)
"""Name -> `name(parameters): what it gives, unit`, for the guide."""
