"""The formulas that a rule file may use by name: plain numbers in, a plain number out.

Each is a function of this folder with the units in its parameter names; the folder's modules tell
the source. A value outside a formula's range raises FormulaError, which the reader of the rule file
shows beside the line. Volts and ohms hold for one phase and for resistances that are hot or cold as the
formula says.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from inspect import signature
from types import MappingProxyType

from faultfinder.trade import energy_cost
from faultfinder.trade.air import airflow, drying, duct, moist_air
from faultfinder.trade.electrical import (
    capacitor,
    circuit,
    heating_alloy,
    in_service_limits,
    power_tolerance,
    sensors,
    supply,
    winding,
)
from faultfinder.trade.electrical.in_service_limits import Protection

_FORMULAS: Mapping[str, tuple[Callable[..., float], str]] = {
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
    "lead_corrected": (circuit.lead_corrected, "A reading less the meter's own leads, ohm"),
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
    "wasted_kwh": (energy_cost.wasted_kwh, "What a slow machine uses more a cycle, kWh"),
    "cost_a_year": (energy_cost.cost_a_year, "What that energy costs in a year, in the price's money"),
    # What a rule file cannot say is chosen here: a class of a standard, the strictest of several rules, one side.
    "parallel": (
        lambda ohms_a, ohms_b: circuit.parallel(ohms_a, ohms_b),
        "Two resistances side by side, ohm",
    ),
    "series": (
        lambda ohms_a, ohms_b: circuit.series(ohms_a, ohms_b),
        "Two resistances one after the other, ohm",
    ),
    "nichrome_factor": (
        lambda celsius: heating_alloy.temperature_factor("nicr_80_20", celsius),
        "How many times its cold resistance a nickel-chromium element has at that temperature",
    ),
    "fecral_factor": (
        lambda celsius: heating_alloy.temperature_factor("fecral", celsius),
        "How many times its cold resistance an iron-chromium-aluminium element has at that temperature",
    ),
    "heating_least_watts": (
        lambda rated_watts: power_tolerance.power_band(rated_watts)[0],
        "The least a healthy heating appliance of that rated power takes, W",
    ),
    "heating_most_watts": (
        lambda rated_watts: power_tolerance.power_band(rated_watts)[1],
        "The most a healthy heating appliance of that rated power takes, W",
    ),
    "motor_most_watts": (
        lambda rated_watts: power_tolerance.power_band(rated_watts, power_tolerance.Load.MOTOR)[1],
        "The most a healthy motor-operated appliance of that rated power takes, W",
    ),
    "capacitor_least": (
        lambda microfarads, tolerance_percent: capacitor.capacitor_band(microfarads, tolerance_percent)[0],
        "The least a healthy capacitor of that marking measures, uF",
    ),
    "capacitor_most": (
        lambda microfarads, tolerance_percent: capacitor.capacitor_band(microfarads, tolerance_percent)[1],
        "The most a healthy capacitor of that marking measures, uF",
    ),
    "copper_ohms": (
        lambda ohms_at_20, celsius: winding.resistance_at(ohms_at_20, 20.0, celsius),
        "A copper winding's resistance at another temperature, ohm",
    ),
    "winding_celsius": (
        lambda cold_ohms, cold_celsius, hot_ohms: winding.winding_celsius(cold_ohms, cold_celsius, hot_ohms),
        "How hot a copper winding is, from its resistance cold and now, C",
    ),
    "earth_path_limit": (
        lambda flex_metres, square_mm: in_service_limits.earth_path_limit(None, flex_metres, square_mm).value,
        "The most the earth path may measure by the strictest rules (0.1 ohm and the flex), ohm",
    ),
    "insulation_limit_class_i": (
        lambda heating_watts: (
            in_service_limits.insulation_limit("UK", Protection.CLASS_I, heating_watts / 1000).value
        ),
        "The least insulation of a class I appliance by UK practice (0.3 Mohm above 3 kW, else 1), Mohm",
    ),
    "insulation_limit_class_ii": (
        lambda: in_service_limits.insulation_limit("UK", Protection.CLASS_II).value,
        "The least insulation of a class II appliance, Mohm",
    ),
    "protective_current_limit": (
        lambda heating_watts: (
            in_service_limits.leakage_limit("DE", Protection.CLASS_I, heating_kw=heating_watts / 1000).value
        ),
        "The most current in the protective conductor (3.5 mA, 1 mA a kW above 3.5 kW; DIN VDE 0701-0702), mA",
    ),
    "touch_current_limit": (
        lambda: in_service_limits.leakage_limit(None, Protection.CLASS_II).value,
        "The most current from touchable metal that is not earthed, by the strictest rules, mA",
    ),
    "supply_least_volts": (
        lambda: supply.supply_band("EU")[0],
        "The least a 230 V supply may have (230 V less 10 %), V",
    ),
    "supply_most_volts": (
        lambda: supply.supply_band("EU")[1],
        "The most a 230 V supply may have (230 V and 10 %), V",
    ),
    "pt100_ohms": (
        lambda celsius: sensors.platinum_ohms(100.0, celsius),
        "A Pt100 sensor's resistance, ohm",
    ),
    "pt1000_ohms": (
        lambda celsius: sensors.platinum_ohms(1000.0, celsius),
        "A Pt1000 sensor's resistance, ohm",
    ),
    "platinum_least_ohms": (
        lambda ohms_at_0, celsius: sensors.platinum_range(ohms_at_0, "B", celsius)[0],
        "The least a healthy platinum sensor of class B measures (Pt100: 100, Pt1000: 1000), ohm",
    ),
    "platinum_most_ohms": (
        lambda ohms_at_0, celsius: sensors.platinum_range(ohms_at_0, "B", celsius)[1],
        "The most a healthy platinum sensor of class B measures, ohm",
    ),
    "ntc_curve_ohms": (
        lambda c1, r1, c2, r2, c3, r3, celsius: sensors.SteinhartHart.through(
            ((c1, r1), (c2, r2), (c3, r3))
        ).ohms(celsius),
        "An NTC's resistance through three points of its sheet, C and ohm each (Steinhart-Hart), ohm",
    ),
    "ntc_least_ohms": (
        lambda r25, beta, celsius: sensors.ntc_beta_range(r25, beta, celsius)[0],
        "The least a healthy NTC measures (5 % at 25 C, 3 % of beta), ohm",
    ),
    "ntc_most_ohms": (
        lambda r25, beta, celsius: sensors.ntc_beta_range(r25, beta, celsius)[1],
        "The most a healthy NTC measures (5 % at 25 C, 3 % of beta), ohm",
    ),
    "humidity_ratio": (
        lambda celsius, percent: moist_air.humidity_ratio(celsius, percent),
        "Water in air of that temperature and relative humidity at sea level, kg a kg of dry air",
    ),
    "humidity_from_wet_bulb": (
        lambda celsius, wet_celsius: moist_air.humidity_percent(
            celsius, moist_air.humidity_ratio_from_wet_bulb(celsius, wet_celsius)
        ),
        "Relative humidity of air by its dry and wet bulb at sea level, %",
    ),
    "air_heat": (
        lambda celsius, percent: moist_air.enthalpy_kj_per_kg(
            celsius, moist_air.humidity_ratio(celsius, percent)
        ),
        "Heat content of moist air at sea level, kJ a kg of dry air",
    ),
    "water_in_load": (
        lambda dry_kg, from_moisture, to_moisture: drying.water_in_load(dry_kg, from_moisture, to_moisture),
        "Water that leaves a load (moistures as shares of the dry mass), kg",
    ),
    "minutes_to_dry": (
        lambda water_kg, watts, share: drying.minutes_to_dry(water_kg, watts, share),
        "Minutes to evaporate that water with `share` of the power (0.64 condenser, 0.67 vented, 2.05 heat pump)",
    ),
    "extra_minutes": (
        lambda taken_minutes, water_kg, watts, share: drying.extra_minutes(
            taken_minutes, water_kg, watts, share
        ),
        "Minutes more than that water ought to take at that power and share, min",
    ),
    "least_kwh": (
        lambda water_kg: drying.least_kwh(water_kg),
        "The heat that evaporates that water, warmed from 20 to 40 C, kWh",
    ),
    "water_out": (
        lambda m3_per_hour, in_celsius, in_percent, out_celsius, out_percent: (
            airflow.water_out_grams_per_minute(m3_per_hour, in_celsius, in_percent, out_celsius, out_percent)
        ),
        "Water the air carries out, grams a minute",
    ),
    "duct_pascal": (
        lambda m3_per_hour, metres, millimetres, roughness_mm, fittings_k: duct.duct_pressure(
            duct.Duct(metres, millimetres, roughness_mm, fittings_k), m3_per_hour
        ),
        "Pressure that a vent run takes at that airflow, Pa",
    ),
    "flow_left": (
        lambda free_m3_per_hour, blocked_pascal, metres, millimetres, roughness_mm, fittings_k: (
            duct.flow_left(
                duct.Duct(metres, millimetres, roughness_mm, fittings_k), free_m3_per_hour, blocked_pascal
            )
        ),
        "Airflow that a fan has left behind a vent run, m3/h",
    ),
}
"""Name in a rule file -> the formula, and what it gives with its unit, as the guide prints it."""

FUNCTIONS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {name: function for name, (function, _) in _FORMULAS.items()}
)
"""Name in a rule file -> the formula."""


def _signature(name: str, function: Callable[..., float], words: str) -> str:
    parameters = [
        each.name if each.default is each.empty else f"{each.name}={each.default:g}"
        for each in signature(function).parameters.values()
    ]
    return f"{name}({', '.join(parameters)}): {words}"


SIGNATURES: Mapping[str, str] = MappingProxyType(
    {name: _signature(name, function, words) for name, (function, words) in _FORMULAS.items()}
)
"""Name -> `name(parameters): what it gives, unit`, for the guide."""
