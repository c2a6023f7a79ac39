"""A vent run."""

from __future__ import annotations

import pytest

from faultfinder.trade.air.duct import (
    BEND_K,
    ROUGHNESS_MM,
    Duct,
    allowed_feet,
    duct_pressure,
    equivalent_metres,
    flow_left,
    friction_factor,
    hydraulic_mm,
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


def test_the_printed_duct_loses_2_3_pascal_a_metre() -> None:
    """350 x 200 mm, 7.14 m/s, f 0.0191 (ASHRAE duct design sheet, quoted): 2.3 Pa/m. Ours by Colebrook."""
    diameter = hydraulic_mm(350, 200)
    flow = 7.142857 * 3.14159265 * (diameter / 1000) ** 2 / 4 * 3600
    assert duct_pressure(Duct(1, diameter, 0.09), flow) == pytest.approx(2.3, abs=0.02)


def test_no_air_and_no_duct_lose_nothing() -> None:
    assert duct_pressure(Duct(5, 100, 0.09), 0) == 0
    assert duct_pressure(Duct(0, 100, 0.09), 150) == 0
    assert flow_left(Duct(0, 100, 0.09), 180, 200) == pytest.approx(180)


def test_a_longer_narrower_rougher_or_more_bent_run_leaves_less_air() -> None:
    """Law: each change for the worse lowers the flow."""
    plain = flow_left(Duct(2, 100, ROUGHNESS_MM["smooth_metal"], BEND_K["outlet"]), 180, 200)
    worse = [
        Duct(6, 100, 0.06, 1.0),
        Duct(2, 75, 0.06, 1.0),
        Duct(2, 100, ROUGHNESS_MM["flexible"], 1.0),
        Duct(2, 100, 0.06, 1.0 + 3 * BEND_K["mitred_90"]),
    ]
    assert 0 < plain < 180
    assert all(0 < flow_left(run, 180, 200) < plain for run in worse)


def test_the_flow_left_balances_fan_and_run() -> None:
    run = Duct(6, 100, 3.66, 4)
    flow = flow_left(run, 180, 200)
    assert duct_pressure(run, flow) == pytest.approx(200 * (1 - (flow / 180) ** 2), rel=1e-6)


def test_a_mitred_bend_is_worth_about_5_metres_of_smooth_100_mm_pipe() -> None:
    """Computed: f 0.0251: mitre K 1.2 is 4.8 m, smooth K 0.34 is 1.36 m."""
    assert equivalent_metres(1.202, 100, 0.0251) == pytest.approx(4.8, abs=0.05)
    assert equivalent_metres(0.3404, 100, 0.0251) == pytest.approx(1.36, abs=0.01)
    assert equivalent_metres(0, 100, 0.02) == 0


def test_lengths_allowed_by_edition() -> None:
    assert allowed_feet(2008, []) == allowed_feet(2009, []) == 25
    assert allowed_feet(2012, []) == allowed_feet(2021, []) == 35
    assert allowed_feet(2012, ["mitred_90"] * 9) == 0
    with pytest.raises(FormulaError, match="2003 edition are not known"):
        allowed_feet(2003, [])
    with pytest.raises(FormulaError, match='no bend "u_turn"'):
        allowed_feet(2012, ["u_turn"])


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
        lambda: hydraulic_mm(0, 100),
    ],
)
def test_impossible_ducts_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
