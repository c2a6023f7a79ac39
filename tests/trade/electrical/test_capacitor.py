"""Run capacitors: marking, current, and the time until they are safe."""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.electrical.capacitor import (
    capacitance_from_current,
    capacitor_band,
    capacitor_current,
    discharge_seconds,
    least_insulation_megohm,
    life_hours,
    voltage_after,
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


def test_discharge_from_the_peak_of_the_mains() -> None:
    seconds = discharge_seconds(325, 8, 10_000)
    assert seconds == pytest.approx(0.08 * math.log(6.5))
    assert voltage_after(325, 8, 10_000, seconds) == pytest.approx(50)


def test_what_is_safe_already_takes_no_time() -> None:
    assert discharge_seconds(50, 8, 10_000) == 0
    assert discharge_seconds(0, 8, 10_000) == 0
    assert discharge_seconds(50.1, 8, 10_000) > 0
    assert voltage_after(325, 8, 10_000, 0) == 325
    assert voltage_after(325, 8, math.inf, 100) == 325


def test_insulation_follows_from_the_time_constant() -> None:
    """RC of at least 3000 s, on a maker's sheet to IEC 60252-1."""
    assert least_insulation_megohm(10) == pytest.approx(300)


def test_class_letters() -> None:
    assert [life_hours(letter) for letter in "ab C".replace(" ", "")] == [30_000, 10_000, 3_000]
    with pytest.raises(FormulaError, match="it is A, B, C or D"):
        life_hours("E")


@pytest.mark.parametrize(
    "call",
    [
        lambda: capacitor_current(-1, 230, 50),
        lambda: capacitor_current(8, 230, 0),
        lambda: capacitance_from_current(1, 0, 50),
        lambda: capacitor_band(0, 5),
        lambda: capacitor_band(8, 101),
        lambda: discharge_seconds(325, 8, 0),
        lambda: voltage_after(325, 8, 100, -1),
    ],
)
def test_impossible_capacitors_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
