"""Windings warm and cold."""

from __future__ import annotations

import pytest

from faultfinder.trade.electrical.winding import (
    class_limit_celsius,
    resistance_at,
    winding_celsius,
    winding_rise,
)
from faultfinder.trade.inputs import FormulaError


def test_resistance_and_temperature_are_inverse() -> None:
    for metal in ("copper", "aluminium"):
        for celsius in (-20, 20, 120):
            hot = resistance_at(80, 20, celsius, metal)
            assert winding_celsius(80, 20, hot, metal) == pytest.approx(celsius)


def test_an_unchanged_winding_has_not_warmed() -> None:
    assert winding_celsius(80, 20, 80) == pytest.approx(20)
    assert winding_rise(80, 20, 80, 20) == pytest.approx(0)


def test_a_room_that_warmed_up_is_taken_off() -> None:
    """IEC 60335-1, 11.3, from memory: dt = (R2 - R1)/R1 (k + t1) - (t2 - t1)."""
    assert winding_rise(80, 20, 100, 25) == pytest.approx((100 / 80 - 1) * 254.5 - 5)


def test_copper_changes_by_0_393_per_cent_a_kelvin_at_20() -> None:
    assert resistance_at(100, 20, 21) == pytest.approx(100.393, abs=5e-4)


def test_a_winding_of_158_degrees_is_over_class_f() -> None:
    assert class_limit_celsius("f") < 158 < class_limit_celsius("H")
    with pytest.raises(FormulaError):
        class_limit_celsius("Z")


@pytest.mark.parametrize(
    "call",
    [
        lambda: winding_celsius(0, 20, 100),
        lambda: winding_celsius(80, 20, float("inf")),
        lambda: resistance_at(80, 20, 500),
        lambda: resistance_at(80, 20, 50, "tin"),
    ],
)
def test_impossible_windings_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
