"""Run capacitors: marking, current, and the time until they are safe."""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.electrical.capacitor import (
    capacitance_from_current,
    capacitor_band,
    capacitor_current,
    discharge_seconds,
)
from faultfinder.trade.inputs import FormulaError


def test_current_and_capacitance_are_inverse_at_both_mains_frequencies() -> None:
    for hertz in (50, 60):
        for microfarads in (0, 0.1, 8, 100):
            amps = capacitor_current(microfarads, 230, hertz)
            assert capacitance_from_current(amps, 230, hertz) == pytest.approx(microfarads)
    assert capacitor_current(8, 230, 60) == pytest.approx(1.2 * capacitor_current(8, 230, 50))


def test_band_without_tolerance_is_one_value() -> None:
    assert capacitor_band(8, 0) == (8, 8)
    assert capacitor_band(8, 100) == (0, 16)


def test_discharge_from_the_peak_of_the_mains_and_of_what_is_safe_already() -> None:
    assert discharge_seconds(325, 8, 10_000) == pytest.approx(0.08 * math.log(6.5))
    assert discharge_seconds(50, 8, 10_000) == 0 == discharge_seconds(0, 8, 10_000)
    assert discharge_seconds(50.1, 8, 10_000) > 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: capacitor_current(-1, 230, 50),
        lambda: capacitor_current(8, 230, 0),
        lambda: capacitance_from_current(1, 0, 50),
        lambda: capacitor_band(0, 5),
        lambda: capacitor_band(8, 101),
        lambda: discharge_seconds(325, 8, 0),
    ],
)
def test_impossible_capacitors_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
