"""Windings warm and cold."""

from __future__ import annotations

import pytest

from faultfinder.trade.electrical.winding import resistance_at, winding_celsius
from faultfinder.trade.inputs import FormulaError


def test_resistance_and_temperature_are_inverse() -> None:
    for celsius in (-20, 20, 120):
        assert winding_celsius(80, 20, resistance_at(80, 20, celsius)) == pytest.approx(celsius)


def test_copper_changes_by_0_393_per_cent_a_kelvin_at_20() -> None:
    assert resistance_at(100, 20, 21) == pytest.approx(100.393, abs=5e-4)


@pytest.mark.parametrize(
    "call",
    [
        lambda: winding_celsius(0, 20, 100),
        lambda: winding_celsius(80, 20, float("inf")),
        lambda: resistance_at(80, 20, 500),
    ],
)
def test_impossible_windings_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
