"""A vent run."""

from __future__ import annotations

import pytest

from faultfinder.trade.air.duct import (
    Duct,
    duct_pressure,
    flow_left,
    friction_factor,
)
from faultfinder.trade.inputs import FormulaError


def test_flow_is_laminar_up_to_2300() -> None:
    assert friction_factor(2300, 0.01) == pytest.approx(64 / 2300)
    assert friction_factor(2300.1, 0.0) > 64 / 2300


def test_smooth_and_fully_rough_ends() -> None:
    """Rough limit: 1/sqrt f = -2 log10(e/3.7); smooth: Blasius 0.316/Re^0.25 within 2 % at 1e5 (textbook)."""
    assert friction_factor(1e9, 0.05) == pytest.approx(0.0716, abs=1e-4)
    assert friction_factor(1e5, 0) == pytest.approx(0.316 / 1e5**0.25, rel=0.02)


@pytest.mark.parametrize(("reynolds", "rough"), [(5000, 0), (5000, 0.2), (1e9, 0), (1e9, 0.2), (2301, 1e-9)])
def test_the_solution_satisfies_colebrook(reynolds: float, rough: float) -> None:
    import math

    factor = friction_factor(reynolds, rough)
    right = -2 * math.log10(rough / 3.7 + 2.51 / (reynolds * math.sqrt(factor)))
    assert 1 / math.sqrt(factor) == pytest.approx(right, rel=1e-12)


def test_explicit_formulas_are_near() -> None:
    """Computed at Re 1e5, e/D 1e-4: 0.0185139; Swamee-Jain 0.018452, Haaland 0.018265."""
    assert friction_factor(1e5, 1e-4) == pytest.approx(0.0185138660774716, rel=1e-9)
    assert friction_factor(1e5, 1e-4) == pytest.approx(0.018452, rel=0.004)
    assert friction_factor(1e5, 1e-4) == pytest.approx(0.018265, rel=0.014)


def test_no_air_and_no_duct_lose_nothing() -> None:
    assert duct_pressure(Duct(5, 100, 0.09), 0) == 0
    assert duct_pressure(Duct(0, 100, 0.09), 150) == 0
    assert flow_left(Duct(0, 100, 0.09), 180, 200) == pytest.approx(180)


def test_the_flow_left_balances_fan_and_run() -> None:
    run = Duct(6, 100, 3.66, 4)
    flow = flow_left(run, 180, 200)
    assert duct_pressure(run, flow) == pytest.approx(200 * (1 - (flow / 180) ** 2), rel=1e-6)


def test_a_longer_narrower_rougher_or_more_bent_run_leaves_less_air() -> None:
    """Law: each change for the worse lowers the flow."""
    plain = flow_left(Duct(2, 100, 0.06, 1.0), 180, 200)
    worse = [
        Duct(6, 100, 0.06, 1.0),
        Duct(2, 75, 0.06, 1.0),
        Duct(2, 100, 3.66, 1.0),
        Duct(2, 100, 0.06, 4.6),
    ]
    assert 0 < plain < 180
    assert all(0 < flow_left(run, 180, 200) < plain for run in worse)


@pytest.mark.parametrize(
    "call",
    [
        lambda: friction_factor(0, 0.01),
        lambda: friction_factor(1e5, 0.3),
        lambda: Duct(-1, 100, 0.1),
        lambda: Duct(1, 10, 0.1),
        lambda: Duct(1, 100, 30),
        lambda: duct_pressure(Duct(1, 100, 0.1), -1),
        lambda: flow_left(Duct(1, 100, 0.1), 0, 200),
    ],
)
def test_impossible_ducts_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
