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

_GIVES = """
resistance_of: Resistance of a heater of that power, ohm
watts_of_resistance: Power of a resistance, W
current_of: Current of a heater of that power, A
current_through: Current through a resistance, A
resistance_from: Resistance that lets that current flow, ohm
power_at_voltage: Power of a resistive load at the voltage it really gets, W
line_current: Line current of a heater and a motor together, A
heater_current_from_line: Heater's part of that line current, A
divided_voltage: Voltage left across a load behind a bad joint, V
other_path: Path in parallel that explains a low reading, ohm
lead_corrected: A reading less the meter's own leads, ohm
capacitor_current: Current of a healthy capacitor at mains, A
capacitance_from_current: Capacitance that passes that current, uF
discharge_seconds: Time to discharge below the safe voltage, s
drop_volts: Voltage lost in a lead, out and back, V
volts_after_lead: Voltage left at the end of a lead, V
fuse_for: Plug fuse of UK practice, A
flex_amps: What a flex carries, A
ntc_ohms: An NTC's resistance by its beta value, ohm
ntc_celsius: Temperature an NTC's resistance means, C
air_rise: Warming of the air by the heater, K
airflow_from_rise: Airflow that a warming means, m3/h
velocity_from_flow: Speed in a round duct, m/s
saturation_pascal: Vapour pressure of saturated air, Pa
dew_point: Temperature at which air gives off water, C
latent_heat: Heat that evaporates a kg of water, kJ
moisture_after_spin: Moisture of spun cotton, share of the dry mass
delivered_watts: Mean power that dried that water in that time, W
condensation_percent: Share of the water removed that was caught, %
cycle_kwh: Energy of a cycle, kWh
wasted_kwh: What a slow machine uses more a cycle, kWh
cost_a_year: What that energy costs in a year, in the price's money
parallel: Two resistances side by side, ohm
series: Two resistances one after the other, ohm
nichrome_factor: How many times its cold resistance a nickel-chromium element has at that temperature
fecral_factor: How many times its cold resistance an iron-chromium-aluminium element has at that temperature
heating_least_watts: The least a healthy heating appliance of that rated power takes, W
heating_most_watts: The most a healthy heating appliance of that rated power takes, W
motor_most_watts: The most a healthy motor-operated appliance of that rated power takes, W
capacitor_least: The least a healthy capacitor of that marking measures, uF
capacitor_most: The most a healthy capacitor of that marking measures, uF
copper_ohms: A copper winding's resistance at another temperature, ohm
winding_celsius: How hot a copper winding is, from its resistance cold and now, C
earth_path_limit: The most the earth path may measure by the strictest rules (0.1 ohm and the flex), ohm
insulation_limit_class_i: The least insulation of a class I appliance by UK practice \
(0.3 Mohm above 3 kW, else 1), Mohm
insulation_limit_class_ii: The least insulation of a class II appliance, Mohm
protective_current_limit: The most current in the protective conductor \
(3.5 mA, 1 mA a kW above 3.5 kW; DIN VDE 0701-0702), mA
touch_current_limit: The most current from touchable metal that is not earthed, by the strictest rules, mA
supply_least_volts: The least a 230 V supply may have (230 V less 10 %), V
supply_most_volts: The most a 230 V supply may have (230 V and 10 %), V
pt100_ohms: A Pt100 sensor's resistance, ohm
pt1000_ohms: A Pt1000 sensor's resistance, ohm
platinum_least_ohms: The least a healthy platinum sensor of class B measures (Pt100: 100, Pt1000: 1000), ohm
platinum_most_ohms: The most a healthy platinum sensor of class B measures, ohm
ntc_curve_ohms: An NTC's resistance through three points of its sheet, C and ohm each (Steinhart-Hart), ohm
ntc_least_ohms: The least a healthy NTC measures (5 % at 25 C, 3 % of beta), ohm
ntc_most_ohms: The most a healthy NTC measures (5 % at 25 C, 3 % of beta), ohm
humidity_ratio: Water in air of that temperature and relative humidity at sea level, kg a kg of dry air
humidity_from_wet_bulb: Relative humidity of air by its dry and wet bulb at sea level, %
air_heat: Heat content of moist air at sea level, kJ a kg of dry air
water_in_load: Water that leaves a load (moistures as shares of the dry mass), kg
minutes_to_dry: Minutes to evaporate that water with `share` of the power \
(0.64 condenser, 0.67 vented, 2.05 heat pump)
extra_minutes: Minutes more than that water ought to take at that power and share, min
least_kwh: The heat that evaporates that water, warmed from 20 to 40 C, kWh
water_out: Water the air carries out, grams a minute
duct_pascal: Pressure that a vent run takes at that airflow, Pa
flow_left: Airflow that a fan has left behind a vent run, m3/h
"""
"""Name in a rule file, and what it gives with its unit, as the guide prints it."""

_AS_THEY_ARE: tuple[Callable[..., float], ...] = (
    *(circuit.resistance_of, circuit.watts_of_resistance, circuit.current_of, circuit.current_through),
    *(
        circuit.resistance_from,
        circuit.power_at_voltage,
        circuit.line_current,
        circuit.heater_current_from_line,
    ),
    *(circuit.divided_voltage, circuit.other_path, circuit.lead_corrected),
    *(capacitor.capacitor_current, capacitor.capacitance_from_current, capacitor.discharge_seconds),
    *(supply.drop_volts, supply.volts_after_lead, supply.fuse_for, supply.flex_amps),
    *(sensors.ntc_ohms, sensors.ntc_celsius, winding.winding_celsius),
    *(airflow.air_rise, airflow.airflow_from_rise, airflow.velocity_from_flow),
    *(moist_air.saturation_pascal, moist_air.humidity_ratio),
    *(drying.moisture_after_spin, drying.delivered_watts, drying.condensation_percent),
    *(energy_cost.cycle_kwh, energy_cost.wasted_kwh, energy_cost.cost_a_year),
)
"""Formulas that have the same name in a rule file."""
_OTHERS: Mapping[str, Callable[..., float]] = {
    "dew_point": moist_air.dew_point_celsius,
    "latent_heat": moist_air.latent_heat_kj_per_kg,
    "water_out": airflow.water_out_grams_per_minute,
    "protective_current_limit": lambda heating_watts: in_service_limits.protective_current_limit(
        heating_watts / 1000
    ),
    # What a rule file cannot say is chosen here: a class of a standard, the strictest of several rules, one side.
    "parallel": lambda ohms_a, ohms_b: circuit.parallel(ohms_a, ohms_b),
    "series": lambda ohms_a, ohms_b: circuit.series(ohms_a, ohms_b),
    "nichrome_factor": lambda celsius: heating_alloy.temperature_factor("nicr_80_20", celsius),
    "fecral_factor": lambda celsius: heating_alloy.temperature_factor("fecral", celsius),
    "heating_least_watts": lambda rated_watts: power_tolerance.power_band(rated_watts)[0],
    "heating_most_watts": lambda rated_watts: power_tolerance.power_band(rated_watts)[1],
    "motor_most_watts": lambda rated_watts: power_tolerance.power_band(
        rated_watts, power_tolerance.Load.MOTOR
    )[1],
    "capacitor_least": lambda microfarads, tolerance_percent: capacitor.capacitor_band(
        microfarads, tolerance_percent
    )[0],
    "capacitor_most": lambda microfarads, tolerance_percent: capacitor.capacitor_band(
        microfarads, tolerance_percent
    )[1],
    "copper_ohms": lambda ohms_at_20, celsius: winding.resistance_at(ohms_at_20, 20.0, celsius),
    "earth_path_limit": lambda flex_metres, square_mm: (
        in_service_limits.earth_path_limit(flex_metres, square_mm).value
    ),
    "insulation_limit_class_i": lambda heating_watts: (
        in_service_limits.insulation_limit(Protection.CLASS_I, heating_watts / 1000).value
    ),
    "insulation_limit_class_ii": lambda: in_service_limits.insulation_limit(Protection.CLASS_II).value,
    "touch_current_limit": lambda: min(in_service_limits.TOUCH_CURRENT_MA.values()),
    "supply_least_volts": lambda: supply.SUPPLY_VOLTS[0],
    "supply_most_volts": lambda: supply.SUPPLY_VOLTS[1],
    "pt100_ohms": lambda celsius: sensors.platinum_ohms(100.0, celsius),
    "pt1000_ohms": lambda celsius: sensors.platinum_ohms(1000.0, celsius),
    "platinum_least_ohms": lambda ohms_at_0, celsius: sensors.platinum_range(ohms_at_0, "B", celsius)[0],
    "platinum_most_ohms": lambda ohms_at_0, celsius: sensors.platinum_range(ohms_at_0, "B", celsius)[1],
    "ntc_curve_ohms": lambda c1, r1, c2, r2, c3, r3, celsius: sensors.SteinhartHart.through(
        ((c1, r1), (c2, r2), (c3, r3))
    ).ohms(celsius),
    "ntc_least_ohms": lambda r25, beta, celsius: sensors.ntc_beta_range(r25, beta, celsius)[0],
    "ntc_most_ohms": lambda r25, beta, celsius: sensors.ntc_beta_range(r25, beta, celsius)[1],
    "humidity_from_wet_bulb": lambda celsius, wet_celsius: moist_air.humidity_percent(
        celsius, moist_air.humidity_ratio_from_wet_bulb(celsius, wet_celsius)
    ),
    "air_heat": lambda celsius, percent: moist_air.enthalpy_kj_per_kg(
        celsius, moist_air.humidity_ratio(celsius, percent)
    ),
    "water_in_load": lambda dry_kg, from_moisture, to_moisture: drying.water_in_load(
        dry_kg, from_moisture, to_moisture
    ),
    "minutes_to_dry": lambda water_kg, watts, share: drying.minutes_to_dry(water_kg, watts, share),
    "extra_minutes": lambda taken_minutes, water_kg, watts, share: drying.extra_minutes(
        taken_minutes, water_kg, watts, share
    ),
    "least_kwh": lambda water_kg: drying.least_kwh(water_kg),
    "duct_pascal": lambda m3_per_hour, metres, millimetres, roughness_mm, fittings_k: duct.duct_pressure(
        duct.Duct(metres, millimetres, roughness_mm, fittings_k), m3_per_hour
    ),
    "flow_left": lambda free_m3_per_hour, blocked_pascal, metres, millimetres, roughness_mm, fittings_k: (
        duct.flow_left(
            duct.Duct(metres, millimetres, roughness_mm, fittings_k), free_m3_per_hour, blocked_pascal
        )
    ),
}
_WORDS = dict(line.split(": ", 1) for line in _GIVES.strip().splitlines())
_KNOWN = {**{function.__name__: function for function in _AS_THEY_ARE}, **_OTHERS}

FUNCTIONS: Mapping[str, Callable[..., float]] = MappingProxyType({name: _KNOWN[name] for name in _WORDS})
"""Name in a rule file -> the formula."""


def _signature(name: str) -> str:
    parameters = [
        each.name if each.default is each.empty else f"{each.name}={each.default:g}"
        for each in signature(FUNCTIONS[name]).parameters.values()
    ]
    return f"{name}({', '.join(parameters)}): {_WORDS[name]}"


SIGNATURES: Mapping[str, str] = MappingProxyType({name: _signature(name) for name in FUNCTIONS})
"""Name -> `name(parameters): what it gives, unit`, for the guide."""
