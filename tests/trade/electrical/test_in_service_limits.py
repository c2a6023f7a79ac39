"""Earth path, insulation and leakage limits: what is not known takes the strictest."""

from __future__ import annotations

import itertools

import pytest

from faultfinder.trade.electrical.in_service_limits import (
    RULES,
    Protection,
    earth_path_limit,
    flex_ohms,
    insulation_limit,
    leakage_limit,
)
from faultfinder.trade.inputs import FormulaError

ONE, TWO, THREE = Protection.CLASS_I, Protection.CLASS_II, Protection.CLASS_III


def test_earth_limit_grows_with_the_flex_in_the_uk() -> None:
    assert earth_path_limit("UK", 0, 1.5).value == pytest.approx(0.1)
    assert earth_path_limit("UK", 2, 0.75).value > earth_path_limit("UK", 2, 1.5).value


def test_german_earth_limit_steps_for_each_7_5_metres_begun() -> None:
    """DIN VDE 0701-0702: 0.3 ohm up to 5 m; the step for each length begun is our reading of it."""
    steps = {5: 0.3, 5.01: 0.4, 12.5: 0.4, 12.51: 0.5, 57.5: 1.0, 100: 1.0}
    for metres, ohms in steps.items():
        assert earth_path_limit("DE", metres).value == pytest.approx(ohms), metres


def test_routine_test_takes_the_larger_of_its_two_limits() -> None:
    """EN 50106 A.1: 0.2 ohm, or 0.1 ohm and the cord; they meet where the cord has 0.1 ohm."""
    assert earth_path_limit("EU_production", 0.1 / 0.0133, 1.5).value == pytest.approx(0.2)
    assert earth_path_limit("EU_production", 10, 1.5).value == pytest.approx(0.233)


def test_what_is_not_known_never_loosens_a_limit() -> None:
    """Law: dropping any piece of knowledge gives a limit at least as strict."""
    for rules, metres, area in itertools.product((*RULES, None), (0, 2, 6, 20), (0.75, 1.0, 1.5, 2.5, 4.0)):
        known = earth_path_limit(rules, metres, area).value
        for less in ((None, metres, area), (rules, None, area), (rules, metres, None), (None, None, None)):
            assert earth_path_limit(*less).value <= known + 1e-12, (rules, metres, area, less)
    for rules, protection, power, on in itertools.product(
        (*RULES, None), Protection, (0, 2.4, 3.5), (False, True)
    ):
        known = insulation_limit(rules, protection, power, on).value
        for less in (
            (None, protection, power, on),
            (rules, None, power, on),
            (rules, protection, None, on),
            (rules, protection, power, False),
            (None, None, None, False),
        ):
            assert insulation_limit(*less).value >= known, (rules, protection, power, on, less)


def test_leakage_that_is_not_known_never_loosens() -> None:
    for protection, edition, portable in itertools.product((ONE, TWO), (4, 5), (True, False)):
        known = leakage_limit("UK", protection, edition, portable).value
        assert leakage_limit("UK").value <= leakage_limit("UK", protection, None, portable).value <= known
        assert leakage_limit("UK", None, edition, portable).value <= known
        assert leakage_limit("UK", protection, edition, None).value <= known
        assert leakage_limit(None, protection, edition, portable).value <= known


def test_a_limit_says_whether_it_is_the_strictest_and_where_it_stands() -> None:
    known = earth_path_limit("UK", 2, 1.5)
    assert (known.unit, known.source, known.strictest) == (
        "ohm",
        "IET Code of Practice: 0.1 ohm + flex",
        False,
    )
    assert earth_path_limit("UK", 2).strictest and earth_path_limit().strictest
    assert insulation_limit("UK").strictest and not insulation_limit("UK", TWO).strictest
    assert earth_path_limit("AU_NZ").value == 1.0 and not earth_path_limit("AU_NZ").strictest


def test_a_plug_in_heater_of_just_under_3_kw_has_no_relief() -> None:
    """UK practice: 13 A at 230 V is 2.99 kW, so 1 Mohm; the boundary at 3.0 kW is from memory, taken strictly."""
    values = [insulation_limit("UK", ONE, kilowatt).value for kilowatt in (2.99, 3.0, 3.01)]
    assert values == [1.0, 1.0, 0.3]


def test_protective_conductor_current_bends_at_3_5_and_at_10_kilowatt() -> None:
    """DIN VDE 0701-0702: 3.5 mA; above 3.5 kW of heating 1 mA a kW, at most 10 mA."""
    values = [leakage_limit("DE", ONE, heating_kw=kilowatt).value for kilowatt in (0, 3.5, 3.6, 10, 11)]
    assert values == [3.5, 3.5, 3.6, 10, 10]
    assert leakage_limit("DE", TWO).value == 0.5


def test_class_three_falls_back_where_rules_are_silent() -> None:
    assert insulation_limit("DE", THREE).value == 0.25
    assert insulation_limit("UK", THREE) == insulation_limit("UK", THREE, None)
    assert insulation_limit("UK", THREE).value == 1.0 and insulation_limit("UK", THREE).strictest


def test_flex_resistance() -> None:
    assert flex_ohms(5, 1.5) == pytest.approx(0.0665)
    assert flex_ohms(0, 1.5) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: earth_path_limit("XX"),
        lambda: insulation_limit("XX"),
        lambda: leakage_limit("XX"),
        lambda: leakage_limit("AU_NZ"),
        lambda: leakage_limit("UK", ONE, 6),
        lambda: earth_path_limit("UK", -1, 1.5),
        lambda: earth_path_limit("UK", 101, 1.5),
        lambda: insulation_limit("UK", ONE, 31),
    ],
)
def test_unknown_rules_and_impossible_flexes_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
