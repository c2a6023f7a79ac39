"""Air through a machine: losses, the fan's laws, leaks."""

from __future__ import annotations

import pytest

from faultfinder.practice.air import Flow, flow, open_k
from faultfinder.trade.air.duct import Duct, flow_left

USUAL = {
    "blocked_pascal": 270.0,
    "free_m3h": 250.0,
    "fan_speed": 1.0,
    "inner_k": 0.0,
    "metres": 3.0,
    "millimetres": 100.0,
    "roughness_mm": 3.66,
    "outer_k": 3.0,
    "leak_cm2": 0.0,
    "room_cm2": 5000.0,
    "room_suction": 0.0,
}


def moved(**changes: float) -> Flow:
    return flow(**{**USUAL, **changes})


def test_a_free_way_costs_nothing_and_a_narrower_one_ever_more() -> None:
    assert open_k(1.0) == 0.0
    losses = [open_k(fraction / 100) for fraction in range(100, 2, -1)]
    assert losses == sorted(losses)
    # A half-closed gate valve: loss coefficient 2.1 to 5.6 in pipe-flow tables (K of open gates; from memory).
    assert 2.0 < open_k(0.5) < 6.0


def test_without_leaks_it_agrees_with_the_duct_formula_of_the_trade() -> None:
    """trade.duct solves the same fan and run with the friction at the true flow; here it is taken at one flow."""
    for metres, k in ((1.0, 2.0), (4.0, 4.0), (10.7, 6.0)):
        own = moved(metres=metres, outer_k=k).through
        theirs = flow_left(Duct(metres, 100.0, 3.66, k), 250.0, 270.0)
        assert own == pytest.approx(theirs, rel=0.01)


def test_the_flow_goes_with_the_speed_of_the_fan() -> None:
    assert moved(fan_speed=0.5).through == pytest.approx(moved().through / 2, rel=1e-9)
    assert moved(fan_speed=0.0) == Flow(0.0, 0.0, 0.0)


def test_what_leaks_does_not_come_out_and_a_leak_before_a_blockage_takes_most_of_it() -> None:
    leaking = moved(leak_cm2=10.0)
    assert leaking.through == pytest.approx(leaking.out + leaking.leaked)
    assert leaking.out < moved().out
    blocked = moved(leak_cm2=10.0, outer_k=open_k(0.08))
    assert blocked.leaked > blocked.out


@pytest.mark.parametrize(
    "worse",
    [{"inner_k": 20.0}, {"outer_k": 20.0}, {"metres": 15.0}, {"room_cm2": 20.0}, {"room_suction": 80.0}],
)
def test_every_hindrance_lessens_the_flow(worse: dict[str, float]) -> None:
    assert moved(**worse).through < moved().through
