"""The names that rule files may use."""

from __future__ import annotations

import ast
import doctest
import inspect
import math

import pytest

from faultfinder.errors import FaultFinderError
from faultfinder.trade.functions import FUNCTIONS, SIGNATURES

# An ordinary call of each, and what it gives (by hand or by the module's own checks); one whose docstring shows
# such a call needs no row.
CALLS: dict[str, tuple[tuple[float, ...], float]] = {
    "resistance_of": ((2000, 230), 26.45),
    "watts_of_resistance": ((26.45, 230), 2000),
    "current_of": ((2300, 230), 10),
    "current_through": ((33, 231), 7),
    "resistance_from": ((231, 7), 33),
    "power_at_voltage": ((2500, 230, 207), 2025),
    "line_current": ((5, 138, 0.6, 230), math.hypot(5.6, 0.8)),
    "heater_current_from_line": ((math.hypot(5.6, 0.8), 138, 0.6, 230), 5),
    "divided_voltage": ((230, 22, 1), 220),
    "other_path": ((16.5, 33), 33),
    "capacitor_current": ((9, 230, 50), 0.6503),
    "capacitance_from_current": ((0.6503, 230, 50), 9),
    "discharge_seconds": ((100, 10, 10000, 50), 0.1 * math.log(2)),
    "drop_volts": ((10, 25, 1.5), 6.65),
    "volts_after_lead": ((230, 23, 25, 1.5), 230 / (1 + 0.665 / 23)),
    "fuse_for": ((2400,), 13),
    "flex_amps": ((1.5,), 15),
    "ntc_ohms": ((10000, 3435, 25), 10000),
    "ntc_celsius": ((10000, 3435, 10000), 25),
    "air_rise": ((2500, 180), 41.46),
    "airflow_from_rise": ((2500, 41.46), 180),
    "velocity_from_flow": ((150, 100), 5.305),
    "saturation_pascal": ((25,), 3169.2),
    "dew_point": ((25, 100), 25),
    "latent_heat": ((40,), 2406.0),
    "moisture_after_spin": ((1000,), 0.6),
    "delivered_watts": ((3.6, 100, 0.6), 2406),
    "condensation_percent": ((4, 5), 80),
    "cycle_kwh": ((2400, 60), 2.4),
    "parallel": ((33, 33), 16.5),
    "series": ((33, 33), 66),
    "nichrome_factor": ((500,), 1.05),
    "fecral_factor": ((500,), 1.01),
    "heating_least_watts": ((2400,), 2160),
    "heating_most_watts": ((2400,), 2520),
    "motor_most_watts": ((600,), 690),
    "capacitor_least": ((8, 5), 7.6),
    "capacitor_most": ((8, 5), 8.4),
    "copper_ohms": ((100, 20), 100),
    "earth_path_limit": ((2, 1.5), 0.1266),
    "insulation_limit_class_i": ((2400,), 1),
    "insulation_limit_class_ii": ((), 2),
    "pt100_ohms": ((100,), 138.51),
    "pt1000_ohms": ((100,), 1385.1),
    "ntc_least_ohms": ((10000, 3435, 25), 10000 / 1.05),
    "ntc_most_ohms": ((10000, 3435, 25), 10500),
    "humidity_ratio": ((25, 50), 0.009881),
    "water_in_load": ((7, 0.6, 0), 4.2),
    "minutes_to_dry": ((4.2, 2406, 0.7), 100),
    "least_kwh": ((1,), (2406 + 83.72) / 3600),
    "water_out": ((150, 20, 50, 20, 50), 0),
    "lead_corrected": ((33.3, 0.3), 33),
    "wasted_kwh": ((4, 2.5), 1.5),
    "cost_a_year": ((1.5, 160, 0.3), 72),
    "winding_celsius": ((80, 20, 100), 83.625),
    "protective_current_limit": ((5000,), 5),
    "touch_current_limit": ((), 0.25),
    "supply_least_volts": ((), 207),
    "supply_most_volts": ((), 253),
    "platinum_least_ohms": ((100, 0), 99.88),
    "platinum_most_ohms": ((1000, 0), 1001.17),
    "ntc_curve_ohms": ((0, 27326, 50, 4158, 100, 973, 50), 4158),
    "humidity_from_wet_bulb": ((20, 20), 100),
    "air_heat": ((25, 50), 50.32),
    "extra_minutes": ((120, 4.2, 2406, 0.7), 20),
    "duct_pascal": ((0, 6, 100, 0.09, 2.4), 0),
    "flow_left": ((180, 200, 0, 100, 0.09, 0), 180),
}


def shown(name: str) -> tuple[float, ...] | None:
    """The numbers that the example in a formula's docstring calls it with; tests/test_examples.py runs those."""
    for example in doctest.DocTestParser().get_examples(FUNCTIONS[name].__doc__ or ""):
        for node in ast.walk(ast.parse(example.source)):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == FUNCTIONS[name].__name__:
                return tuple(ast.literal_eval(each) for each in node.args)
    return None


ORDINARY = {name: CALLS[name][0] if name in CALLS else shown(name) for name in FUNCTIONS}


def test_every_function_has_its_check_and_every_check_its_function() -> None:
    assert set(CALLS) <= set(FUNCTIONS) == set(SIGNATURES)
    assert not [name for name, arguments in ORDINARY.items() if arguments is None], (
        "a row above, or an example"
    )


@pytest.mark.parametrize("name", sorted(CALLS))
def test_function_gives_a_plain_number(name: str) -> None:
    arguments, expected = CALLS[name]
    value = FUNCTIONS[name](*arguments)
    assert isinstance(value, float)
    assert value == pytest.approx(expected, rel=1e-3, abs=1e-9)


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_signature_tells_the_parameters_by_name(name: str) -> None:
    parameters = inspect.signature(FUNCTIONS[name]).parameters.values()
    assert all(each.kind is each.POSITIONAL_OR_KEYWORD for each in parameters)
    head, words = SIGNATURES[name].split(": ", 1)
    assert head.startswith(f"{name}(") and all(each.name in head for each in parameters)
    assert words and words == words.strip() and len(SIGNATURES[name]) < 200


@pytest.mark.parametrize("name", sorted(name for name in FUNCTIONS if ORDINARY[name]))
def test_what_is_no_number_is_refused_in_one_sentence(name: str) -> None:
    arguments = ORDINARY[name] or ()
    with pytest.raises(FaultFinderError, match="not a number|below 0|-5") as refused:
        FUNCTIONS[name](*(math.nan for _ in arguments))
    assert str(refused.value).endswith(".")
