"""Units: one meaning each, and the case of a prefix decides only where it must."""

from __future__ import annotations

import pytest

from faultfinder.errors import UnknownName
from faultfinder.trade.readings.units import (
    QUANTITIES,
    MixedCase,
    convert,
    find_unit,
    quantity_named,
)


@pytest.mark.parametrize(
    ("value", "quantity", "unit", "to", "expected"),
    [
        (161, "temperature", "F", "C", 71.6667),
        (-40, "temperature", "F", "C", -40),
        (0, "temperature", "C", "K", 273.15),
        (9, "temperature_difference", "F", "K", 5),
        (1, "energy", "kWh", "MJ", 3.6),
        (1, "flow", "l/s", "m3/h", 3.6),
        (4.7, "resistance", "kohm", "ohm", 4700),
        (33, "resistance", "ohm", "ohm", 33),
    ],
)
def test_a_value_in_another_unit(value: float, quantity: str, unit: str, to: str, expected: float) -> None:
    assert convert(value, quantity, unit, to) == pytest.approx(expected, abs=1e-4)
    assert convert(convert(value, quantity, unit, to), quantity, to, unit) == pytest.approx(value)


def test_case_decides_only_between_milli_and_mega() -> None:
    ohms, current = QUANTITIES["resistance"], QUANTITIES["current"]
    assert find_unit(ohms, "OHM") == find_unit(ohms, "ohm")
    assert find_unit(ohms, "KOHM") == find_unit(ohms, "kohm")
    assert find_unit(ohms, "MOHM") == find_unit(ohms, "Mohm")
    assert find_unit(ohms, "mOhm") == find_unit(ohms, "mohm")
    assert find_unit(current, "a") == find_unit(current, "A")
    assert find_unit(current, "MA") == MixedCase(current.units["mA"])
    assert find_unit(current, "fz") is None


def test_unknown_names_list_what_there_is() -> None:
    with pytest.raises(UnknownName, match='there is no quantity "resistence"; there are: resistance, '):
        quantity_named("resistence")
    with pytest.raises(UnknownName, match='"V" is not a unit of current; there are: A, '):
        convert(1, "current", "V", "A")


@pytest.mark.parametrize("name", sorted(QUANTITIES))
def test_every_quantity_is_whole(name: str) -> None:
    kind = QUANTITIES[name]
    base = kind.units[kind.base]
    assert (base.factor, base.offset) == (1, 0)
    assert kind.low < kind.high and kind.low < kind.meter_top <= kind.high
    assert all(unit.factor > 0 for unit in kind.units.values())
    assert all(symbol in kind.units for symbol in kind.common)
    for symbol, unit in kind.units.items():
        assert symbol.isascii() and find_unit(kind, symbol) == unit
