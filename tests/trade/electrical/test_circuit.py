"""Heaters and motors on the mains, at the limits as well as in the middle."""

from __future__ import annotations

import math
import random

import pytest

from faultfinder.trade.electrical.circuit import (
    current_of,
    current_through,
    divided_voltage,
    heater_current_from_line,
    lead_corrected,
    line_current,
    other_path,
    parallel,
    power_at_voltage,
    resistance_from,
    resistance_of,
    series,
    watts_of_resistance,
)
from faultfinder.trade.inputs import FormulaError


def test_power_current_and_resistance_belong_together() -> None:
    assert resistance_of(2000, 230) == pytest.approx(26.45)
    assert watts_of_resistance(26.45, 230) == pytest.approx(2000)
    assert current_of(2400, 230) == pytest.approx(10.43, abs=0.005)
    assert resistance_from(230, 230 / 26.45) == pytest.approx(26.45)


def test_an_open_heater_draws_nothing() -> None:
    assert current_through(math.inf, 230) == 0
    assert watts_of_resistance(math.inf, 230) == 0
    assert resistance_from(230, 0) == math.inf
    assert line_current(0, 180, 0.6, 230) == pytest.approx(180 / 230 / 0.6)


def test_parallel_and_series_at_their_ends() -> None:
    assert parallel(33, math.inf) == 33
    assert parallel(math.inf, math.inf) == math.inf
    assert parallel(33, 0) == 0
    assert parallel(33) == 33
    assert parallel() == math.inf
    assert series(33, math.inf) == math.inf
    assert series() == 0


def test_parallel_is_never_more_than_its_least() -> None:
    """Law: one more path lowers the reading; an open one leaves it."""
    chance = random.Random(1)
    for _ in range(200):
        ohms = [10 ** chance.uniform(-2, 6) for _ in range(chance.randrange(1, 5))]
        assert parallel(*ohms) <= min(ohms) * (1 + 1e-12)
        assert parallel(*ohms, math.inf) == pytest.approx(parallel(*ohms))


def test_a_lead_left_on_is_found_back() -> None:
    assert other_path(parallel(33, 30), 33) == pytest.approx(30)
    assert other_path(33, 33) == math.inf
    assert other_path(50, 33) == math.inf
    assert other_path(20, math.inf) == pytest.approx(20)


def test_the_probes_own_resistance_is_taken_off_but_never_below_nothing() -> None:
    assert lead_corrected(33.3, 0.3) == pytest.approx(33)
    assert lead_corrected(0.2, 0.3) == 0
    assert lead_corrected(math.inf, 0.3) == math.inf


def test_a_bad_joint_takes_its_share_of_the_voltage() -> None:
    assert divided_voltage(230, 22, 0) == 230
    assert divided_voltage(230, 0, 0) == 0
    assert divided_voltage(230, math.inf, 5) == 230
    assert divided_voltage(230, 22, 22) == pytest.approx(115)


def test_power_follows_the_square_of_the_voltage() -> None:
    assert power_at_voltage(2500, 230, 230) == 2500
    assert power_at_voltage(2500, 230, 0) == 0
    assert power_at_voltage(2500, 230, 115) == pytest.approx(625)


def test_line_current_is_between_the_larger_part_and_the_sum() -> None:
    """Law: the parts add at an angle; with power factor 1 they simply add."""
    chance = random.Random(2)
    for _ in range(300):
        heater, watts, factor = chance.uniform(0, 12), chance.uniform(0, 300), chance.uniform(0.2, 1)
        motor = watts / 230 / factor
        line = line_current(heater, watts, factor, 230)
        assert max(heater, motor) - 1e-12 <= line <= heater + motor + 1e-12
        assert heater_current_from_line(line, watts, factor, 230) == pytest.approx(heater, abs=1e-9)
    assert line_current(5, 230, 1, 230) == pytest.approx(6)


def test_less_line_current_than_the_motors_own_leaves_nothing_for_the_heater() -> None:
    assert heater_current_from_line(0.5, 180, 0.6, 230) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: resistance_of(0, 230),
        lambda: resistance_of(2000, 0),
        lambda: watts_of_resistance(0, 230),
        lambda: current_of(-1, 230),
        lambda: current_of(math.nan, 230),
        lambda: current_through(0, 230),
        lambda: parallel(-1, 2),
        lambda: series(math.nan),
        lambda: line_current(5, 180, 0, 230),
        lambda: line_current(5, 180, 1.01, 230),
        lambda: power_at_voltage(2500, 0, 230),
        lambda: divided_voltage(230, 22, math.inf),
    ],
)
def test_what_a_formula_is_not_meant_for_is_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()


def test_a_refusal_names_value_unit_and_range() -> None:
    with pytest.raises(FormulaError, match=r"^the power factor is 1.2; it must be more than 0 to 1\.$"):
        line_current(5, 180, 1.2, 230)
    with pytest.raises(FormulaError, match=r"^the power is -5 W; it must be at least 0 W\.$"):
        current_of(-5, 230)
    with pytest.raises(FormulaError, match=r"^the power is not a number W; it must be above 0 W\.$"):
        resistance_of(math.nan, 230)
