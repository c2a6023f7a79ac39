"""Dimensional analysis against an oracle: expressions come out with the unit that a units library (pint) gives."""

from __future__ import annotations

import random

import pytest

from faultfinder.knowledge.formulas.dimensions import Size, Slip, misfit, of_compound, of_unit, sized
from faultfinder.knowledge.formulas.expression import FUNCTIONS, parse
from faultfinder.trade.readings.units import QUANTITIES

pint = pytest.importorskip("pint")
REGISTRY = pint.UnitRegistry()

UNITS = {
    "volts": "V",
    "watts": "W",
    "kilowatts": "kW",
    "ohms": "ohm",
    "amps": "A",
    "seconds": "s",
    "litres": "l",
}
PINT = {"V": "volt", "W": "watt", "kW": "kilowatt", "ohm": "ohm", "A": "ampere", "s": "second", "l": "liter"}
NAMES = {name: of_unit(unit) for name, unit in UNITS.items()}


def tell_nothing(slip: Slip) -> None:
    raise AssertionError(slip)


def product(chance: random.Random) -> str:
    """A product and quotient of powers of facts."""
    text = chance.choice(list(UNITS))
    for _ in range(chance.randint(1, 4)):
        text += chance.choice([" * ", " / "]) + chance.choice(list(UNITS))
        if chance.random() < 0.3:
            text += f" ** {chance.randint(2, 3)}"
    return text


@pytest.mark.slow
@pytest.mark.parametrize(
    "unit", ["kJ/l/K", "s/min", "mm/kg", "mA/kW", "kg*min", "m/s/s", "W*min/l", "rpm*s", "J/kJ"]
)
def test_a_unit_put_together_is_what_a_units_library_makes_of_it(unit: str) -> None:
    ours, theirs = of_compound(unit), REGISTRY(unit).to_base_units()
    # A revolution is a plain number here; there it is an angle.
    turn = 6.283185307179586 if "rpm" in unit else 1.0
    assert ours.scale * turn == pytest.approx(theirs.magnitude)
    wanted = [
        theirs.dimensionality.get(f"[{base}]", 0)
        for base in ("mass", "length", "time", "current", "temperature")
    ]
    assert list(ours.powers) == wanted


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(40))
def test_products_have_the_unit_that_a_units_library_gives_them(seed: int) -> None:
    text = product(random.Random(seed))
    values = {name: 1.0 * REGISTRY(PINT[unit]) for name, unit in UNITS.items()}
    theirs = eval(text, {"__builtins__": {}}, values).to_base_units()  # noqa: S307 - made three lines above
    tree = parse(text).tree
    assert tree is not None
    ours = sized(tree, NAMES, tell_nothing)
    assert ours is not None
    wanted = [
        theirs.dimensionality.get(f"[{base}]", 0)
        for base in ("mass", "length", "time", "current", "temperature")
    ]
    assert list(ours.powers) == wanted
    assert ours.scale == pytest.approx(theirs.magnitude)


def slips(text: str, unit: str) -> list[Slip]:
    """What is told where an expression stands for a number in that unit."""
    found: list[Slip] = []
    tree = parse(text).tree
    assert tree is not None
    size = sized(tree, NAMES, found.append)
    wanted = of_unit(unit)
    assert wanted is not None
    slip = misfit(size, wanted, 0, "") if size is not None else None
    return [*found, slip] if slip is not None else found


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("volts ** 2 / watts", "ohm"),
        ("1.2 * volts ** 2 / watts", "ohm"),
        ("0.001 * volts ** 2 / watts", "kohm"),
        ("watts / volts + 0.5", "A"),
        ("max(13, watts / volts)", "A"),
        ("resistance_of(watts, volts)", "ohm"),
        ("resistance_of(1000 * kilowatts, volts)", "ohm"),
        ("4.19 [kJ/l/K] * litres * 45 [K] * 1000 [J/kJ] / watts / 60 [s/min]", "min"),
        ("0.75 [mA/kW] * watts / 1000 [W/kW]", "mA"),
        ("0.25 [ohm]", "ohm"),
        ("8 [kohm] * (volts / 230 [V]) ** 2", "kohm"),
        ("0 * litres", "ohm"),
        ("sqrt(watts * ohms)", "V"),
        ("25", "ohm"),
        ("seconds / 60", "min"),
    ],
)
def test_what_is_right_is_left_alone(text: str, unit: str) -> None:
    assert slips(text, unit) == []


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("volts / watts", "ohm"),
        ("volts ** 2 / watts", "kohm"),
        ("volts ** 2 / kilowatts", "ohm"),
        ("1.2 * watts", "ohm"),
        ("watts + volts", "W"),
        ("watts + kilowatts", "W"),
        ("min(watts, volts)", "W"),
        ("resistance_of(volts, watts)", "ohm"),
        ("resistance_of(kilowatts, volts)", "ohm"),
        ("current_of(watts, volts)", "ohm"),
        ("current_of(volts, ohms)", "A"),
        ("seconds", "min"),
        ("1.3 * seconds", "min"),
        ("4.19 * litres * 45 * 1000 / watts / 60", "min"),
        ("4.19 [kJ/l/K] * litres * 45 [K] / watts / 60 [s/min]", "min"),
        ("seconds * 60 [s/min]", "min"),
        ("25 [kohm]", "ohm"),
        ("watts * 0.5 + 3 [V]", "W"),
    ],
)
def test_what_is_wrong_is_told_once_or_more(text: str, unit: str) -> None:
    assert slips(text, unit)


def test_every_trade_formula_has_the_unit_of_each_parameter_or_says_that_it_has_none() -> None:
    from faultfinder.knowledge.formulas.dimensions import _parameters

    without = {
        (name, parameter)
        for name in FUNCTIONS
        if name not in ("min", "max", "abs", "sqrt", "exp", "log")
        for parameter, unit in _parameters(name)
        if not unit
    }
    assert {parameter for _, parameter in without} <= {
        "price a kwh",
        "cycles a year",
        "fittings k",
    }


def test_every_unit_of_every_quantity_has_a_size() -> None:
    for quantity in QUANTITIES.values():
        for unit in quantity.units:
            assert isinstance(of_unit(unit, quantity.name), Size)
