"""Published numbers that the trade's formulas are checked against (tests/reference/published_values.yaml):
`python tests/helpers/published.py` counts them.

Grades: 'primary' read in the standard, law, report or data file itself or a verbatim copy; 'quoted' read in a page,
data sheet or manual that quotes it; 'computed' arithmetic on such a number, or a definition put in figures;
'memory' from memory, common practice, or read where nobody can look it up: no proof of anything. Only the first two
count, and each source once, whatever its editions.
"""

from __future__ import annotations

import inspect
import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

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
from faultfinder.trade.readings import meter, reading, units

ROWS = Path(__file__).parents[1] / "reference" / "published_values.yaml"
GRADES = ("primary", "quoted", "computed", "memory")


@dataclass(frozen=True)
class Check:
    """A formula, what it ought to give and how near, where that stands, and how it was read there."""

    what: str
    formula: str
    expected: float
    within: float
    source: str
    grade: str

    def value(self) -> float:
        return float(eval(self.formula, {**names()}))


def all_checks() -> list[Check]:
    return [
        Check(what, formula, float(eval(str(expected))), float(within), source, grade)
        for source, grades in yaml.safe_load(ROWS.read_text(encoding="utf-8")).items()
        for grade, rows in grades.items()
        for what, formula, expected, within in rows
    ]


def sources(checks: Iterable[Check]) -> Counter[str]:
    """How many counted rows each source gives; a source is what stands before the first comma."""
    return Counter(each.source.partition(",")[0] for each in checks if each.grade in ("primary", "quoted"))


@cache
def names() -> dict[str, Any]:
    """What a formula of a row may name: all of the trade's modules, and what several rows share."""
    known: dict[str, Any] = {}
    for module in (
        airflow, capacitor, circuit, drying, duct, energy_cost, heating_alloy, in_service_limits,
        meter, moist_air, power_tolerance, reading, sensors, supply, units, winding,
    ):  # fmt: skip
        known |= vars(module)
    known |= in_service_limits.Protection.__members__ | power_tolerance.Load.__members__
    celsius_100_f, celsius_65_f = (units.convert(each, "temperature", "F", "C") for each in (100, 65))
    ratio_100_65 = moist_air.humidity_ratio_from_wet_bulb(celsius_100_f, celsius_65_f)
    return known | {
        "default": lambda function, name: inspect.signature(function).parameters[name].default,
        "through": sensors.SteinhartHart.through,
        "ntc_10k": sensors.SteinhartHart.through([(0, 27326), (50, 4158), (100, 973)]),
        "ntc_47k": sensors.SteinhartHart.through([(0, 158214), (50, 16433), (100, 2902)]),
        "ntc_100k": sensors.SteinhartHart.through([(0, 357012), (50, 33195), (100, 5384)]),
        "platinum_half_width": _platinum_half_width,
        "percent_40_20": moist_air.humidity_percent(40, moist_air.humidity_ratio_from_wet_bulb(40, 20)),
        "celsius_100_f": celsius_100_f,
        "ratio_100_65": ratio_100_65,
        "percent_100_65": moist_air.humidity_percent(celsius_100_f, ratio_100_65),
        "celsius_to_f": lambda celsius: units.convert(celsius, "temperature", "C", "F"),
        "cubic_feet_a_pound": 0.45359237 / 0.3048**3,
        "sheet_flow": 7.14 * math.pi * 0.2545**2 / 4 * 3600,
    }


def _platinum_half_width(letter: str, celsius: float) -> float:
    low, high = sensors.platinum_range(100, letter, celsius)
    return (high - low) / 2


def main() -> None:
    checks = all_checks()
    by_grade = Counter(each.grade for each in checks)
    print(", ".join(f"{by_grade[grade]} {grade}" for grade in GRADES))
    counted = sources(checks)
    print(f"{sum(counted.values())} count, from {len(counted)} sources:")
    for source, count in sorted(counted.items(), key=lambda pair: -pair[1]):
        print(f"{count:>4}  {source}")


if __name__ == "__main__":
    main()
