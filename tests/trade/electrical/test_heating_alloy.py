"""Cold and hot heating wire, at the table's points, between them and beyond."""

from __future__ import annotations

import pytest

from faultfinder.trade.electrical.heating_alloy import (
    ALLOYS,
    temperature_factor,
)
from faultfinder.trade.inputs import FormulaError


def test_between_two_points_the_factor_goes_straight() -> None:
    assert temperature_factor("nicr_80_20", 150) == pytest.approx(1.015)
    assert temperature_factor("nicr_80_20", 60) == pytest.approx(1.005)


def test_beyond_the_table_its_end_value_holds() -> None:
    assert temperature_factor("nicr_80_20", -20) == 1
    assert temperature_factor("nicr_80_20", 20) == 1
    assert temperature_factor("nicr_80_20", 1500) == temperature_factor("nicr_80_20", 1200) == 1.07
    assert temperature_factor("fecral", 1500) == temperature_factor("fecral", 1400) == 1.05


@pytest.mark.parametrize("alloy", sorted(ALLOYS))
def test_the_factor_has_no_jump(alloy: str) -> None:
    values = [temperature_factor(alloy, celsius) for celsius in range(0, 1401)]
    assert max(abs(b - a) for a, b in zip(values, values[1:], strict=False)) < 2e-4


def test_the_textbook_coefficient_of_the_metal_is_not_used() -> None:
    """0.0004/K would give 1.192 at 500 C; the wire's data sheet gives 1.05."""
    assert temperature_factor("nicr_80_20", 500) == pytest.approx(1.05)


@pytest.mark.parametrize(
    "call",
    [
        lambda: temperature_factor("gold", 20),
        lambda: temperature_factor("fecral", 2001),
    ],
)
def test_impossible_wires_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
