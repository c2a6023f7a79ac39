"""Uncertainty of readings, a meter of one's own, and the three verdicts."""

from __future__ import annotations

import math

import pytest

from faultfinder.errors import UnknownName
from faultfinder.trade.inputs import FormulaError
from faultfinder.trade.readings.meter import (
    MeterError,
    accuracy,
    in_quadrature,
    meter_from_text,
    over_range_top,
    rectangular,
    standard_uncertainty,
)
from faultfinder.trade.readings.reading import parse_reading

ROOT3 = math.sqrt(3)


def test_independent_parts_add_in_quadrature() -> None:
    assert in_quadrature((3, 4)) == 5
    assert in_quadrature(()) == 0


def test_a_limit_of_error_is_rectangular() -> None:
    assert rectangular(0.3) == pytest.approx(0.3 / ROOT3)
    assert rectangular(0) == 0
    with pytest.raises(FormulaError):
        rectangular(-0.1)


def test_uncertainty_of_a_reading_counts_meter_leads_spread_and_digit() -> None:
    plain = parse_reading("33.0", "resistance", "ohm")
    assert standard_uncertainty(plain, "resistance", 0.01, 0.3) == pytest.approx(
        math.hypot(0.33, 0.3, 0.05 / ROOT3)
    )
    spread = parse_reading("33.0 ± 2", "resistance", "ohm")
    assert standard_uncertainty(spread, "resistance", 0, 0) == pytest.approx(
        math.hypot(2 / ROOT3, 0.05 / ROOT3)
    )


def test_the_absolute_part_is_in_the_base_unit_and_comes_back_in_the_readings_unit() -> None:
    megohm = parse_reading("2.000", "resistance", "Mohm")
    assert standard_uncertainty(megohm, "resistance", 0, 1e5) == pytest.approx(0.1, rel=1e-4)
    fahrenheit = parse_reading("72.0", "temperature", "F")
    assert standard_uncertainty(fahrenheit, "temperature", 0, 1) == pytest.approx(1.8, rel=1e-3)


def test_over_range_has_no_uncertainty() -> None:
    assert standard_uncertainty(parse_reading("OL", "resistance", "ohm"), "resistance", 0.01, 0.3) == 0


def test_top_of_an_ordinary_meter() -> None:
    assert over_range_top("resistance", "Mohm") == pytest.approx(20)
    assert over_range_top("temperature", "F") == pytest.approx(572)
    with pytest.raises(UnknownName):
        over_range_top("resistance", "V")


def test_a_wrong_range_has_a_larger_digit() -> None:
    assert accuracy(1.4869, 0, 1, 0.0001) < accuracy(1.487, 0, 1, 0.001)


OWN = """
# the meter in the van
resistance up to 200 ohm: 0.8 % + 3 digits of 0.1 ohm
resistance up to 2 kohm: 0.8 % + 1 digit of 1 ohm
current up to 10 A: 2,5 %
"""


def test_a_meter_is_read_from_its_owners_file() -> None:
    meter = meter_from_text(OWN)
    assert [(each.quantity, each.top) for each in meter.ranges] == [
        ("current", 10.0),
        ("resistance", 200.0),
        ("resistance", 2000.0),
    ]
    at_33 = meter.standard_uncertainty(parse_reading("33.0", "resistance", "ohm"), "resistance")
    assert at_33 == pytest.approx(math.hypot((0.264 + 0.3) / ROOT3, 0.05 / ROOT3))
    in_kilohm = meter.standard_uncertainty(parse_reading("0.0330", "resistance", "kohm"), "resistance")
    assert in_kilohm == pytest.approx(at_33 / 1000, rel=1e-9)
    assert meter.standard_uncertainty(parse_reading("OL", "resistance", "ohm"), "resistance") == 0


def test_the_range_changes_at_its_top() -> None:
    meter = meter_from_text(OWN)
    narrow, wide = meter.range_for("resistance", 200.0), meter.range_for("resistance", 200.001)
    assert narrow is not None and narrow.top == 200
    assert wide is not None and wide.top == 2000
    with pytest.raises(MeterError, match="this meter has no range for resistance of 2001 ohm"):
        meter.standard_uncertainty(parse_reading("2001", "resistance", "ohm"), "resistance")


@pytest.mark.parametrize(
    "line",
    [
        "resistance: 1 %",
        "resistence up to 200 ohm: 1 %",
        "resistance up to 200 ohm: 1 % + 3 digits",
        "volume of air up to 3: 1 %",
        "resistance up to 200 V: 1 %",
        "resistance up to 200 ohm: 101 %",
        "resistance up to 200 ohm: 1.2.3 %",
        "resistance up to 200 ohm: 1 % + 3 digits of nothing",
    ],
)
def test_a_bad_line_of_the_file_is_told_by_number(line: str) -> None:
    with pytest.raises(MeterError, match="^line 2: "):
        meter_from_text("# mine\n" + line)


@pytest.mark.parametrize(
    "line",
    [
        "resistance up to 200 ohm: 0.8 % + 3 digits of 0.1 ohm",
        "resistance 200 ohm: ±(0.8 % + 3) 0.1 ohm",
        "resistance 200R ±(0,8% rdg + 3 dgt) resolution 0.1 ohm",
        "resistance up to 0.2 kohm: ±0.8 % of reading + 3 counts of 100 mohm",
        "resistance up to 200: 0.8 % +3 d 0.1",
    ],
)
def test_an_accuracy_may_be_written_as_the_papers_of_the_meter_have_it(line: str) -> None:
    (span,) = meter_from_text(line).ranges
    assert (span.quantity, span.top, span.percent, span.digits, span.digit) == (
        "resistance", pytest.approx(200), 0.8, 3, pytest.approx(0.1)
    )  # fmt: skip


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            "resistence up to 200 ohm: 1 %",
            "line 1: there is no quantity 'resistence'; did you mean resistance?",
        ),
        ("air up to 3: 1 %", "line 1: there is no quantity 'air'; there are: resistance, capacitance"),
        ("resistance up to 200 ohm: 1 % + 3 digits", "line 1: say how large one digit is in this range"),
        ("0.8 % + 3", "line 1: write `resistance up to 200 ohm: 0.8 % + 3 digits of 0.1 ohm`."),
    ],
)
def test_a_bad_line_says_what_is_missing(line: str, told: str) -> None:
    with pytest.raises(MeterError) as raised:
        meter_from_text(line)
    assert str(raised.value).startswith(told)
