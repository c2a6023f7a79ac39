"""Published tables, point by point, and worked examples; see published.py for the grades."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable

from published import Check
from published_values import (
    ANSI,
    ASHRAE,
    CEF,
    DUCT_SHEET,
    EN_50106,
    EPCOS_RT,
    EU_2533,
    IEC_335,
    IEC_60062,
    IEC_60252,
    IEC_60751,
    IRC_2012,
    MINOR,
    NICR,
    NTC_FILE,
    OPENSTAX,
    OPENSTAX_HEATER,
    SI_1996,
    TEXTBOOK_AIR,
    VDE,
    WIRE,
)

from faultfinder.trade import energy_cost
from faultfinder.trade.air import airflow, drying, duct, moist_air
from faultfinder.trade.electrical import capacitor, circuit, heater, heating_alloy, sensors, supply, winding
from faultfinder.trade.electrical.in_service_limits import Protection, earth_path_limit, leakage_limit
from faultfinder.trade.readings import component_codes, units

AS_NZS = "AS/NZS 3760"
OSHA = "29 CFR 1910.333"
DIODE_MANUAL = "LDT-5525 temperature controller instruction manual, appendix A (10 kohm thermistor)"
MINOR_DIAGRAM = "minor-loss diagrams, common practice"
COPPER = "IEC 60028:1925, copper (from memory)"
DUCT_ROUGHNESS = "roughness of ducts, common practice"

Value = Callable[[], float]


def row(what: str, value: Value, expected: float, within: float, source: str, grade: str = "quoted") -> Check:
    return Check(what, value, expected, within, source, grade)


def tables() -> list[Check]:
    return [
        *_limits(),
        *_codes(),
        *_sensors(),
        *_wire(),
        *_supply(),
        *_drying(),
        *_air(),
        *_ducts(),
        *_circuits(),
    ]


def _limits() -> list[Check]:
    two = Protection.CLASS_II
    found = [
        row("earth path", lambda: earth_path_limit("AU_NZ").value, 1.0, 0, AS_NZS),
        row("touch current", lambda: leakage_limit("DE", two).value, 0.5, 0, VDE),
        row("corded, 10 m 1.5 mm2", lambda: earth_path_limit("EU_production", 10, 1.5).value, 0.233, 1e-9,
            EN_50106, "computed"),
        row("safe without de-energising",
            lambda: inspect.signature(capacitor.discharge_seconds).parameters["safe_volts"].default, 50, 0, OSHA,
            "primary"),
        row("2000 W at 230 V, hot: least ohms", lambda: circuit.resistance_of(2000 * 1.05, 230), 25.19, 0.005,
            IEC_335, "computed"),
        row("2000 W at 230 V, hot: most ohms", lambda: circuit.resistance_of(2000 * 0.9, 230), 29.39, 0.005,
            IEC_335, "computed"),
    ]  # fmt: skip
    return found


def _codes() -> list[Check]:
    found = []
    for code, ohms in (("1K0", 1e3), ("2M2", 2.2e6), ("1L0", 1e-3)):
        found.append(
            row(
                f"resistor {code}",
                lambda c=code: component_codes.resistance_ohms(c)[0],
                ohms,
                1e-9 * ohms,
                IEC_60062,
            )
        )
    # Under 10 pF the letters mean picofarads.
    for letter, picofarad in (("B", 0.1), ("C", 0.25), ("D", 0.5)):
        found.append(
            row(
                f"4.7 pF {letter}",
                lambda c=letter: component_codes.tolerance_band(4.7, c, picofarads=True)[1] - 4.7,
                picofarad,
                1e-9,
                IEC_60062,
            )
        )
    found.append(
        row(
            "Z above",
            lambda: component_codes.tolerance_band(100, "Z")[1],
            180,
            1e-9,
            IEC_60062,
        )
    )
    found.append(row("Z below", lambda: component_codes.tolerance_band(100, "Z")[0], 80, 1e-9, IEC_60062))
    for letter, hours in (("B", 10_000), ("C", 3_000)):
        found.append(
            row(f"class {letter} life", lambda c=letter: capacitor.life_hours(c), hours, 0, IEC_60252)
        )
    for percent in (5, 10, 15):
        found.append(
            row(
                f"{percent} % is a tolerance of motor capacitors",
                lambda p=percent: float(p in capacitor.TOLERANCES_PERCENT),
                1,
                0,
                IEC_60252,
            )
        )
    return found


PLATINUM = (
    (-200, 18.52), (-100, 60.26), (-50, 80.31), (0, 100.00), (50, 119.40), (60, 123.24), (80, 130.90), (100, 138.51),
    (120, 146.07), (150, 157.33), (200, 175.86), (400, 247.09), (850, 390.48),
)  # fmt: skip
PLATINUM_TOLERANCE = {
    "A": ((0, 0.15, 0.06), (100, 0.35, 0.13), (200, 0.55, 0.20), (300, 0.75, 0.27)),
    "B": ((0, 0.30, 0.12), (100, 0.80, 0.30), (200, 1.30, 0.48), (300, 1.80, 0.64)),
}
TEN_KILOHM = {
    -20: 68104, 0: 27326, 10: 17973, 20: 12090, 25: 10000, 40: 5825, 50: 4158, 60: 3019, 70: 2227, 80: 1668,
    85: 1451, 100: 973, 120: 596,
}  # fmt: skip
FORTY_SEVEN_KILOHM = {
    0: 158214, 10: 95227, 20: 59065, 25: 47000, 40: 24591, 50: 16433, 60: 11209, 70: 7798, 80: 5518, 85: 4674,
    100: 2902, 125: 1406,
}  # fmt: skip
HUNDRED_KILOHM = {0: 357012, 25: 100000, 50: 33195, 60: 22224, 85: 8873, 100: 5384}


def _sensors() -> list[Check]:
    found = []
    for celsius, ohms in PLATINUM[1:]:  # the first, rounded, lies below the end of the scale
        # A hundredth of an ohm in the table is 0.03 K.
        found.append(
            row(
                f"{ohms} ohm of a Pt100 is",
                lambda r=ohms: sensors.platinum_celsius(100, r),
                celsius,
                0.02,
                IEC_60751,
            )
        )
    for letter, points in PLATINUM_TOLERANCE.items():
        for celsius, kelvin, ohms in points:
            found.append(
                row(
                    f"class {letter} at {celsius} C in kelvin",
                    lambda c=letter, t=celsius: sensors.platinum_tolerance_kelvin(c, t),
                    kelvin,
                    1e-9,
                    IEC_60751,
                )
            )
            found.append(
                row(
                    f"class {letter} at {celsius} C in ohm",
                    lambda c=letter, t=celsius: _half_width(c, t),
                    ohms,
                    0.006,
                    IEC_60751,
                )
            )
    for name, table, points in (
        ("10 kohm", TEN_KILOHM, (0, 50, 100)),
        ("47 kohm", FORTY_SEVEN_KILOHM, (0, 50, 100)),
        ("100 kohm", HUNDRED_KILOHM, (0, 50, 100)),
    ):
        curve = sensors.SteinhartHart.through([(t, table[t]) for t in points])
        for celsius, ohms in table.items():
            if celsius not in points:
                found.append(
                    row(
                        f"{name} NTC through three points: {celsius} C",
                        lambda c=curve, r=ohms: c.celsius(r),
                        celsius,
                        0.1 if 0 < celsius < 100 else 0.6,
                        NTC_FILE,
                        "primary",
                    )
                )
    for what, table, warm, beta in (
        ("10 kohm: B25/50", TEN_KILOHM, 50, 3382.0),
        ("47 kohm: B25/85", FORTY_SEVEN_KILOHM, 85, 4107.8),
        ("47 kohm: B25/100", FORTY_SEVEN_KILOHM, 100, 4130.9),
        ("100 kohm: B25/50", HUNDRED_KILOHM, 50, 4250.0),
    ):
        found.append(
            row(
                what,
                lambda t=table, w=warm: sensors.beta_between(t[25], 25, t[w], w),
                beta,
                0.06,
                NTC_FILE,
                "computed",
            )
        )
    diode = sensors.SteinhartHart.through([(0, 32128), (10, 19549), (40, 5331)])
    # The copy that was read has gaps; its four points miss one another by 0.15 K.
    found.append(row("9814 ohm, fitted on three others", lambda: diode.celsius(9814), 25, 0.2, DIODE_MANUAL))
    # R5 = 4.7 kohm * 2.2739, alpha 4.4 %/K.
    found.append(
        row(
            "curve 1006: the point itself",
            lambda: sensors.ntc_from_slope(4700 * 2.2739, 5, 4.4, 5),
            10687.3,
            0.05,
            EPCOS_RT,
            "computed",
        )
    )
    found.append(
        row(
            "copper: per kelvin at 20 C",
            lambda: winding.resistance_at(1, 20, 21) - 1,
            0.00393,
            5e-6,
            COPPER,
            "memory",
        )
    )
    return found


def _half_width(letter: str, celsius: float) -> float:
    low, high = sensors.platinum_range(100, letter, celsius)
    return (high - low) / 2


IRON = (1.00, 1.00, 1.00, 1.00, 1.01, 1.02, 1.02, 1.03, 1.03, 1.04, 1.04, 1.04, 1.04, 1.05)
NICKEL = (1.01, 1.02, 1.03, 1.04, 1.05, 1.04, 1.04, 1.04, 1.04, 1.05, 1.06, 1.07)


def _wire() -> list[Check]:
    """Every point of the wire makers' tables; the nickel-chromium one no better than 0.01."""
    found = []
    for alloy, factors, within, source, grade in (
        ("fecral", IRON, 1e-12, WIRE, "primary"),
        ("nicr_80_20", NICKEL, 0.01, NICR, "memory"),
    ):
        for place, factor in enumerate(factors, 1):
            found.append(
                row(
                    f"{alloy} at {100 * place} C",
                    lambda a=alloy, t=100 * place: heating_alloy.temperature_factor(a, t),
                    factor,
                    within,
                    source,
                    grade,
                )
            )
    found.append(
        row(
            "between two points: 150 C",
            lambda: heating_alloy.temperature_factor("nicr_80_20", 150),
            1.015,
            1e-9,
            NICR,
            "computed",
        )
    )
    return found


def _supply() -> list[Check]:
    return [
        row(
            "112 V: not in range A",
            lambda: float(112 >= supply.supply_band("US_range_A")[0]),
            0,
            0,
            ANSI,
            "computed",
        ),
        row(
            "112 V: in range B",
            lambda: float(112 >= supply.supply_band("US_range_B")[0]),
            1,
            0,
            ANSI,
            "computed",
        ),
        row(
            "206.9 V: below the EU's",
            lambda: float(206.9 >= supply.supply_band("EU")[0]),
            0,
            0,
            EU_2533,
            "computed",
        ),
        row(
            "253.1 V: above the EU's",
            lambda: float(253.1 <= supply.supply_band("EU")[1]),
            0,
            0,
            EU_2533,
            "computed",
        ),
        row(
            "2500 W at 240 V",
            lambda: circuit.power_at_voltage(2500, 230, 240),
            2722,
            0.5,
            "physics",
            "computed",
        ),
        row(
            "3 A at 230 V",
            lambda: float(supply.fuse_carries(3, 690, 230)) - float(supply.fuse_carries(3, 691, 230)),
            1,
            0,
            "physics",
            "computed",
        ),
    ]


def _drying() -> list[Check]:
    found = [
        row(
            "a full load's weight", lambda: drying.weighted_energy_kwh(1, 0), 0.24, 1e-12, EU_2533, "primary"
        ),
        row(
            "a half load's weight", lambda: drying.weighted_energy_kwh(0, 1), 0.76, 1e-12, EU_2533, "primary"
        ),
    ]
    for kind, kwh, minutes, share, grams in (
        ("condenser", 2.73, 76, 0.64, 34.3),
        ("vented", 2.58, 76, 0.67, 34.3),
        ("heat pump", 0.85, 134, 2.05, 19.4),
    ):
        found.append(
            row(
                f"benchmark {kind}: latent share",
                lambda k=kwh: drying.latent_share(2.604, k),
                share,
                0.008,
                f"{EU_2533}, Annex V",
                "computed",
            )
        )
        watts = kwh / minutes * 60_000
        found.append(
            row(
                f"benchmark {kind}: minutes a kg",
                lambda w=watts, s=share: 1000 / drying.minutes_to_dry(1, w, s),
                grams,
                0.5,
                f"{EU_2533}, Annex V",
                "computed",
            )
        )
    for kind, place in (("vented", "D"), ("condenser", "C")):
        found.append(
            row(
                f"4.2 kWh for 6 kg, {kind}: {place}",
                lambda k=kind, p=place: float(energy_cost.energy_class(4.2, 6, k) == p),
                1,
                0,
                SI_1996,
                "computed",
            )
        )
    for factor, pounds, kwh in ((3.80, 3, 0.789), (3.45, 3, 0.870), (3.48, 8.45, 2.428)):
        found.append(
            row(
                f"{factor} lb/kWh, {pounds} lb",
                lambda f=factor, p=pounds: energy_cost.kwh_from_energy_factor(p, f),
                kwh,
                5e-4,
                CEF,
                "computed",
            )
        )
    # unverified: from memory (initial 57.5 %, final 2 %)
    found.append(
        row(
            "8.45 lb from 57.5 to 2 %",
            lambda: drying.water_in_load(units.convert(8.45, "mass", "lb", "kg"), 0.575, 0.02),
            2.127,
            0.001,
            "10 CFR 430, appendix D2",
            "memory",
        )
    )
    return found


def _air() -> list[Check]:
    """Example 1 again in its printed inch-pound form, and the states of the worked heating coils."""
    dry, wet = units.convert(100, "temperature", "F", "C"), units.convert(65, "temperature", "F", "C")
    ratio = moist_air.humidity_ratio_from_wet_bulb(dry, wet)
    percent = moist_air.humidity_percent(dry, ratio)
    cubic_feet_a_pound = (1 / 0.3048) ** 3 * 0.45359237
    example = f"{ASHRAE}, example 1 (inch-pound)"
    found = [
        row("100/65 F: W", lambda: ratio, 0.00523, 1e-4, example),
        row("100/65 F: RH", lambda: percent, 13, 1, example),
        row(
            "100/65 F: dew point",
            lambda: units.convert(moist_air.dew_point_celsius(dry, percent), "temperature", "C", "F"),
            40,
            1,
            example,
        ),
        row(
            "100/65 F: v",
            lambda: moist_air.volume_m3_per_kg(dry, ratio) * cubic_feet_a_pound,
            14.22,
            0.142,
            example,
        ),
        row(
            "0.05 kg/s warmed by 1.76 kW",
            lambda: airflow.air_rise(1760, 150),
            35,
            0.05,
            "physics",
            "computed",
        ),
    ]
    for celsius, humid, to, before, after, volume in (
        (10, 80, 30, 25.4, 45.7, 0.81),
        (15, 90, 50, 38.988, 74.814, 0.828),
    ):
        water = moist_air.humidity_ratio(celsius, humid)
        for what, value, expected in (
            (
                f"h at {celsius} C {humid} %",
                lambda t=celsius, w=water: moist_air.enthalpy_kj_per_kg(t, w),
                before,
            ),
            (f"h at {to} C, the same water", lambda t=to, w=water: moist_air.enthalpy_kj_per_kg(t, w), after),
            (
                f"v at {celsius} C {humid} %",
                lambda t=celsius, w=water: moist_air.volume_m3_per_kg(t, w),
                volume,
            ),
        ):
            found.append(row(what, value, expected, 0.01 * expected, TEXTBOOK_AIR, "memory"))
    found.append(row("2 C saturated: h", lambda: moist_air.enthalpy_kj_per_kg(2, moist_air.humidity_ratio(2, 100)),
                     12.9417, 0.06, f"{ASHRAE}, example 2"))  # fmt: skip
    return found


def _ducts() -> list[Check]:
    flow = 7.14 * math.pi * 0.2545**2 / 4 * 3600
    return [
        row(
            "pressure of the speed",
            lambda: duct.duct_pressure(duct.Duct(0, 254.5, 0.09, 1), flow),
            31,
            0.5,
            DUCT_SHEET,
            "memory",
        ),
        row(
            "pressure a metre",
            lambda: duct.duct_pressure(duct.Duct(1, 254.5, 0.09), flow),
            2.3,
            0.05,
            DUCT_SHEET,
            "memory",
        ),
        row("350 x 200 mm: its own speed", lambda: 0.5 / (0.35 * 0.2), 7.14, 0.005, DUCT_SHEET, "computed"),
        row(
            "galvanised",
            lambda: duct.ROUGHNESS_MM["galvanised"],
            0.09,
            0,
            DUCT_SHEET,
            "memory",
        ),
        row(
            "flexible, 0.012 ft",
            lambda: duct.ROUGHNESS_MM["flexible"],
            0.012 * 304.8,
            0.005,
            DUCT_ROUGHNESS,
            "memory",
        ),
        row(
            "aluminium, 0.0002 ft",
            lambda: duct.ROUGHNESS_MM["smooth_metal"],
            0.0002 * 304.8,
            0.005,
            DUCT_ROUGHNESS,
            "memory",
        ),
        row(
            "a sharp right angle loses about one",
            lambda: duct.BEND_K["mitred_90"],
            1.0,
            0.25,
            MINOR_DIAGRAM,
            "memory",
        ),
        row(
            "1.202 at f 0.0251",
            lambda: duct.equivalent_metres(1.202, 100, 0.0251),
            4.8,
            0.02,
            MINOR,
            "computed",
        ),
        row(
            "0.3404 at f 0.0251",
            lambda: duct.equivalent_metres(0.3404, 100, 0.0251),
            1.36,
            0.01,
            MINOR,
            "computed",
        ),
        row("35 ft in mm", lambda: units.convert(35, "length", "ft", "mm"), 10668, 1e-6, IRC_2012),
        row(
            "17 ft of run and three mitred 90 fit, 18 of 35 left",
            lambda: duct.allowed_feet(2012, ["mitred_90"] * 3) - 17,
            3,
            1e-9,
            IRC_2012,
            "computed",
        ),
    ]


def _circuits() -> list[Check]:
    behind = circuit.parallel(6, 13)
    amps = circuit.current_through(1 + behind, 12)
    table = heater.current_table(heater.TwoSections.from_watts(1000, 1400, 230), 230, 0, 1)
    high = {each.state: each.line_amps[heater.Setting.HIGH] for each in table}
    return [
        row(
            "1 ohm at 3 V",
            lambda: circuit.current_through(1, 3),
            3.00,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        row(
            "2 ohm at 3 V",
            lambda: circuit.current_through(2, 3),
            1.50,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        row(
            "all of them: power",
            lambda: circuit.watts_of_resistance(circuit.parallel(1, 2, 2), 3),
            18.00,
            1e-9,
            OPENSTAX,
            "primary",
        ),
        row("in series: current", lambda: circuit.current_through(5, 3), 0.60, 1e-12, OPENSTAX, "primary"),
        row(
            "90 ohm at 9 V",
            lambda: circuit.current_through(90, 9),
            0.1,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        row(
            "across 20 ohm",
            lambda: circuit.divided_voltage(9, 20, 70),
            2,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        row(
            "across 10 ohm",
            lambda: circuit.divided_voltage(9, 10, 80),
            1,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        row(
            "1, 6 and 13 in series",
            lambda: circuit.series(1, 6, 13),
            20.0,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        row(
            "1, 6 and 13 in parallel",
            lambda: circuit.parallel(1, 6, 13),
            0.804,
            5e-4,
            OPENSTAX,
            "primary",
        ),
        row("volts on the lead", lambda: amps * 1.0, 2.35, 0.005, OPENSTAX, "primary"),
        row(
            "through 6 ohm",
            lambda: circuit.current_through(6, circuit.divided_voltage(12, behind, 1)),
            1.61,
            0.005,
            OPENSTAX,
            "primary",
        ),
        row(
            "6 ohm without the lead", lambda: circuit.current_through(6, 12), 2.00, 1e-12, OPENSTAX, "primary"
        ),
        row(
            "300 W at 110 V, unrounded: its wire",
            lambda: heating_alloy.wire_length(circuit.resistance_of(300, 110), 1.0, 2.08),
            83.9,
            0.05,
            OPENSTAX_HEATER,
            "computed",
        ),
        row("both sections", lambda: high["both whole"], 10.43, 0.006, "physics", "computed"),
        row("1000 W section alone", lambda: high["added section open"], 4.35, 0.005, "physics", "computed"),
        row("1400 W section alone", lambda: high["low section open"], 6.09, 0.005, "physics", "computed"),
    ]


__all__ = ["tables"]
