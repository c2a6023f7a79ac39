"""Two sections: which are live, and what the line draws in each state."""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.electrical.heater import (
    Arrangement,
    Setting,
    TwoSections,
    current_table,
    live_sections,
)
from faultfinder.trade.inputs import FormulaError

SERIES = Arrangement.SERIES_ON_LOW


def test_live_sections_by_arrangement() -> None:
    one = Arrangement.ONE_SECTION_ON_LOW
    assert live_sections(one, Setting.OFF) == () == live_sections(SERIES, Setting.OFF)
    assert live_sections(one, Setting.LOW) == ("low",)
    assert live_sections(SERIES, Setting.LOW) == ("low", "added")
    assert live_sections(one, Setting.HIGH) == ("low", "added") == live_sections(SERIES, Setting.HIGH)


def test_resistance_by_setting() -> None:
    heater = TwoSections.from_watts(1000, 1400, 230)
    assert heater.ohms(Setting.LOW) == pytest.approx(52.9)
    assert heater.ohms(Setting.HIGH) == pytest.approx(22.04, abs=0.005)
    assert heater.ohms(Setting.OFF) == math.inf
    in_series = TwoSections(heater.low_ohms, heater.added_ohms, SERIES)
    assert in_series.ohms(Setting.LOW) == pytest.approx(52.9 + 37.79, abs=0.01)


def test_each_state_of_the_sections_has_its_own_pair_of_currents() -> None:
    """Current through 1000 and 1400 W sections at 230 V: 10.43 A whole, 4.35 or 6.09 A with one open."""
    table = current_table(TwoSections.from_watts(1000, 1400, 230), 230, 0, 1)
    amps = {row.state: (row.line_amps[Setting.LOW], row.line_amps[Setting.HIGH]) for row in table}
    assert amps["both whole"] == pytest.approx((4.348, 10.435), abs=1e-3)
    assert amps["low section open"] == pytest.approx((0, 6.087), abs=1e-3)
    assert amps["added section open"] == pytest.approx((4.348, 4.348), abs=1e-3)
    assert amps["both open"] == (0, 0)


def test_in_series_an_open_section_takes_low_heat_whichever_it_is() -> None:
    table = current_table(TwoSections.from_watts(1000, 1400, 230, SERIES), 230, 0, 1)
    low = {row.state: row.heater_watts[Setting.LOW] for row in table}
    assert low["both whole"] == pytest.approx(583.3, abs=0.1)
    assert low["low section open"] == low["added section open"] == low["both open"] == 0


def test_the_motor_runs_on_every_setting() -> None:
    for row in current_table(TwoSections(50, 40), 230, 180, 0.6):
        assert row.line_amps[Setting.OFF] == pytest.approx(180 / 230 / 0.6)
        assert row.line_amps[Setting.HIGH] >= row.line_amps[Setting.OFF]


def test_opening_a_section_never_raises_the_current() -> None:
    """Law: an open section lowers the current or leaves it, on every setting."""
    for arrangement in Arrangement:
        whole, *broken = current_table(TwoSections(50, 40, arrangement), 230, 180, 0.6)
        for row in broken:
            assert all(row.line_amps[each] <= whole.line_amps[each] + 1e-12 for each in Setting)


def test_a_dead_short_is_no_section() -> None:
    with pytest.raises(FormulaError):
        TwoSections(0, 40)
