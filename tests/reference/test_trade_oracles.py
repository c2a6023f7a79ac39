"""The trade's formulas against outside libraries, over grids of inputs: psychrolib, iapws, pint, fluids.
None of them is imported by the package."""

from __future__ import annotations

import math
import random
from functools import cache

import fluids
import iapws
import pint
import psychrolib
import pytest

from faultfinder.trade.air import drying, duct, moist_air
from faultfinder.trade.readings.reading import parse_reading
from faultfinder.trade.readings.typed_text import ReadingError
from faultfinder.trade.readings.units import QUANTITIES, convert

# pint's spelling of our symbols, where they differ.
PINT_NAMES = {
    "R": "ohm", "ohms": "ohm", "mfd": "uF", "MFD": "uF", "amps": "ampere", "amp": "ampere", "amperes": "ampere",
    "C": "degC", "degreesC": "degC", "degreeC": "degC", "celsius": "degC", "F": "degF", "degreesF": "degF",
    "degreeF": "degF", "fahrenheit": "degF", "sec": "s", "secs": "s", "mins": "min", "hr": "h", "hrs": "h",
    "d": "day", "wk": "week", "yr": "year", "yrs": "year", "%": "percent", "%rh": "percent", "%RH": "percent",
    "rh%": "percent", "RH%": "percent", "1": "dimensionless", '"': "inch", "inches": "inch", "in": "inch",
    "'": "foot", "ft": "foot", "feet": "foot", "sqm": "m^2", "sqmm": "mm^2", "sqft": "ft^2", "m2": "m^2",
    "cm2": "cm^2", "mm2": "mm^2", "ft2": "ft^2", "m3": "m^3", "cm3": "cm^3", "cc": "cm^3", "kgs": "kg", "Kg": "kg",
    "kilo": "kg", "kilos": "kg", "lbs": "lb", "m3h": "m^3/h", "m3/hr": "m^3/h", "m3/hour": "m^3/h", "cbm/h": "m^3/h",
    "m3/h": "m^3/h",
    "m3/min": "m^3/min", "m3/s": "m^3/s", "lps": "l/s", "lpm": "l/min", "cfm": "ft^3/min",
    "CFM": "ft^3/min", "ft3/min": "ft^3/min", "kmh": "km/h", "kph": "km/h", "fpm": "ft/min", "rpm": "1/min",
    "r/min": "1/min",
    "rev/min": "1/min", "rps": "1/s", "r/s": "1/s", "rev/s": "1/s", "mmwg": "mmH2O", "mmwc": "mmH2O",
    "inwg": "inH2O", "inwc": "inH2O", "t": "tonne", "VA": "V*A", "L": "l", "volts": "volt", "litres": "liter",
    "litre": "liter", "metre": "meter", "metres": "meter", "months": "month", "m^2": "m^2",
}  # fmt: skip


@cache
def the_registry() -> pint.UnitRegistry:
    """Read once: its file of units is long."""
    return pint.UnitRegistry()


def pint_name(quantity: str, symbol: str) -> str:
    if quantity == "time" and symbol == "m":
        return "min"
    if quantity == "capacitance" and symbol.endswith("F"):
        return symbol[:-1] + "farad" if symbol != "F" else "farad"
    if quantity == "temperature_difference":
        return {"K": "kelvin", "kelvin": "kelvin"}.get(symbol, "delta_" + PINT_NAMES.get(symbol, symbol))
    if symbol in PINT_NAMES:
        return PINT_NAMES[symbol]
    unit = QUANTITIES[quantity].units[symbol]
    if unit.prefix:
        stem = symbol[1:]
        return ("k" if symbol[0] == "K" else symbol[0]) + {"VA": "V*A"}.get(stem, PINT_NAMES.get(stem, stem))
    return symbol


@pytest.mark.slow
@pytest.mark.parametrize("quantity", sorted(QUANTITIES))
def test_every_unit_and_prefix_is_what_pint_makes_of_it(quantity: str) -> None:
    registry = the_registry()
    # pint's inch and millimetre of water are at 39 F; ours are the conventional ones (9.80665 Pa a mm).
    tolerance = 1e-3 if quantity == "pressure" else 1e-9
    kind = QUANTITIES[quantity]
    base = registry(pint_name(quantity, kind.base)) if quantity != "temperature" else None
    for symbol in kind.units:
        name = pint_name(quantity, symbol)
        for number in (0.37, 1.0, 33.0):
            if quantity == "temperature":
                theirs = registry.Quantity(number, name).to("degC").magnitude
            else:
                theirs = (number * registry(name)).to(base.units).magnitude / base.magnitude
            ours = convert(number, quantity, symbol, kind.base)
            assert ours == pytest.approx(theirs, rel=tolerance, abs=1e-12), (symbol, name)


@pytest.mark.slow
def test_readings_typed_with_prefixes_agree_with_pint() -> None:
    """Seeded: number, prefix and unit typed together give pint's value, or are refused as no reading."""
    registry = the_registry()
    chance = random.Random(4711)
    stems = {
        "resistance": "ohm",
        "current": "A",
        "voltage": "V",
        "power": "W",
        "capacitance": "F",
        "frequency": "Hz",
    }
    taken = 0
    for _ in range(600):
        quantity = chance.choice(sorted(stems))
        prefix = chance.choice(["", "p", "n", "u", "m", "k", "M", "G"])
        number = f"{chance.uniform(0.1, 999):.{chance.randrange(4)}f}"
        text = f"{number}{chance.choice(['', ' '])}{prefix}{stems[quantity]}"
        try:
            reading = parse_reading(text, quantity, stems[quantity])
        except ReadingError:
            continue
        taken += 1
        assert reading.value == pytest.approx(
            (float(number) * registry(f"{prefix}{stems[quantity]}")).to(stems[quantity]).magnitude, rel=1e-12
        )
    assert taken > 200


SEA_LEVEL = 101325.0
GRID = [
    (dry, percent) for dry in (-20, -5, 0, 0.02, 5, 20, 25, 40, 60, 85) for percent in (0, 1, 20, 50, 80, 100)
]


def test_moist_air_agrees_with_psychrolib() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    for dry, percent in GRID:
        share = percent / 100
        theirs = psychrolib.GetHumRatioFromRelHum(dry, share, SEA_LEVEL)
        ours = moist_air.humidity_ratio(dry, percent)
        # psychrolib never goes below 1e-7.
        assert ours == pytest.approx(theirs, rel=1e-9, abs=1.1e-7), (dry, percent)
        assert moist_air.enthalpy_kj_per_kg(dry, ours) * 1000 == pytest.approx(
            psychrolib.GetMoistAirEnthalpy(dry, ours), rel=1e-9, abs=0.3
        )
        assert moist_air.volume_m3_per_kg(dry, ours) == pytest.approx(
            psychrolib.GetMoistAirVolume(dry, ours, SEA_LEVEL), rel=1e-6
        )
        if percent >= 20:
            assert moist_air.dew_point_celsius(dry, percent) == pytest.approx(
                psychrolib.GetTDewPointFromRelHum(dry, share), abs=0.01
            )


def test_the_wet_bulb_gives_the_water_that_psychrolib_finds() -> None:
    """Dry bulbs and depressions over a grid; the kink over ice and over water lies at a wet bulb of 0 C."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    for dry in (-10, 0, 0.5, 10, 25, 40, 60, 85):
        for below in (0, 0.5, 2, 5, 15):
            wet = dry - below
            ours = moist_air.humidity_ratio_from_wet_bulb(dry, wet)
            theirs = psychrolib.GetHumRatioFromTWetBulb(dry, wet, SEA_LEVEL)
            assert ours == pytest.approx(theirs, rel=1e-6, abs=1.1e-7), (dry, wet)
            percent = moist_air.humidity_percent(dry, ours)
            assert percent == pytest.approx(
                100 * psychrolib.GetRelHumFromHumRatio(dry, theirs, SEA_LEVEL), abs=0.01
            )


def test_warming_the_water_takes_what_the_steam_tables_say() -> None:
    """From 20 to 40, 60 and 90 C: the specific heat is taken as constant, which is good to 0.3 %."""
    cold = iapws.IAPWS97(T=293.15, P=0.101325).h
    for celsius in (40, 60, 90):
        warm = iapws.IAPWS97(T=celsius + 273.15, P=0.101325)
        steam = iapws.IAPWS97(T=celsius + 273.15, x=1).h - iapws.IAPWS97(T=celsius + 273.15, x=0).h
        ours = drying.least_kwh(1, 0, 20, celsius) * 3600
        assert ours - moist_air.latent_heat_kj_per_kg(celsius) == pytest.approx(warm.h - cold, rel=3e-3), (
            celsius
        )
        assert ours == pytest.approx(warm.h - cold + steam, rel=5e-4), celsius


def test_saturation_pressure_agrees_with_psychrolib_on_both_sides_of_the_triple_point() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    for tenth in range(-600, 2000, 37):
        celsius = tenth / 10
        assert moist_air.saturation_pascal(celsius) == pytest.approx(
            psychrolib.GetSatVapPres(celsius), rel=1e-9
        ), celsius
    for celsius in (0.0, 0.009, 0.01, 0.011):
        assert moist_air.saturation_pascal(celsius) == pytest.approx(
            psychrolib.GetSatVapPres(celsius), rel=1e-9
        )


def test_latent_heat_agrees_with_the_steam_tables() -> None:
    for celsius in range(1, 101):
        steam = iapws.IAPWS97(T=celsius + 273.15, x=1)
        water = iapws.IAPWS97(T=celsius + 273.15, x=0)
        assert moist_air.latent_heat_kj_per_kg(celsius) == pytest.approx(steam.h - water.h, abs=0.04), celsius


def test_saturation_pressure_agrees_with_the_steam_tables() -> None:
    for celsius in range(1, 151, 7):
        pascal = iapws.IAPWS97(T=celsius + 273.15, x=1).P * 1e6
        assert moist_air.saturation_pascal(celsius) == pytest.approx(pascal, rel=5e-4), celsius


def test_friction_factor_agrees_with_fluids_from_laminar_to_rough() -> None:
    for exponent in range(1, 81):
        reynolds = 10 ** (exponent / 10)
        for rough in (0.0, 1e-6, 1e-4, 1e-3, 1e-2, 0.05):
            ours = duct.friction_factor(reynolds, rough)
            if reynolds <= 2000:
                assert ours == pytest.approx(fluids.friction_laminar(reynolds), rel=1e-12)
            elif reynolds >= 4000:
                assert ours == pytest.approx(fluids.friction.Colebrook(reynolds, rough), rel=1e-9), (
                    reynolds,
                    rough,
                )
    assert duct.friction_factor(1e5, 1e-4) == pytest.approx(fluids.friction_factor(Re=1e5, eD=1e-4), rel=1e-9)


def test_duct_pressure_agrees_with_fluids() -> None:
    for metres in (0.0, 1.0, 4.0, 10.0):
        for millimetres in (80.0, 100.0, 125.0):
            for flow in (5.0, 80.0, 200.0):
                run = duct.Duct(metres, millimetres, 0.09, 2.4)
                diameter = millimetres / 1000
                speed = flow / 3600 / (math.pi * diameter**2 / 4)
                reynolds = fluids.Reynolds(V=speed, D=diameter, nu=1.5e-5)
                if 2300 < reynolds < 4100:
                    continue
                factor = fluids.friction_factor(Re=reynolds, eD=0.09 / millimetres, Method="Colebrook")
                k = fluids.K_from_f(fd=factor, L=metres, D=diameter) + 2.4
                theirs = fluids.dP_from_K(K=k, rho=1.2, V=speed)
                assert duct.duct_pressure(run, flow) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("roughness", [0.06, 3.66], ids=["smooth", "flexible"])
def test_the_flow_left_is_where_the_fan_meets_the_run_that_fluids_reckons(roughness: float) -> None:
    """At the flow given, the run takes by fluids just what the fan has left; from no run to one that stops it."""
    free, blocked = 180.0, 250.0
    for metres in (0.0, 0.5, 2.0, 6.0, 20.0):
        for fittings in (0.0, 1.2, 4.8):
            for millimetres in (80.0, 100.0, 125.0):
                run = duct.Duct(metres, millimetres, roughness, fittings)
                flow = duct.flow_left(run, free, blocked)
                diameter = millimetres / 1000
                speed = flow / 3600 / (math.pi * diameter**2 / 4)
                factor = fluids.friction_factor(
                    Re=fluids.Reynolds(V=speed, D=diameter, nu=1.5e-5),
                    eD=roughness / millimetres,
                    Method="Colebrook",
                )
                taken = fluids.dP_from_K(K=factor * metres / diameter + fittings, rho=1.2, V=speed)
                assert taken == pytest.approx(blocked * (1 - (flow / free) ** 2), abs=1e-4), run
                assert 0 < flow <= free
