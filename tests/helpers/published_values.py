"""Single published numbers, the sources by name; see published.py for the grades."""

from __future__ import annotations

import math
from collections.abc import Callable

from published import Check

from faultfinder.trade import energy_cost
from faultfinder.trade.air import airflow, drying, duct, moist_air
from faultfinder.trade.electrical import capacitor, circuit, heating_alloy, sensors, supply, winding
from faultfinder.trade.electrical.in_service_limits import (
    Protection,
    earth_path_limit,
    insulation_limit,
    leakage_limit,
)
from faultfinder.trade.electrical.power_tolerance import Load, power_band, row_for
from faultfinder.trade.readings import component_codes, meter

IEC_335 = "IEC 335-1:1991, 10.1, Table 1 (read in the identical GOST R IEC 335-1-94)"
EN_50106 = "EN 50106:2008, A.1"
IET = "IET Code of Practice for In-service Inspection and Testing, 4th edition (2012)"
IET_5 = "IET Code of Practice for In-service Inspection and Testing, 5th edition (2020)"
VDE = "DIN VDE 0701-0702:2008"
IEC_60228 = "IEC 60228, class 5"
IEC_60062 = "IEC 60062:2016"
IEC_60063 = "IEC 60063:2015"
IEC_60252 = "IEC 60252-1"
IEC_60751 = "IEC 60751"
EPCOS_RT = "EPCOS Standardized R/T characteristics, curve 1006"
NTC_FILE = "Linux kernel, drivers/hwmon/ntc_thermistor.c (commit 02d8f11d), makers' tables"
WIRE = "Kanthal A-1 data sheet, 4 February 2021, temperature factor Ct"
NICR = "wire maker's data sheet for NiCr 80/20, seen in transcription only"
EU_2533 = "Regulation (EU) 2023/2533"
ANSI = "ANSI C84.1, service voltage, ranges A and B"
STEAM = "Ohio University, Engineering Thermodynamics property tables (online), H2O_TempSat1"
SI_1996 = "UK SI 1996/601, Schedule 4"
CEF = "ENERGY STAR Clothes Dryers Key Product Criteria, version 1"
ASHRAE = "ASHRAE Fundamentals 2017, chapter 1"  # read where psychrolib's tests quote it
PSU = "university page on moist air, untitled"
TEXTBOOK_AIR = "air-conditioning problems (heating coil), untitled"
OPENSTAX = "OpenStax, University Physics (2016), module m58454 (resistors in series and parallel)"
OPENSTAX_HEATER = "OpenStax, University Physics (2016), module m58734 (nichrome heater)"
OPENSTAX_FLOW = "OpenStax, University Physics (2016), module m58359 (continuity of flow)"
DUCT_SHEET = "duct design calculation sheet, untitled"
MINOR = "L = K D / f"
IRC_2006 = "IRC, 2006 edition, M1502 (25 ft)"
IRC_2012 = "IRC, 2012 edition, M1502.4.4.1 (35 ft) and its table of bends"
BS_1362 = "UK practice for BS 1362 fuses, common practice"
IEC_60085 = "IEC 60085, thermal classes"
WINDING = "234.5 C and 80 to 100 ohm of copper"
METERS = "per cent of the reading + counts"
GUM = "JCGM 100:2008 (GUM)"
IEC_60038 = "IEC 60038, Table 1, as applied in the UK (230 V +10/-6 %)"


def off(watts: float, load: Load, side: int) -> Callable[[], float]:
    """How far a limit lies from the marked power, as a share of it: what the table prints."""
    return lambda: power_band(watts, load)[side] / watts - 1


def beyond(watts: float, load: Load, side: int) -> Callable[[], float]:
    """The same in watts."""
    return lambda: power_band(watts, load)[side] - watts


def rows() -> list[Check]:
    heat, motor = Load.HEATING, Load.MOTOR
    found = [
        Check("20 W any: most", off(20, heat, 1), 0.20, 1e-9, IEC_335, "primary"),
        Check("20 W any: no least", lambda: power_band(20, heat)[0], 0.0, 0, IEC_335, "primary"),
        Check("150 W heating: least", off(150, heat, 0), -0.10, 1e-9, IEC_335, "primary"),
        Check("150 W heating: most", off(150, heat, 1), 0.10, 1e-9, IEC_335, "primary"),
        Check("300 W heating: 20 W rules", beyond(300, heat, 1), 20, 1e-9, IEC_335, "primary"),
        Check("300 W heating: least", off(300, heat, 0), -0.10, 1e-9, IEC_335, "primary"),
        Check("2400 W heating: least", off(2400, heat, 0), -0.10, 1e-9, IEC_335, "primary"),
        Check("2400 W heating: most", off(2400, heat, 1), 0.05, 1e-9, IEC_335, "primary"),
        Check("200 W motor: most", off(200, motor, 1), 0.20, 1e-9, IEC_335, "primary"),
        Check("350 W motor: 60 W rules", beyond(350, motor, 1), 60, 1e-9, IEC_335, "primary"),
        Check("600 W motor: most", off(600, motor, 1), 0.15, 1e-9, IEC_335, "primary"),
        Check(
            "800 W with 700 W of motors: motor row",
            lambda: power_band(800, row_for(800, 700))[1] / 800 - 1,
            0.15,
            1e-9,
            IEC_335,
            "primary",
        ),
        Check(
            "2500 W with 200 W of motor: heating row",
            lambda: power_band(2500, row_for(2500, 200))[0] / 2500 - 1,
            -0.10,
            1e-9,
            IEC_335,
            "primary",
        ),
        Check(
            "corded, 2 m 1.5 mm2: 0.2 ohm",
            lambda: earth_path_limit("EU_production", 2, 1.5).value,
            0.2,
            1e-12,
            EN_50106,
            "primary",
        ),
        Check(
            "earth path UK, 2 m 1.5",
            lambda: earth_path_limit("UK", 2, 1.5).value,
            0.1266,
            1e-9,
            IET,
            "computed",
        ),
        Check(
            "earth path UK, 5 m 1.5",
            lambda: earth_path_limit("UK", 5, 1.5).value,
            0.1665,
            1e-9,
            IET,
            "computed",
        ),
        Check(
            "earth path UK, 2 m 0.75",
            lambda: earth_path_limit("UK", 2, 0.75).value,
            0.152,
            1e-9,
            IET,
            "computed",
        ),
    ]
    for area, milliohm in ((0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98), (4.0, 4.95)):
        found.append(
            Check(
                f"one conductor of {area} mm2",
                lambda area=area: supply.conductor_milliohm_per_metre(area),
                milliohm,
                1e-12,
                IEC_60228,
                "quoted",
            )
        )
    for metres, ohms in ((2, 0.3), (6, 0.4), (12.5, 0.4), (13, 0.5), (20, 0.5), (60, 1.0)):
        grade = "quoted" if metres in (2, 60) else "computed"
        found.append(
            Check(
                f"earth path DE, {metres} m",
                lambda metres=metres: earth_path_limit("DE", metres).value,
                ohms,
                1e-12,
                VDE,
                grade,
            )
        )
    one, two, three = Protection.CLASS_I, Protection.CLASS_II, Protection.CLASS_III
    found += [
        Check("insulation UK class I", lambda: insulation_limit("UK", one).value, 1.0, 0, IET, "quoted"),
        Check("insulation UK class II", lambda: insulation_limit("UK", two).value, 2.0, 0, IET, "quoted"),
        Check("insulation UK 2.5 kW", lambda: insulation_limit("UK", one, 2.5).value, 1.0, 0, IET, "quoted"),
        Check("insulation UK 3.5 kW", lambda: insulation_limit("UK", one, 3.5).value, 0.3, 0, IET, "quoted"),
        Check("insulation UK 3.0 kW", lambda: insulation_limit("UK", one, 3.0).value, 1.0, 0, IET, "memory"),
        Check("insulation DE class I", lambda: insulation_limit("DE", one).value, 1.0, 0, VDE, "quoted"),
        Check("insulation DE class II", lambda: insulation_limit("DE", two).value, 2.0, 0, VDE, "quoted"),
        Check("insulation DE class III", lambda: insulation_limit("DE", three).value, 0.25, 0, VDE, "quoted"),
        Check(
            "insulation DE, elements on",
            lambda: insulation_limit("DE", one, 2.4, True).value,
            0.3,
            0,
            VDE,
            "quoted",
        ),
        Check("leakage class II", lambda: leakage_limit("UK", two, 4).value, 0.25, 0, IET, "quoted"),
        Check("leakage portable", lambda: leakage_limit("UK", one, 4, True).value, 0.75, 0, IET, "quoted"),
        Check(
            "leakage other class I", lambda: leakage_limit("UK", one, 4, False).value, 3.5, 0, IET, "quoted"
        ),
        Check("leakage 5th edition", lambda: leakage_limit("UK", two, 5).value, 5.0, 0, IET_5, "quoted"),
    ]
    for kilowatt, milliamp in ((0.5, 0.75), (1.0, 0.75), (2.4, 1.8), (3.0, 2.25), (6, 4.5), (8, 5.0)):
        found.append(
            Check(
                f"leakage, heating {kilowatt} kW",
                lambda kilowatt=kilowatt: leakage_limit("UK", one, 4, False, kilowatt).value,
                milliamp,
                1e-9,
                IET,
                "quoted" if milliamp in (0.75, 5.0) else "computed",
            )
        )
    for kilowatt, milliamp in ((2.4, 3.5), (5, 5.0), (12, 10.0)):
        found.append(
            Check(
                f"protective conductor current DE, {kilowatt} kW",
                lambda kilowatt=kilowatt: leakage_limit("DE", one, None, None, kilowatt).value,
                milliamp,
                1e-9,
                VDE,
                "computed" if kilowatt == 5 else "quoted",
            )
        )
    for code, ohms in (
        ("R47", 0.47),
        ("4R7", 4.7),
        ("470R", 470),
        ("4K7", 4700),
        ("47K", 47000),
        ("47K3", 47300),
        ("470K", 470e3),
        ("4M7", 4.7e6),
        ("R10", 0.1),
        ("R300", 0.3),
    ):
        found.append(
            Check(
                f"resistor {code}",
                lambda code=code: component_codes.resistance_ohms(code)[0],
                ohms,
                1e-9 * ohms,
                IEC_60062,
                "quoted",
            )
        )
    for code, farad in (
        ("10p", 10e-12),
        ("4n7", 4.7e-9),
        ("1u0", 1e-6),
        ("2n2", 2.2e-9),
        ("105", 1e-6),
        ("103", 1e-8),
    ):
        found.append(
            Check(
                f"capacitor {code}",
                lambda code=code: component_codes.capacitance_farad(code)[0],
                farad,
                1e-9 * farad,
                IEC_60062 if not code.isdigit() else "three-digit code, common practice",
                "quoted" if not code.isdigit() else "memory",
            )
        )
    found += [
        Check(
            "4K7J least",
            lambda: component_codes.tolerance_band(4700, "J")[0],
            4465,
            1e-9,
            IEC_60062,
            "computed",
        ),
        Check(
            "4K7J most",
            lambda: component_codes.tolerance_band(4700, "J")[1],
            4935,
            1e-9,
            IEC_60062,
            "computed",
        ),
        Check(
            "E24 near 26.45",
            lambda: component_codes.nearest_preferred(26.45),
            27.0,
            1e-12,
            IEC_60063,
            "computed",
        ),
        Check(
            "E12 near 4900",
            lambda: component_codes.nearest_preferred(4900, "E12"),
            4700.0,
            1e-9,
            IEC_60063,
            "computed",
        ),
        Check("8 uF 5 %: least", lambda: capacitor.capacitor_band(8, 5)[0], 7.6, 1e-9, IEC_60252, "computed"),
        Check("8 uF 5 %: most", lambda: capacitor.capacitor_band(8, 5)[1], 8.4, 1e-9, IEC_60252, "computed"),
        Check(
            "12.5 uF 10 %", lambda: capacitor.capacitor_band(12.5, 10)[0], 11.25, 1e-9, IEC_60252, "computed"
        ),
        Check(
            "12.5 uF 10 %: most",
            lambda: capacitor.capacitor_band(12.5, 10)[1],
            13.75,
            1e-9,
            IEC_60252,
            "computed",
        ),
        Check("class A life", lambda: capacitor.life_hours("A"), 30_000, 0, IEC_60252, "quoted"),
        Check("class D life", lambda: capacitor.life_hours("D"), 1_000, 0, IEC_60252, "quoted"),
        Check(
            "9 uF at 230 V 50 Hz",
            lambda: capacitor.capacitor_current(9, 230, 50),
            0.650,
            5e-4,
            "physics",
            "computed",
        ),
        Check(
            "0.650 A back to uF",
            lambda: capacitor.capacitance_from_current(0.650, 230, 50),
            9.00,
            0.01,
            "physics",
            "computed",
        ),
    ]
    for celsius, ohms in (
        (-200, 18.52),
        (-100, 60.26),
        (-50, 80.31),
        (0, 100.00),
        (50, 119.40),
        (60, 123.24),
        (80, 130.90),
        (100, 138.51),
        (120, 146.07),
        (150, 157.33),
        (200, 175.86),
        (400, 247.09),
        (850, 390.48),
    ):
        found.append(
            Check(
                f"Pt100 at {celsius} C",
                lambda celsius=celsius: sensors.platinum_ohms(100, celsius),
                ohms,
                0.005001,
                IEC_60751,
                "quoted",
            )
        )
    found += [
        Check(
            "curve 1006: 7 C from 5 C",
            lambda: sensors.ntc_from_slope(10.6873e3, 5, 4.4, 7),
            9793.2,
            0.5,
            EPCOS_RT,
            "primary",
        ),
        Check(
            "47 kohm NTC: B25/50",
            lambda: sensors.beta_between(47000, 25, 16433, 50),
            4049.9,
            0.05,
            NTC_FILE,
            "computed",
        ),
        Check(
            "10 kohm NTC: B25/85",
            lambda: sensors.beta_between(10000, 25, 1451, 85),
            3435.4,
            0.05,
            NTC_FILE,
            "computed",
        ),
        Check(
            "10 kohm NTC: B25/100",
            lambda: sensors.beta_between(10000, 25, 973, 100),
            3456.2,
            0.05,
            NTC_FILE,
            "computed",
        ),
        Check(
            "beta misses the table at 0 C",
            lambda: sensors.ntc_ohms(10000, 3456.2, 0),
            28892,
            2,
            NTC_FILE,
            "computed",
        ),
        Check(
            "20.99 ohm cold, 500 C",
            lambda: heating_alloy.hot_ohms(20.99, "nicr_80_20", 500),
            22.04,
            0.005,
            NICR,
            "computed",
        ),
        Check(
            "2400 W cold: least",
            lambda: heating_alloy.cold_range(2400, 230, 0.9, 1.05, 1.05)[0],
            19.99,
            0.005,
            IEC_335,
            "computed",
        ),
        Check(
            "2400 W cold: most",
            lambda: heating_alloy.cold_range(2400, 230, 0.9, 1.05, 1.05)[1],
            23.32,
            0.01,
            IEC_335,
            "computed",
        ),
        Check(
            "EU least volts", lambda: supply.supply_band("EU")[0] / 230 - 1, -0.10, 1e-9, EU_2533, "primary"
        ),
        Check("EU most volts", lambda: supply.supply_band("EU")[1] / 230 - 1, 0.10, 1e-9, EU_2533, "primary"),
        Check("UK least volts", lambda: supply.supply_band("UK")[0], 216.2, 1e-9, IEC_60038, "computed"),
        Check(
            "range A least",
            lambda: supply.supply_band("US_range_A")[0] / 120 - 1,
            -0.05,
            1e-3,
            ANSI,
            "quoted",
        ),
        Check(
            "range A most", lambda: supply.supply_band("US_range_A")[1] / 120 - 1, 0.05, 1e-3, ANSI, "quoted"
        ),
        Check(
            "range B least",
            lambda: supply.supply_band("US_range_B")[0] / 120 - 1,
            -0.083,
            1e-3,
            ANSI,
            "quoted",
        ),
        Check(
            "range B most", lambda: supply.supply_band("US_range_B")[1] / 120 - 1, 0.058, 1e-3, ANSI, "quoted"
        ),
        Check(
            "2500 W at 207 V",
            lambda: circuit.power_at_voltage(2500, 230, 207),
            2025,
            0.5,
            "physics",
            "computed",
        ),
        Check(
            "2500 W at 253 V",
            lambda: circuit.power_at_voltage(2500, 230, 253),
            3025,
            0.5,
            "physics",
            "computed",
        ),
    ]
    for celsius, heat_of in (
        (20, 2453.5),
        (25, 2441.7),
        (30, 2429.8),
        (40, 2406.0),
        (50, 2382.0),
        (60, 2357.6),
        (70, 2333.0),
        (80, 2308.0),
        (90, 2282.5),
    ):
        found.append(
            Check(
                f"latent heat at {celsius} C",
                lambda celsius=celsius: moist_air.latent_heat_kj_per_kg(celsius),
                heat_of,
                0.15,
                STEAM,
                "quoted",
            )
        )
    found += [
        Check(
            "7 kg, 60 % to 0",
            lambda: drying.water_in_load(7, 0.6),
            4.2,
            1e-9,
            f"{EU_2533}, Art. 2(14)",
            "computed",
        ),
        Check(
            "8 kg, 60 % to 0",
            lambda: drying.water_in_load(8, 0.6),
            4.8,
            1e-9,
            f"{EU_2533}, Art. 2(14)",
            "computed",
        ),
        Check(
            "3.8 of 4.6 kg caught",
            lambda: drying.condensation_percent(3.8, 4.6),
            82.6,
            0.05,
            EU_2533,
            "computed",
        ),
        Check(
            "3.6 of 4.6 kg caught",
            lambda: drying.condensation_percent(3.6, 4.6),
            78.3,
            0.05,
            EU_2533,
            "computed",
        ),
        Check(
            "limit 7 kg",
            lambda: drying.energy_limit_kwh(7),
            1.332,
            5e-4,
            f"guidance to {EU_2533}",
            "computed",
        ),
        Check(
            "limit 8 kg",
            lambda: drying.energy_limit_kwh(8),
            1.449,
            5e-4,
            f"guidance to {EU_2533}",
            "computed",
        ),
        Check(
            "limit vented",
            lambda: drying.energy_limit_kwh(7, 76),
            1.192,
            5e-4,
            f"guidance to {EU_2533}",
            "computed",
        ),
        Check(
            "benchmark condenser: 76 min back",
            lambda: drying.minutes_to_dry(2.604, 2730 / 76 * 60, drying.LATENT_SHARE["condenser"]),
            76,
            0.6,
            f"{EU_2533}, Annex V",
            "computed",
        ),
        Check(
            "benchmark vented: 76 min back",
            lambda: drying.minutes_to_dry(2.604, 2580 / 76 * 60, drying.LATENT_SHARE["vented"]),
            76,
            0.6,
            f"{EU_2533}, Annex V",
            "computed",
        ),
        Check(
            "benchmark heat pump: 134 min back",
            lambda: drying.minutes_to_dry(2.604, 850 / 134 * 60, drying.LATENT_SHARE["heat_pump"]),
            134,
            1,
            f"{EU_2533}, Annex V",
            "computed",
        ),
        Check(
            "3.93 lb/kWh, 8.45 lb",
            lambda: energy_cost.kwh_from_energy_factor(8.45, 3.93),
            2.150,
            5e-4,
            CEF,
            "computed",
        ),
        Check(
            "2.68 lb/kWh, 3 lb",
            lambda: energy_cost.kwh_from_energy_factor(3, 2.68),
            1.119,
            5e-4,
            CEF,
            "computed",
        ),
    ]
    for kind, limits in (
        ("vented", (0.51, 0.59, 0.67, 0.75, 0.83, 0.91)),
        ("condenser", (0.55, 0.64, 0.73, 0.82, 0.91, 1.00)),
    ):
        for place, limit in enumerate(limits):
            for use, index in ((limit, place), (limit + 0.001, place + 1)):
                found.append(
                    Check(
                        f"{kind}, {use:.3f} kWh/kg",
                        lambda use=use, kind=kind: "ABCDEFG".index(
                            energy_cost.energy_class(use * 6, 6, kind)
                        ),
                        index,
                        0,
                        SI_1996,
                        "primary" if use == limit else "computed",
                    )
                )
    wet = moist_air.humidity_ratio_from_wet_bulb(40, 20)
    relative = moist_air.humidity_percent(40, wet)
    found += [
        Check("40/20 wet: W", lambda: wet, 0.0065, 1e-4, f"{ASHRAE}, example 1", "quoted"),
        Check(
            "40/20 wet: dew point",
            lambda: moist_air.dew_point_celsius(40, relative),
            7,
            0.5,
            f"{ASHRAE}, example 1",
            "quoted",
        ),
        Check("40/20 wet: RH", lambda: relative, 14, 1, f"{ASHRAE}, example 1", "quoted"),
        Check(
            "40/20 wet: h",
            lambda: moist_air.enthalpy_kj_per_kg(40, wet),
            56.7,
            0.1,
            f"{ASHRAE}, example 1",
            "quoted",
        ),
        Check(
            "40/20 wet: v",
            lambda: moist_air.volume_m3_per_kg(40, wet),
            0.896,
            0.009,
            f"{ASHRAE}, example 1",
            "quoted",
        ),
        Check(
            "30 C, W 0.020: h",
            lambda: moist_air.enthalpy_kj_per_kg(30, 0.020),
            81.316,
            0.025,
            ASHRAE,
            "quoted",
        ),
        Check("dry 25 C: h", lambda: moist_air.enthalpy_kj_per_kg(25, 0), 25.148, 0.0076, ASHRAE, "quoted"),
        Check("dry 25 C: v", lambda: moist_air.volume_m3_per_kg(25, 0), 0.8443, 0.00085, ASHRAE, "quoted"),
        Check("500 m", lambda: moist_air.atmosphere_pascal(500), 95461, 1, f"{ASHRAE}, table 1", "quoted"),
        Check("1000 m", lambda: moist_air.atmosphere_pascal(1000), 89875, 1, f"{ASHRAE}, table 1", "quoted"),
    ]
    for celsius, pascal in ((5, 872.6), (25, 3169.7), (50, 12351.3), (100, 101418.0), (150, 476101.4)):
        found.append(
            Check(
                f"saturation pressure {celsius} C",
                lambda celsius=celsius: moist_air.saturation_pascal(celsius),
                pascal,
                3e-4 * pascal,
                f"{ASHRAE}, table 3",
                "quoted",
            )
        )
    for celsius, ratio, share in (
        (5, 0.005425, 0.005),
        (25, 0.020173, 0.005),
        (50, 0.086863, 0.01),
        (85, 0.838105, 0.02),
    ):
        found.append(
            Check(
                f"saturated W {celsius} C",
                lambda celsius=celsius: moist_air.humidity_ratio(celsius, 100),
                ratio,
                share * ratio,
                f"{ASHRAE}, table 2",
                "quoted",
            )
        )
    for celsius, heat_content in ((5, 18.639), (25, 76.504), (50, 275.353), (85, 2307.539)):
        found.append(
            Check(
                f"saturated h {celsius} C",
                lambda celsius=celsius: moist_air.enthalpy_kj_per_kg(
                    celsius, moist_air.humidity_ratio(celsius, 100)
                ),
                heat_content,
                0.01 * heat_content,
                f"{ASHRAE}, table 2",
                "quoted",
            )
        )
    found += [
        Check(
            "25 C 75 % at 100 kPa: W",
            lambda: moist_air.humidity_ratio(25, 75, 100_000),
            0.0152,
            0.005 * 0.0152,
            PSU,
            "memory",
        ),
        Check("25 C 75 %: vapour", lambda: moist_air.vapour_pascal(25, 75), 2380, 12, PSU, "memory"),
        Check(
            "heating 0.5 m3/s, 10 to 30 C",
            lambda: airflow.heat_to_warm_watts(0.5, 10, 80, 30),
            12530,
            60,
            TEXTBOOK_AIR,
            "memory",
        ),
        Check(
            "heating 1.2 m3/s, 15 to 50 C",
            lambda: airflow.heat_to_warm_watts(1.2, 15, 90, 50),
            51922,
            150,
            TEXTBOOK_AIR,
            "memory",
        ),
        Check(
            "heating 10 m3/s, 2 to 40 C",
            lambda: airflow.heat_to_warm_watts(10, 2, 100, 40),
            490e3,
            1500,
            ASHRAE,
            "memory",
        ),
        Check("2.5 kW in 0.05 m3/s", lambda: airflow.air_rise(2500, 180), 41.5, 0.05, "physics", "computed"),
        Check(
            "house aired through a 300 mm duct",
            lambda: airflow.speed_from_volume(13 * 20 * 2.75, 900, 300),
            11.2,
            0.05,
            OPENSTAX_FLOW,
            "primary",
        ),
        Check(
            "350 x 200 mm: hydraulic diameter",
            lambda: duct.hydraulic_mm(350, 200),
            254.5,
            0.05,
            DUCT_SHEET,
            "computed",
        ),
        Check(
            "f at Re 120 727, 0.09 mm",
            lambda: duct.friction_factor(120727.27, 0.09 / 254.5),
            0.0191,
            1.5e-4,
            DUCT_SHEET,
            "memory",
        ),
        Check(
            "K 6, 100 mm, f 0.018",
            lambda: duct.equivalent_metres(6, 100, 0.018),
            33.33,
            0.005,
            MINOR,
            "computed",
        ),
        Check(
            "two mitred 90 and a 45",
            lambda: duct.allowed_feet(2012, ["mitred_90", "mitred_90", "mitred_45"]),
            22.5,
            1e-9,
            IRC_2012,
            "computed",
        ),
        Check(
            "three mitred 90",
            lambda: duct.allowed_feet(2012, ["mitred_90"] * 3),
            20.0,
            1e-9,
            IRC_2012,
            "computed",
        ),
        Check("2006 edition", lambda: duct.allowed_feet(2006, []), 25.0, 0, IRC_2006, "quoted"),
        Check(
            "three smooth 10 in 90 take 4.5 ft",
            lambda: 35 - duct.allowed_feet(2012, ["smooth_10in_90"] * 3),
            18.5 - 14,
            1e-9,
            IRC_2012,
            "computed",
        ),
        Check("700 W", lambda: supply.fuse_for(700), 3, 0, BS_1362, "memory"),
        Check("701 W", lambda: supply.fuse_for(701), 13, 0, BS_1362, "memory"),
        Check("2990 W", lambda: supply.fuse_for(2990), 13, 0, BS_1362, "computed"),
        Check("flex 0.75 mm2", lambda: supply.flex_amps(0.75), 6, 0, IET, "quoted"),
        Check("class F", lambda: winding.class_limit_celsius("F"), 155, 0, IEC_60085, "quoted"),
        Check("class H", lambda: winding.class_limit_celsius("H"), 180, 0, IEC_60085, "quoted"),
        Check(
            "80 to 100 ohm", lambda: winding.winding_celsius(80, 20, 100), 83.63, 0.01, WINDING, "computed"
        ),
        Check("its rise", lambda: winding.winding_rise(80, 20, 100, 20), 63.63, 0.01, WINDING, "computed"),
        Check(
            "0.7 % + 2 counts, 120.0 V",
            lambda: meter.accuracy(120.0, 0.7, 2, 0.1),
            1.04,
            1e-9,
            METERS,
            "computed",
        ),
        Check(
            "0.8 % + 2 digits, 100.0 V",
            lambda: meter.accuracy(100.0, 0.8, 2, 0.1),
            1.0,
            1e-9,
            METERS,
            "computed",
        ),
        Check(
            "0.08 % + 2 dgt, 2.000 V",
            lambda: meter.accuracy(2.0, 0.08, 2, 0.001),
            0.0036,
            1e-9,
            METERS,
            "computed",
        ),
        Check(
            "2 % + 3 digits, 5.02 V",
            lambda: meter.accuracy(5.02, 2, 3, 0.01),
            0.1304,
            1e-9,
            METERS,
            "computed",
        ),
        Check(
            "0.001 ohm resolution", lambda: meter.rectangular(0.0005), 2.9e-4, 5e-6, f"{GUM}, 4.3.7", "quoted"
        ),
        Check(
            "DVM 15 uV with 12 uV",
            lambda: meter.in_quadrature((meter.rectangular(15e-6), 12e-6)),
            15e-6,
            0.5e-6,
            f"{GUM}, 4.3.7, 5.1.5",
            "memory",
        ),
    ]
    volts, amps, phase = 4.999, 19.661e-3, 1.04446
    uncertainties = (3.2e-3, 9.5e-6, 7.5e-4)
    correlated = {(0, 1): -0.36, (0, 2): 0.86, (1, 2): -0.65}
    for name, function, value, uncertainty in (
        ("R", lambda v, i, p: v / i * math.cos(p), 127.732, 0.071),
        ("X", lambda v, i, p: v / i * math.sin(p), 219.847, 0.295),
        ("Z", lambda v, i, p: v / i, 254.260, 0.236),
    ):

        def both(function: Callable[..., float] = function) -> tuple[float, float]:
            return meter.combined(function, (volts, amps, phase), uncertainties, correlated)

        found.append(
            Check(f"H.2 {name}", lambda both=both: both()[0], value, 0.002, f"{GUM}, H.2", "computed")
        )
        found.append(
            Check(
                f"H.2 u({name})",
                lambda both=both: both()[1],
                uncertainty,
                0.015 * uncertainty,
                f"{GUM}, H.2",
                "computed",
            )
        )
    found += [
        Check(
            "1, 2, 2 ohm in parallel",
            lambda: circuit.parallel(1, 2, 2),
            0.50,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        Check(
            "current at 3 V",
            lambda: circuit.current_through(0.5, 3),
            6.00,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        Check(
            "power of 1 ohm at 3 V",
            lambda: circuit.watts_of_resistance(1, 3),
            9.00,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        Check(
            "power of 2 ohm at 3 V",
            lambda: circuit.watts_of_resistance(2, 3),
            4.50,
            1e-12,
            OPENSTAX,
            "primary",
        ),
        Check("1, 2, 2 ohm in series", lambda: circuit.series(1, 2, 2), 5.00, 1e-12, OPENSTAX, "primary"),
        Check(
            "four 20 ohm and a 10 ohm",
            lambda: circuit.series(20, 20, 20, 20, 10),
            90,
            1e-9,
            OPENSTAX,
            "primary",
        ),
        Check(
            "lead in front: all",
            lambda: 1 + circuit.parallel(6, 13),
            5.10,
            0.01,
            OPENSTAX,
            "primary",
        ),
        Check(
            "lead in front: current",
            lambda: circuit.current_through(1 + circuit.parallel(6, 13), 12),
            2.35,
            0.005,
            OPENSTAX,
            "primary",
        ),
        Check(
            "lead in front: volts left",
            lambda: circuit.divided_voltage(12, circuit.parallel(6, 13), 1),
            9.65,
            0.005,
            OPENSTAX,
            "primary",
        ),
        Check(
            "300 W at 110 V",
            lambda: circuit.resistance_of(300, 110),
            40.33,
            0.01,
            OPENSTAX_HEATER,
            "primary",
        ),
        Check(
            "its wire",
            lambda: heating_alloy.wire_length(40.0, 1.0, 2.08),
            83.2,
            0.01,
            OPENSTAX_HEATER,
            "primary",
        ),
        Check(
            "1000 and 1400 W sections",
            lambda: circuit.parallel(circuit.resistance_of(1000, 230), circuit.resistance_of(1400, 230)),
            22.04,
            0.005,
            "physics",
            "computed",
        ),
        Check(
            "230.0(0.7) V / 9.8(0.1) A",
            lambda: meter.combined(lambda v, i: v / i, (230, 9.8), (0.7, 0.1))[1],
            0.25,
            0.005,
            "uncertainties package, run",
            "computed",
        ),
    ]
    found.append(
        Check("UK most volts", lambda: supply.supply_band("UK")[1], 253.0, 1e-9, IEC_60038, "computed")
    )
    for name, side, limit_volts in (
        ("US_240_range_A", 0, 228),
        ("US_240_range_A", 1, 252),
        ("US_240_range_B", 0, 220),
        ("US_240_range_B", 1, 254),
    ):
        found.append(
            Check(
                f"{name} {side}",
                lambda n=name, k=side: supply.supply_band(n)[k],
                limit_volts,
                0.2,
                ANSI,
                "computed",
            )
        )
    for letter, celsius in (("Y", 90), ("A", 105), ("E", 120), ("B", 130)):
        found.append(
            Check(
                f"class {letter}",
                lambda c=letter: winding.class_limit_celsius(c),
                celsius,
                0,
                IEC_60085,
                "quoted",
            )
        )
    for area, carried in ((0.5, 3), (1.0, 10), (1.25, 13), (1.5, 15)):
        found.append(Check(f"flex {area} mm2", lambda a=area: supply.flex_amps(a), carried, 0, IET, "quoted"))
    for bend, feet in (
        ("mitred_45", 2.5),
        ("mitred_90", 5),
        ("smooth_6in_45", 1),
        ("smooth_6in_90", 1.75),
        ("smooth_8in_45", 1),
        ("smooth_8in_90", 1 + 7 / 12),
        ("smooth_10in_45", 0.75),
        ("smooth_10in_90", 1.5),
    ):
        found.append(
            Check(bend, lambda b=bend: 35 - duct.allowed_feet(2012, [b]), feet, 1e-9, IRC_2012, "quoted")
        )
    for letter, percent in (("F", 1), ("G", 2), ("J", 5), ("K", 10), ("M", 20)):
        for side, sign in ((0, -1), (1, 1)):
            found.append(
                Check(
                    f"letter {letter} {side}",
                    lambda c=letter, k=side: component_codes.tolerance_band(100, c)[k],
                    100 + sign * percent,
                    1e-9,
                    IEC_60062,
                    "quoted",
                )
            )
    found += [
        Check(
            "letter B", lambda: component_codes.tolerance_band(100, "B")[1], 100.1, 1e-9, IEC_60062, "memory"
        ),
        Check(
            "letter C", lambda: component_codes.tolerance_band(100, "C")[0], 99.75, 1e-9, IEC_60062, "memory"
        ),
        Check(
            "letter D", lambda: component_codes.tolerance_band(100, "D")[1], 100.5, 1e-9, IEC_60062, "memory"
        ),
        Check("AA at 0", lambda: sensors.platinum_tolerance_kelvin("AA", 0), 0.10, 1e-9, IEC_60751, "quoted"),
        Check(
            "AA at 100",
            lambda: sensors.platinum_tolerance_kelvin("AA", 100),
            0.27,
            1e-9,
            IEC_60751,
            "computed",
        ),
        Check(
            "FeCrAl resistivity", lambda: heating_alloy.ALLOYS["fecral"].resistivity, 1.45, 0, WIRE, "primary"
        ),
        Check(
            "NiCr resistivity",
            lambda: heating_alloy.ALLOYS["nicr_80_20"].resistivity,
            1.09,
            0,
            NICR,
            "memory",
        ),
        Check(
            "aluminium",
            lambda: winding.ZERO_RESISTANCE["aluminium"],
            228,
            0,
            "zero of aluminium's resistance, -228 C; other lists say -225 C",
            "memory",
        ),
        Check(
            "8 uF at 3000 s", lambda: capacitor.least_insulation_megohm(8), 375, 1e-9, IEC_60252, "computed"
        ),
    ]
    return found
