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

from faultfinder.trade import energy_cost
from faultfinder.trade.air import airflow, drying, moist_air
from faultfinder.trade.electrical import capacitor, circuit, sensors, supply
from faultfinder.trade.plain_functions import WRAPPED

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
}

FUNCTIONS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {name: function for name, (function, _) in _DIRECT.items()}
    | {function.__name__: function for function in WRAPPED}
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
    | {each.__name__: _signature(each.__name__, each, each.__doc__ or "") for each in WRAPPED}
)
"""Name -> `name(parameters): what it gives, unit`, for the guide."""
