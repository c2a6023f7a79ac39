"""The quantities a repairer reads, the units each is read in, and what no appliance can give.

*Factor* and *offset* lead to the base unit of the quantity: base = number * factor + offset. Base units are
the ones people speak in (degrees Celsius, watt-hours, cubic metres an hour), not always SI's.
Symbols are plain ASCII; `trade/readings/reading.py` turns the Unicode forms (ohm sign, micro sign, degree sign,
superscripts) into these before it looks here. Case decides between prefixes: `m` a thousandth, `M` a million.

The limits low..high are no tolerance: outside them the reading is a slip of the finger or of the range
switch.
They are chosen, wide of anything in a home; `least` is the smallest that a repairer's instrument resolves, below
which milli was typed for mega or kilo.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.errors import UnknownName
from faultfinder.text.catalogue import say

PREFIXES: Mapping[str, float] = MappingProxyType(
    {
        "p": 1e-12,
        "n": 1e-9,
        "u": 1e-6,
        "m": 1e-3,
        "c": 1e-2,
        "d": 1e-1,
        "h": 1e2,
        "k": 1e3,
        "K": 1e3,
        "M": 1e6,
    }
    | {"G": 1e9, "T": 1e12}
)
"""SI prefixes in use here; `K` is accepted for kilo, as component markings write it (IEC 60062)."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One way to write a unit. `name` is how it is shown back; `prefix` is its SI prefix letter or ''."""

    name: str
    factor: float
    offset: float = 0.0
    prefix: str = ""


@dataclass(frozen=True, slots=True)
class MixedCase:
    """The unit that would be meant if the case of its prefix were the other one (`MA` for `mA`)."""

    unit: Unit


@dataclass(frozen=True)
class Quantity:
    """A kind of reading: its units by symbol and the limits, in the base unit, of what can be true."""

    name: str
    base: str
    units: Mapping[str, Unit]
    low: float
    high: float
    least: float
    common: tuple[str, ...]
    """The units to name in a message, the usual ones first."""
    over_range: bool
    """Whether an instrument shows OL for it."""
    meter_top: float
    """Top of the highest range of an ordinary meter, in the base unit: what a bare OL is above."""
    folded: Mapping[str, tuple[Unit, ...]]

    @property
    def title(self) -> str:
        """Its name with its article, for a message: 'a resistance'."""
        return say(f"quantity_{self.name}")


_Spec = tuple[str, float, float, str]
"""Names of one unit (parted by blanks, the first is shown), factor, offset, prefixes its names may carry."""


def _quantity(
    name: str,
    base: str,
    low: float,
    high: float,
    common: str,
    *specs: _Spec,
    least: float = 0.0,
    over_range: bool = True,
) -> Quantity:
    units: dict[str, Unit] = {}
    for names, factor, offset, prefixes in specs:
        symbols = names.split()
        for symbol in symbols:
            units[symbol] = Unit(symbols[0], factor, offset)
            for prefix in prefixes:
                shown = ("k" if prefix == "K" else prefix) + symbols[0]
                units[prefix + symbol] = Unit(shown, factor * PREFIXES[prefix], offset, prefix)
    folded: dict[str, list[Unit]] = {}
    for symbol, unit in units.items():
        folded.setdefault(symbol.casefold(), []).append(unit)
    return Quantity(
        name,
        base,
        MappingProxyType(units),
        low,
        high,
        least,
        tuple(common.split()),
        over_range,
        _METER_TOP.get(name, high),
        MappingProxyType({key: tuple(found) for key, found in folded.items()}),
    )


_METER_TOP = {"resistance": 20e6, "capacitance": 1e-4, "current": 10.0, "voltage": 600.0, "power": 3680.0} | {
    "apparent_power": 3680.0,
    "temperature": 300.0,
    "frequency": 1e4,
}
"""Chosen: the top ranges of a plain multimeter and of a plug-in energy meter (16 A at 230 V)."""

_DAY = 86400.0
_FOOT = 0.3048
_POUND = 0.45359237
_LB_FORCE_PER_SQUARE_INCH = _POUND * 9.80665 / 0.0254**2
_WATER_MM = 9.80665
"""Pascal in a conventional millimetre of water."""

_ALL = (
    _quantity("resistance", "ohm", 0, 1e12, "ohm kohm Mohm",
              ("ohm ohms", 1, 0, "umkKMGT"), ("ohm R", 1, 0, ""), least=0.005),
    _quantity("capacitance", "F", 0, 5e-3, "uF nF pF",
              ("F", 1, 0, "pnum"), ("uF mfd MFD", 1e-6, 0, "")),
    _quantity("current", "A", 0, 200, "A mA",
              ("A amp amps ampere amperes", 1, 0, "num"), ("kA", 1e3, 0, "")),
    _quantity("voltage", "V", 0, 1000, "V mV", ("V volt volts", 1, 0, "umk")),
    _quantity("power", "W", 0, 30e3, "W kW", ("W watt watts", 1, 0, "mkK"), least=0.01),
    _quantity("apparent_power", "VA", 0, 30e3, "VA kVA", ("VA", 1, 0, "mkK"), least=0.01),
    _quantity("energy", "Wh", 0, 1e6, "kWh Wh MJ",
              ("Wh", 1, 0, "mkKM"), ("J", 1 / 3600, 0, "kKM"), least=0.01),
    _quantity("sensor_constant", "K", 0, 1e4, "K", ("K kelvin", 1, 0, ""),
              over_range=False),
    _quantity("temperature", "C", -60, 1300, "C F K",
              ("C degC degreesC degreeC celsius", 1, 0, ""),
              ("F degF degreesF degreeF fahrenheit", 5 / 9, -160 / 9, ""), ("K kelvin", 1, -273.15, "")),
    _quantity("temperature_difference", "K", -300, 1300, "K C",
              ("K kelvin", 1, 0, ""), ("C degC degreesC celsius", 1, 0, ""),
              ("F degF degreesF fahrenheit", 5 / 9, 0, "")),
    _quantity("humidity", "%", 0, 100, "%", ("% %rh %RH rh% RH%", 1, 0, ""),
              over_range=False),
    _quantity("ratio", "1", 0, 100, "%", ("1", 1, 0, ""), ("%", 0.01, 0, ""), over_range=False),
    _quantity("length", "m", 0, 1000, "mm cm m",
              ("m metre metres meter meters", 1, 0, "umcdk"), ('in inch inches "', 0.0254, 0, ""),
              ("ft foot feet '", _FOOT, 0, ""), over_range=False),
    _quantity("time", "s", 0, 100 * 365.25 * _DAY, "min h s",
              ("s sec secs second seconds", 1, 0, ""), ("ms", 1e-3, 0, ""),
              ("min mins minute minutes m", 60, 0, ""), ("h hr hrs hour hours", 3600, 0, ""),
              ("d day days", _DAY, 0, ""), ("week weeks", 7 * _DAY, 0, ""),
              ("month months", 365.25 / 12 * _DAY, 0, ""), ("year years yr yrs", 365.25 * _DAY, 0, ""),
              over_range=False),
    _quantity("area", "m2", 0, 1e4, "mm2 cm2 m2",
              ("m2 m^2 sqm", 1, 0, ""), ("cm2 cm^2", 1e-4, 0, ""), ("mm2 mm^2 sqmm", 1e-6, 0, ""),
              ("ft2 ft^2 sqft", _FOOT**2, 0, ""), over_range=False),
    _quantity("volume", "l", 0, 1e5, "l ml",
              ("l L litre litres liter liters", 1, 0, "mcd"), ("m3 m^3", 1e3, 0, ""),
              ("cm3 cm^3 cc", 1e-3, 0, ""),
              over_range=False),
    _quantity("mass", "kg", 0, 1000, "kg g",
              ("kg kgs Kg kilo kilos", 1, 0, ""), ("g gram grams", 1e-3, 0, ""), ("mg", 1e-6, 0, ""),
              ("t tonne tonnes", 1e3, 0, ""), ("lb lbs pound pounds", _POUND, 0, ""),
              ("oz ounce ounces", _POUND / 16, 0, "")),
    _quantity("flow", "m3/h", 0, 1e4, "m3/h l/s m3/min",
              ("m3/h m^3/h m3h m3/hr m3/hour cbm/h", 1, 0, ""), ("m3/min m^3/min", 60, 0, ""),
              ("m3/s m^3/s", 3600, 0, ""), ("l/s L/s lps", 3.6, 0, ""), ("l/min L/min lpm", 0.06, 0, ""),
              ("l/h L/h", 1e-3, 0, ""), ("cfm CFM ft3/min", 60 * _FOOT**3, 0, "")),
    _quantity("speed", "m/s", 0, 200, "m/s",
              ("m/s", 1, 0, "cm"), ("km/h kmh kph", 1 / 3.6, 0, ""), ("m/min", 1 / 60, 0, ""),
              ("ft/min fpm", _FOOT / 60, 0, ""), ("ft/s", _FOOT, 0, ""), ("mph", 1609.344 / 3600, 0, "")),
    _quantity("rotation", "rpm", 0, 1e5, "rpm",
              ("rpm r/min rev/min 1/min", 1, 0, ""), ("rps r/s rev/s", 60, 0, "")),
    _quantity("pressure", "Pa", -1e5, 2e7, "Pa mbar bar",
              ("Pa", 1, 0, "hkKM"), ("bar", 1e5, 0, "m"), ("mmH2O mmwg mmwc", _WATER_MM, 0, ""),
              ("inH2O inwg inwc", 25.4 * _WATER_MM, 0, ""), ("psi", _LB_FORCE_PER_SQUARE_INCH, 0, "")),
    _quantity("frequency", "Hz", 0, 1e5, "Hz kHz", ("Hz hertz", 1, 0, "kKM")),
)  # fmt: skip

QUANTITIES: Mapping[str, Quantity] = MappingProxyType({quantity.name: quantity for quantity in _ALL})

MARKINGS = frozenset({"sensor_constant"})
"""Quantities that stand on parts and in sheets, and are never what an instrument shows."""


def quantity_named(name: str) -> Quantity:
    """The quantity of that name. Raises UnknownName, listing all."""
    try:
        return QUANTITIES[name]
    except KeyError:
        raise UnknownName(
            say("units_there_no_quantity_there", name=name, names=", ".join(QUANTITIES))
        ) from None


def find_unit(quantity: Quantity, symbol: str) -> Unit | MixedCase | None:
    """The unit a symbol means in this quantity, whatever its case where case decides nothing.

    MixedCase when only the case of an `m`/`M` prefix speaks against it; None when it is not known here.
    """
    exact = quantity.units.get(symbol)
    if exact is not None:
        return exact
    alike = quantity.folded.get(symbol.casefold(), ())
    agreeing = [unit for unit in alike if unit.prefix not in ("m", "M") or symbol[0] == unit.prefix]
    if agreeing:
        return agreeing[0] if len({unit.factor for unit in agreeing}) == 1 else None
    return MixedCase(alike[0]) if alike else None


def unit_named(quantity: Quantity, symbol: str) -> Unit:
    """The unit of that exact symbol. Raises UnknownName, listing all of the quantity."""
    unit = quantity.units.get(symbol)
    if unit is None:
        raise UnknownName(
            say("units_no_unit_there", symbol=symbol, name=quantity.name, names=", ".join(quantity.units))
        )
    return unit


def convert(value: float, quantity: str, unit: str, to: str) -> float:
    """The same state in another unit of the quantity (161 F -> 71.7 C). Raises UnknownName."""
    kind = quantity_named(quantity)
    old, new = unit_named(kind, unit), unit_named(kind, to)
    if old == new:
        return value
    return (value * old.factor + old.offset - new.offset) / new.factor
