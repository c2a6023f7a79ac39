"""Earth path, insulation and leakage limits: what is not known takes the strictest."""

from __future__ import annotations

import itertools

import pytest

from faultfinder.trade.electrical.in_service_limits import (
    Protection,
    earth_path_limit,
    earth_path_limits,
    insulation_limit,
    protective_current_limit,
)
from faultfinder.trade.inputs import FormulaError

ONE, TWO, THREE = Protection.CLASS_I, Protection.CLASS_II, Protection.CLASS_III


def test_earth_limit_grows_with_the_flex_in_the_uk() -> None:
    assert earth_path_limits(0, 1.5)["UK"] == pytest.approx(0.1)
    assert earth_path_limits(5, 1.5)["UK"] == pytest.approx(0.1665)
    assert earth_path_limit(2, 0.75).value > earth_path_limit(2, 1.5).value


def test_german_earth_limit_steps_for_each_7_5_metres_begun() -> None:
    """DIN VDE 0701-0702: 0.3 ohm up to 5 m; the step for each length begun is our reading of it."""
    steps = {5: 0.3, 5.01: 0.4, 12.5: 0.4, 12.51: 0.5, 57.5: 1.0, 100: 1.0}
    for metres, ohms in steps.items():
        assert earth_path_limits(metres)["DE"] == pytest.approx(ohms), metres


def test_what_is_not_known_never_loosens_a_limit() -> None:
    """Law: dropping any piece of knowledge gives a limit at least as strict."""
    for metres, area in itertools.product((0, 2, 6, 20, 100), (0.75, 1.0, 1.5, 2.5, 4.0)):
        known = earth_path_limit(metres, area).value
        assert known == min(earth_path_limits(metres, area).values())
        for less in ((None, area), (metres, None), (None, None)):
            assert earth_path_limit(*less).value <= known + 1e-12, (metres, area, less)
    for protection, power in itertools.product(Protection, (0, 2.4, 3.5)):
        known = insulation_limit(protection, power).value
        for less in ((None, power), (protection, 0), (None, 0)):
            assert insulation_limit(*less).value >= known, (protection, power, less)


def test_a_limit_says_where_it_stands_and_that_it_is_the_strictest() -> None:
    known = earth_path_limit(2, 1.5)
    assert (known.unit, known.source, known.strictest) == (
        "ohm",
        "IET Code of Practice: 0.1 ohm + flex",
        True,
    )
    assert earth_path_limit(100, 0.75).source.startswith("DIN VDE 0701-0702")
    assert insulation_limit().source == "IET Code of Practice: class II 2 Mohm"


def test_a_plug_in_heater_of_just_under_3_kw_has_no_relief() -> None:
    """UK practice: 13 A at 230 V is 2.99 kW, so 1 Mohm; the boundary at 3.0 kW is from memory, taken strictly."""
    assert [insulation_limit(ONE, kilowatt).value for kilowatt in (2.99, 3.0, 3.01)] == [1.0, 1.0, 0.3]


def test_protective_conductor_current_bends_at_3_5_and_at_10_kilowatt() -> None:
    """DIN VDE 0701-0702: 3.5 mA; above 3.5 kW of heating 1 mA a kW, at most 10 mA."""
    values = [protective_current_limit(kilowatt) for kilowatt in (0, 3.5, 3.6, 10, 11)]
    assert values == [3.5, 3.5, 3.6, 10, 10]


def test_class_three_falls_back_on_class_one() -> None:
    assert insulation_limit(THREE).value == 1.0 == insulation_limit(THREE, 5).value


@pytest.mark.parametrize(
    "call",
    [
        lambda: earth_path_limit(-1, 1.5),
        lambda: earth_path_limit(101, 1.5),
        lambda: earth_path_limit(1, 0.1),
        lambda: insulation_limit(ONE, 31),
        lambda: protective_current_limit(-1),
    ],
)
def test_impossible_flexes_and_powers_are_refused(call) -> None:
    with pytest.raises(FormulaError):
        call()
