"""Plate values that contradict one another are said, and which is relied on."""

from __future__ import annotations

import pytest

from faultfinder.trade.electrical.plate import amps_against_watts, ohms_against_watts, parts_against_watts
from faultfinder.trade.inputs import FormulaError


def test_values_within_the_tolerance_agree() -> None:
    """2400 W at 230 V: 20.99 to 24.49 ohm hot, down to 19.99 cold (IEC 60335-1, 10.1, and the alloy's 5 %)."""
    for ohms in (20.0, 22.04, 24.49):
        assert ohms_against_watts(2400, ohms, 230).agrees, ohms
    for ohms in (19.9, 24.6):
        assert not ohms_against_watts(2400, ohms, 230).agrees, ohms


def test_a_contradiction_is_put_in_words() -> None:
    said = ohms_against_watts(2400, 33, 240)
    assert (said.agrees, said.rely_on) == (False, "ohms")
    assert said.words == (
        "33 ohm at 240 V gives 1745 W, not 2400 W (2160 to 2520 W): one of them does not belong to this machine. "
        "The resistance marked on the part is relied on."
    )


def test_current_against_power() -> None:
    assert amps_against_watts(2400, 10.4, 230).agrees
    assert amps_against_watts(2400, 13, 230).agrees
    low = amps_against_watts(2400, 4.3, 230)
    assert (low.agrees, low.rely_on) == (False, "watts")
    assert low.words == (
        "2400 W at 230 V is 10.4 A, and the plate says 4.3 A: one of them was read wrong. The power is relied on."
    )
    assert not amps_against_watts(700, 13, 230).agrees


def test_the_ends_of_the_band_of_current() -> None:
    assert amps_against_watts(1000, 9, 100).agrees and not amps_against_watts(1000, 8.9, 100).agrees
    assert amps_against_watts(1000, 15, 100).agrees and not amps_against_watts(1000, 15.1, 100).agrees


def test_impossible_plates_are_refused() -> None:
    for call in (
        lambda: ohms_against_watts(0, 33, 230),
        lambda: ohms_against_watts(2400, 0, 230),
        lambda: ohms_against_watts(2400, float("inf"), 230),
        lambda: amps_against_watts(2400, 0, 230),
    ):
        with pytest.raises(FormulaError):
            call()


def test_the_watts_of_the_parts_add_up_to_the_plates_power() -> None:
    """IEC 60335-1, 10.1, Table 1: -10 to +5 % (at least 20 W)."""
    assert parts_against_watts(2400, [1400, 840, 180]).agrees
    for total, agrees in ((2160, True), (2159, False), (2520, True), (2521, False)):
        assert parts_against_watts(2400, [total]).agrees is agrees, total
    assert parts_against_watts(2400, [2100], doubt=60).agrees
    found = parts_against_watts(1800, [1400, 900, 180], doubt=90)
    assert (found.agrees, found.rely_on) == (False, "parts")
    assert found.words == (
        "The parts add up to 2480 W, not 1800 W (1530 to 1980 W): one of them does not belong to this machine. "
        "What is marked on the parts is relied on."
    )
    with pytest.raises(FormulaError):
        parts_against_watts(2400, [-5])
