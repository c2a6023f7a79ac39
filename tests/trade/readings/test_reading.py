"""Readings as people type them: what is understood, what is refused, and in which words."""

from __future__ import annotations

import math
import random

import pytest

from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.text.format import format_quantity
from faultfinder.trade.readings.parser import Reading
from faultfinder.trade.readings.reading import parse_reading, quantities_of, split_readings
from faultfinder.trade.readings.typed_text import ReadingError
from faultfinder.trade.readings.units import QUANTITIES

UNDERSTOOD = [
    # text, quantity, unit, value, half width, resolution
    ("33", "resistance", "ohm", 33, 0, 1),
    ("33R", "resistance", "ohm", 33, 0, 1),
    ("33r", "resistance", "ohm", 33, 0, 1),
    ("33 ohm", "resistance", "ohm", 33, 0, 1),
    ("33 Ohms.", "resistance", "ohm", 33, 0, 1),
    ("33.0", "resistance", "ohm", 33, 0, 0.1),
    ("33\n", "resistance", "ohm", 33, 0, 1),
    ("+33", "resistance", "ohm", 33, 0, 1),
    ("-0", "resistance", "ohm", 0, 0, 1),
    ("1e3", "resistance", "ohm", 1000, 0, 1000),
    ("4k7", "resistance", "ohm", 4700, 0, 100),
    ("4K7", "resistance", "ohm", 4700, 0, 100),
    ("4k7 ohm", "resistance", "ohm", 4700, 0, 100),
    ("47K3", "resistance", "ohm", 47300, 0, 100),
    ("4R7", "resistance", "ohm", 4.7, 0, 0.1),
    ("R47", "resistance", "ohm", 0.47, 0, 0.01),
    ("2M2", "resistance", "Mohm", 2.2, 0, 0.1),
    ("47k", "resistance", "ohm", 47000, 0, 1000),
    ("47", "resistance", "kohm", 47, 0, 1),
    ("10 k ohm", "resistance", "ohm", 10000, 0, 1000),
    ("0.2 Mohm", "resistance", "ohm", 200000, 0, 100000),
    ("0.2 MOhm", "resistance", "Mohm", 0.2, 0, 0.1),
    ("200 mohm", "resistance", "ohm", 0.2, 0, 0.001),
    ("12,5", "resistance", "ohm", 12.5, 0, 0.1),
    ("1,234", "resistance", "ohm", 1.234, 0, 0.001),
    ("32-34", "resistance", "ohm", 33, 1, 1),
    ("32 – 34 ohm", "resistance", "ohm", 33, 1, 1),
    ("34..32", "resistance", "ohm", 33, 1, 1),
    ("32 to 34", "resistance", "ohm", 33, 1, 1),
    ("4k5-4k7", "resistance", "ohm", 4600, 100, 100),
    ("33 ± 1", "resistance", "ohm", 33, 1, 1),
    ("33 +- 1", "resistance", "ohm", 33, 1, 1),
    ("33 +/- 1 ohm", "resistance", "ohm", 33, 1, 1),
    ("33±2%", "resistance", "ohm", 33, 0.66, 1),
    ("4k7 ± 5%", "resistance", "ohm", 4700, 235, 100),
    ("<0.1", "resistance", "ohm", 0.05, 0.05, 0.1),
    ("7.4A", "current", "A", 7.4, 0, 0.1),
    ("7A4", "current", "A", 7.4, 0, 0.1),
    ("740 mA", "current", "A", 0.74, 0, 0.001),
    ("740-760 mA", "current", "A", 0.75, 0.01, 0.001),
    ("0.75mA", "current", "mA", 0.75, 0, 0.01),
    ("3.1 A rms", "current", "A", 3.1, 0, 0.1),
    ("230V~", "voltage", "V", 230, 0, 1),
    ("230 v ac", "voltage", "V", 230, 0, 1),
    ("3V3", "voltage", "V", 3.3, 0, 0.1),
    ("2.4 kW", "power", "W", 2400, 0, 100),
    ("2.4kw", "power", "W", 2400, 0, 100),
    ("1.2 kWh", "energy", "kWh", 1.2, 0, 0.1),
    ("8uF", "capacitance", "uF", 8, 0, 1),
    ("8 µF", "capacitance", "uF", 8, 0, 1),
    ("8 MFD", "capacitance", "uF", 8, 0, 1),
    ("8u", "capacitance", "uF", 8, 0, 1),
    ("4n7", "capacitance", "nF", 4.7, 0, 0.1),
    ("72 C", "temperature", "C", 72, 0, 1),
    ("72 deg", "temperature", "C", 72, 0, 1),
    ("161 F", "temperature", "C", 71 + 2 / 3, 0, 5 / 9),
    ("-5", "temperature", "C", -5, 0, 1),
    ("-5 to 5 C", "temperature", "C", 0, 5, 1),
    ("72 C ± 2", "temperature", "C", 72, 2, 1),
    ("45 F", "temperature_difference", "K", 25, 0, 5 / 9),
    ("1h50", "time", "min", 110, 0, 1),
    ("1 h 50 min", "time", "min", 110, 0, 1),
    ("110 min", "time", "min", 110, 0, 1),
    ("110", "time", "min", 110, 0, 1),
    ("1h50-2h10", "time", "min", 120, 10, 1),
    ("50m30s", "time", "min", 50.5, 0, 1 / 60),
    ("90 s", "time", "min", 1.5, 0, 1 / 60),
    ("55 %", "humidity", "%", 55, 0, 1),
    ("55%RH", "humidity", "%", 55, 0, 1),
    ("55 ± 5 %", "humidity", "%", 55, 5, 1),
    ("60%", "ratio", "1", 0.6, 0, 0.01),
    ("0.3 mm", "length", "mm", 0.3, 0, 0.1),
    ("12 ft", "length", "m", 3.6576, 0, 0.3048),
    ("120 m3/h", "flow", "m3/h", 120, 0, 1),
    ("120 m³/h", "flow", "m3/h", 120, 0, 1),
    ("33 l/s", "flow", "m3/h", 118.8, 0, 3.6),
    ("2.3 kg", "mass", "kg", 2.3, 0, 0.1),
    ("2300 g", "mass", "kg", 2.3, 0, 0.001),
    ("1400 rpm", "rotation", "rpm", 1400, 0, 1),
    ("-20 Pa", "pressure", "Pa", -20, 0, 1),
    # The same in Unicode: ohm signs, micro signs, degree signs, minus, no-break spaces, one-character units.
    ("33Ω", "resistance", "ohm", 33, 0, 1),
    ("33\N{OHM SIGN}", "resistance", "ohm", 33, 0, 1),
    ("4k7Ω", "resistance", "ohm", 4700, 0, 100),
    ("47 ㏀", "resistance", "ohm", 47000, 0, 1000),
    ("8 \N{GREEK SMALL LETTER MU}F", "capacitance", "uF", 8, 0, 1),
    ("740㎃", "current", "A", 0.74, 0, 0.001),
    ("72\N{DEGREE CELSIUS}", "temperature", "C", 72, 0, 1),
    ("72 °C", "temperature", "C", 72, 0, 1),
    ("72 º", "temperature", "C", 72, 0, 1),
    ("\N{MINUS SIGN}5 °C", "temperature", "C", -5, 0, 1),
    ("33\N{NO-BREAK SPACE}ohm", "resistance", "ohm", 33, 0, 1),
    ("33\N{FULLWIDTH LATIN CAPITAL LETTER R}", "resistance", "ohm", 33, 0, 1),
]


@pytest.mark.slow
@pytest.mark.parametrize(("text", "quantity", "unit", "value", "half", "step"), UNDERSTOOD)
def test_reading_is_understood(
    text: str, quantity: str, unit: str, value: float, half: float, step: float
) -> None:
    reading = parse_reading(text, quantity, unit)
    assert (reading.unit, reading.over_range, reading.range_top, reading.text) == (unit, False, None, text)
    assert reading.value == pytest.approx(value, abs=1e-12)
    assert reading.half_width == pytest.approx(half, abs=1e-12)
    assert reading.digits == pytest.approx(step)
    assert math.copysign(1, reading.value) == (-1 if value < 0 else 1)


@pytest.mark.parametrize(
    ("text", "quantity", "unit", "top"),
    [
        ("OL", "resistance", "ohm", None),
        ("ol", "resistance", "Mohm", None),
        ("O.L", "resistance", "ohm", None),
        ("0L", "resistance", "ohm", None),
        ("OL Mohm", "resistance", "Mohm", None),
        ("open", "resistance", "ohm", None),
        ("open circuit", "resistance", "ohm", None),
        ("∞", "resistance", "ohm", None),
        ("infinity", "resistance", "ohm", None),
        ("OL@200", "resistance", "ohm", 200),
        ("OL @ 2k", "resistance", "ohm", 2000),
        ("OL@20M", "resistance", "Mohm", 20),
        (">200 Mohm", "resistance", "Mohm", 200),
        (">2 Gohm", "resistance", "Mohm", 2000),
        ("OL", "temperature", "C", None),
        ("OL", "current", "A", None),
        ("0.L", "resistance", "ohm", None),
        ("0.L M", "resistance", "ohm", None),
        ("OL k", "resistance", "ohm", None),
    ],
)
def test_over_range_is_infinite_and_keeps_the_range(
    text: str, quantity: str, unit: str, top: float | None
) -> None:
    assert parse_reading(text, quantity, unit) == Reading(math.inf, unit, True, top, 0.0, 0.0, text)


OHMS = "type a resistance in ohm"
CASE = "m is milli (a thousandth), M is mega (a million)."
REFUSED = [
    # text, quantity, unit, message, suggestion
    ("7.4A", "resistance", "ohm", '"7.4A" is a current (A); a resistance in ohm is wanted here.', None),
    ("2.4kVA", "power", "W", '"2.4kVA" is an apparent power (kVA); a power in W is wanted here.', None),
    ("2 l", "mass", "kg", '"2 l" is a volume (l); a mass in kg is wanted here.', None),
    (
        "33 fz",
        "resistance",
        "ohm",
        '"33 fz": the unit "fz" is not known; a resistance is given in ohm, kohm, Mohm.',
        None,
    ),
    (
        "5 kA",
        "current",
        "A",
        '"5 kA" cannot be a current in A: from 0 to 200 A. Did you mean 5 A or 5 mA?',
        "5 A",
    ),
    (
        "740",
        "current",
        "A",
        '"740" cannot be a current in A: from 0 to 200 A. Did you mean 740 mA?',
        "740 mA",
    ),
    (
        "8 F",
        "capacitance",
        "uF",
        '"8 F" cannot be a capacitance in uF: from 0 to 5 mF. Did you mean 8 uF or 8 nF?',
        "8 uF",
    ),
    (
        "-3",
        "resistance",
        "ohm",
        '"-3" cannot be a resistance in ohm: from 0 to 1000 Gohm. A minus in ohms means that a '
        "voltage is present: isolate it and prove it dead first.",
        None,
    ),
    ("0.64", "ratio", "%", '"0.64" could be a fraction or a percentage: type 64 % or 0.64 %.', "64 %"),
    ("1", "humidity", "%", '"1" could be a fraction or a percentage: type 100 % or 1 %.', "100 %"),
    (
        "1.4 MWh",
        "energy",
        "kWh",
        f'"1.4 MWh" (1400 kWh) is unlikely: {CASE} Did you mean 1.4 kWh? '
        "If not, type the number alone, in kWh, from 0 to 1000 kWh.",
        "1.4 kWh",
    ),
    (
        "2.5mW",
        "power",
        "W",
        f'"2.5mW" (0.0025 W) is unlikely: {CASE} Did you mean 2.5 kW? '
        "If not, type the number alone, in W, from 0 to 30000 W.",
        "2.5 kW",
    ),
    (
        "about 33",
        "resistance",
        "ohm",
        '"about 33": type how far it wavers, such as 33 +- 2, or the figure alone.',
        "33",
    ),
    ("short", "resistance", "ohm", '"short": type the ohms that the meter shows, such as 0.2.', None),
    (
        "230V~ 50Hz",
        "voltage",
        "V",
        '"230V~ 50Hz" holds more than one number; separate readings with a ; and write thousands without a gap.',
        None,
    ),
    (
        "1'000",
        "resistance",
        "ohm",
        '"1\'000" holds more than one number; separate readings with a ; and write thousands without a gap.',
        None,
    ),
    (
        "-3",
        "voltage",
        "V",
        '"-3" cannot be a voltage in V: from 0 to 1000 V. The leads are the other way round: leave out the minus.',
        None,
    ),
    ("101", "humidity", "%", '"101" cannot be a relative humidity in %: from 0 to 100 %.', None),
    ("-100", "temperature", "C", '"-100" cannot be a temperature in C: from -60 to 1300 C.', None),
    (
        "740 MA",
        "current",
        "A",
        f'"740 MA" is unlikely: {CASE} Did you mean 740 mA? '
        "If not, type the number alone, in A, from 0 to 200 A.",
        "740 mA",
    ),
    (
        "1 mohm",
        "resistance",
        "Mohm",
        f'"1 mohm" (0.001 ohm) is unlikely: {CASE} Did you mean 1 Mohm? '
        "If not, type the number alone, in Mohm, from 0 to 1000 Gohm.",
        "1 Mohm",
    ),
    (
        "2 mohm",
        "resistance",
        "ohm",
        f'"2 mohm" (0.002 ohm) is unlikely: {CASE} Did you mean 2 Mohm? '
        "If not, type the number alone, in ohm, from 0 to 1000 Gohm.",
        "2 Mohm",
    ),
    (
        "8 mF",
        "capacitance",
        "uF",
        f'"8 mF" (8 mF) is unlikely: {CASE} Did you mean 8 uF? '
        "If not, type the number alone, in uF, from 0 to 5 mF.",
        "8 uF",
    ),
    (
        "2.4 MW",
        "power",
        "W",
        f'"2.4 MW" is unlikely: {CASE} Did you mean 2.4 kW? '
        "If not, type the number alone, in W, from 0 to 30000 W.",
        "2.4 kW",
    ),
    (
        "1:50",
        "time",
        "min",
        '"1:50" may be hours or minutes; type 1h50 for hours and minutes, 1m50s for minutes and seconds.',
        "1h50",
    ),
    ("1h75", "time", "min", '"1h75": more than 59 minutes or seconds; type a time in min.', None),
    (
        "4E7",
        "resistance",
        "ohm",
        '"4E7": type 4R7 for a decimal point, or the whole number in ohm.',
        "4R7",
    ),
    (
        "33 34",
        "resistance",
        "ohm",
        '"33 34" holds more than one number; separate readings with a ; and write thousands without a gap.',
        None,
    ),
    (
        "1,234.5",
        "resistance",
        "ohm",
        '"1,234.5" holds more than one number; separate readings with a ; and write thousands without a gap.',
        None,
    ),
    (
        "4k7±100",
        "resistance",
        "ohm",
        '"4k7±100": the plus-minus is larger than the value; type both with their units, such as 4.7k +- 0.1k.',
        None,
    ),
    (
        "33 ± -1",
        "resistance",
        "ohm",
        '"33 ± -1": what follows the plus-minus must be 0 or more.',
        None,
    ),
    (
        "OL 200",
        "resistance",
        "ohm",
        '"OL 200" is not understood; type OL, or OL@200 with the range in use.',
        "OL",
    ),
    ("OL@0", "resistance", "ohm", '"OL@0": the range after @ must be above 0, such as OL@200.', None),
    ("open", "current", "A", '"open" is not a current in A; type a number, from 0 to 200 A.', None),
    ("OL", "time", "min", '"OL" is not a time in min; type a number, from 0 to 52596000 min.', None),
    (
        "",
        "resistance",
        "ohm",
        "nothing was typed; type a resistance in ohm, from 0 to 1000 Gohm.",
        None,
    ),
    (
        "dunno",
        "resistance",
        "ohm",
        f'"dunno" is not understood; {OHMS}, from 0 to 1000 Gohm, or OL for over range.',
        None,
    ),
    (
        "nan",
        "resistance",
        "ohm",
        f'"nan" is not understood; {OHMS}, from 0 to 1000 Gohm, or OL for over range.',
        None,
    ),
    ("1e999", "resistance", "ohm", f'"1e999" is beyond every range; {OHMS}, from 0 to 1000 Gohm.', None),
    ("1e-320", "resistance", "ohm", f'"1e-320" is too small for any instrument; {OHMS}.', None),
    ("33e-400", "resistance", "ohm", f'"33e-400" is too small for any instrument; {OHMS}.', None),
    (
        "4\x006",
        "resistance",
        "ohm",
        f'"4<0000>6" contains an invisible character (U+0000); {OHMS} by hand.',
        None,
    ),
    (
        "\u202e33",
        "resistance",
        "ohm",
        f'"<202E>33" contains an invisible character (U+202E); {OHMS} by hand.',
        None,
    ),
    (
        "33\u200b",
        "resistance",
        "ohm",
        f'"33<200B>" contains an invisible character (U+200B); {OHMS} by hand.',
        None,
    ),
    (
        "\N{FULLWIDTH DIGIT THREE}\N{FULLWIDTH DIGIT THREE}",
        "resistance",
        "ohm",
        f'"\N{FULLWIDTH DIGIT THREE}\N{FULLWIDTH DIGIT THREE}" contains digits other than 0 to 9; '
        f"{OHMS} in plain digits.",
        "33",
    ),
    ("½", "resistance", "ohm", f'"½" contains digits other than 0 to 9; {OHMS} in plain digits.', None),
    ("²1", "resistance", "ohm", f'"²1" contains digits other than 0 to 9; {OHMS} in plain digits.', "21"),
    (
        "5 wet under it, mopped up dry",
        "time",
        "min",
        '"5 wet under it, mopped...": the words behind the figure are not understood; type the figure and its unit '
        "alone, in min, h, s.",
        None,
    ),
    (
        "9" * 10_000_000,
        "resistance",
        "ohm",
        f'"{"9" * 24}..." is too long for a reading; {OHMS}.',
        None,
    ),
]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "quantity", "unit", "message", "suggestion"),
    REFUSED,
    ids=lambda value: ascii(value)[:24] if isinstance(value, str) else None,
)
def test_reading_is_refused_in_these_words(
    text: str, quantity: str, unit: str, message: str, suggestion: str | None
) -> None:
    with pytest.raises(ReadingError) as refused:
        parse_reading(text, quantity, unit)
    assert (str(refused.value), refused.value.suggestion) == (message, suggestion)


def test_every_suggestion_for_a_refused_reading_can_be_typed() -> None:
    """What a message tells to type is understood, in the quantity it was asked for."""
    offered = [(item[1], item[2], item[4]) for item in REFUSED if item[4]]
    assert len(offered) >= 8
    for quantity, unit, suggestion in offered:
        parse_reading(suggestion, quantity, unit)


def test_reading_errors_are_faults_of_ours_to_tell() -> None:
    assert issubclass(ReadingError, FaultFinderError)


@pytest.mark.parametrize(("number", "value"), [(7.4, 7.4), (33, 33.0), (0, 0.0), (1e-3, 0.001)])
def test_a_number_stands_for_itself(number: float, value: float) -> None:
    assert parse_reading(number, "current", "A").value == value


def test_a_number_from_a_program_is_never_asked_whether_it_is_a_share() -> None:
    assert parse_reading(0.64, "ratio", "%").value == 0.64
    assert parse_reading("0", "ratio", "%").value == 0 and parse_reading("0.64 %", "ratio", "%").value == 0.64
    assert parse_reading("1.5", "ratio", "%").value == 1.5


def test_an_infinite_number_is_over_range_and_nan_and_booleans_are_refused() -> None:
    assert parse_reading(math.inf, "resistance", "ohm").over_range
    for number in (math.nan, -math.inf, True, False):
        with pytest.raises(ReadingError):
            parse_reading(number, "resistance", "ohm")


@pytest.mark.parametrize(
    ("quantity", "unit"), [("resistence", "ohm"), ("resistance", "A"), ("current", "ohm")]
)
def test_unknown_quantity_or_unit_is_the_callers_slip(quantity: str, unit: str) -> None:
    with pytest.raises(UnknownName):
        parse_reading("33", quantity, unit)


@pytest.mark.parametrize("name", sorted(QUANTITIES))
def test_limits_themselves_pass_and_what_is_beyond_does_not(name: str) -> None:
    kind = QUANTITIES[name]
    for unit, factor in kind.units.items():
        low = (kind.low - factor.offset) / factor.factor
        high = (kind.high - factor.offset) / factor.factor
        assert parse_reading(repr(high), name, unit).value == pytest.approx(high)
        assert parse_reading(repr(low), name, unit).value == pytest.approx(low, abs=1e-9)
        with pytest.raises(ReadingError):
            parse_reading(repr(high + abs(high) * 1e-3), name, unit)
        with pytest.raises(ReadingError):
            parse_reading(repr(low - max(abs(low), 1) * 1e-3), name, unit)


def test_readings_on_one_line_are_parted_by_semicolons_and_commas_stay() -> None:
    assert split_readings("33R; 7,4A ;; OL ;") == ["33R", "7,4A", "OL"]
    assert split_readings(" ") == []


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("7.4A", "current"),
        ("740 mA", "current"),
        ("740 MA", None),
        ("5 kA", "current"),
        ("230V~", "voltage"),
        ("33R", "resistance"),
        ("4k7", "resistance"),
        ("47k", "resistance"),
        ("0.2 Mohm", "resistance"),
        ("32-34 ohm", "resistance"),
        ("33Ω ± 1", "resistance"),
        (">200 Mohm", "resistance"),
        ("8uF", "capacitance"),
        ("4n7", "capacitance"),
        ("72 C", "temperature"),
        ("161 F", "temperature"),
        ("1h50", "time"),
        ("110 min", "time"),
        ("120 m3/h", "flow"),
        ("0.3 mm", "length"),
        ("2.3 kg", "mass"),
        ("2.4 kW", "power"),
        ("1200 rpm", "rotation"),
        ("50 Hz", "frequency"),
        ("55 %RH", "humidity"),
        ("55 %", None),
        ("5 m", None),
        ("33", None),
        ("OL", None),
        ("open", None),
        ("", None),
        ("garbage", None),
        ("\u202e33R", None),
    ],
)
def test_the_quantity_is_told_from_the_unit_alone(text: str, quantity: str | None) -> None:
    fitting = quantities_of(text)
    assert (fitting[0] == quantity) if quantity else (len(fitting) != 1)


def test_a_unit_of_several_quantities_names_them_all() -> None:
    assert quantities_of("55 %") == ("humidity", "ratio")
    assert quantities_of("72 C") == ("temperature", "temperature_difference")
    assert quantities_of("5 m") == quantities_of("5m") == ("length", "time")
    assert quantities_of("33") == ()


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (46.1, "ohm", "46.1 ohm"),
        (33.0, "ohm", "33 ohm"),
        (math.inf, "ohm", "OL"),
        (math.nan, "ohm", "? ohm"),
        (47000, "ohm", "47 kohm"),
        (999.99, "ohm", "1000 ohm"),
        (0.00012, "ohm", "0.00012 ohm"),
        (0.2, "Mohm", "0.2 Mohm"),
        (0.05, "Mohm", "50 kohm"),
        (0.0, "ohm", "0 ohm"),
        (-0.0, "V", "0 V"),
        (8e-6, "F", "8 uF"),
        (0.5, "A", "0.5 A"),
        (0.0005, "A", "0.0005 A"),
        (2400, "W", "2400 W"),
        (110.0, "min", "110 min"),
        (71.666, "C", "71.7 C"),
        (-5, "C", "-5 C"),
        (55, "%", "55 %"),
        (0.6, "1", "0.6"),
    ],
)
def test_values_are_written_for_people(value: float, unit: str, text: str) -> None:
    assert format_quantity(value, unit) == text


def test_what_is_written_for_people_can_be_typed_back() -> None:
    """Law: format, then parse, gives the value back to three digits."""
    chance = random.Random(3)
    for quantity, unit in (
        ("resistance", "ohm"),
        ("capacitance", "uF"),
        ("current", "A"),
        ("temperature", "C"),
    ):
        for _ in range(200):
            value = 10 ** chance.uniform(-2, 2)
            shown = format_quantity(value, unit)
            assert parse_reading(shown, quantity, unit).value == pytest.approx(value, rel=6e-3), shown


@pytest.mark.slow
def test_fuzzed_text_gives_a_reading_or_a_reading_error_and_nothing_else() -> None:
    """Seeded; the message is short and printable whatever was typed, and no reading is outside its limits."""
    pieces = (
        "33 4k7 R k M m ohm Ω Ω µ μ OL @ 200 ± +- +/- - -- .. , . 1e5 e E ∞ open nan inf ² ° °C C F h min 1h50 : % "
        "~ < > = ½ ㎂ ㏀ e999 e-400 1e-320 A V W kA MA to i İ ß ſ 1 0 ' \" / m3 short 🙂 ﷽ 33 ٣ Ⅷ"
    ).split() + [" ", "\t", "\u202e", "\u00a0", "\x00", "\ud800", "6" * 30, "\n", "\u200f"]
    chance = random.Random(20240)
    asked = [(kind.name, unit) for kind in QUANTITIES.values() for unit in kind.units]
    understood = 0
    for _ in range(30_000):
        if chance.random() < 0.8:
            text = "".join(chance.choice(pieces) for _ in range(chance.randrange(1, 7)))
        else:
            text = "".join(chr(chance.randrange(0x110000)) for _ in range(chance.randrange(8)))
        name, unit = chance.choice(asked)
        try:
            reading = parse_reading(text, name, unit)
        except ReadingError as refused:
            assert str(refused).isprintable() and len(str(refused)) < 400, text
            continue
        understood += 1
        if reading.over_range:
            assert reading.value == math.inf and (reading.range_top is None or reading.range_top > 0)
        else:
            kind = QUANTITIES[name]
            base = reading.value * kind.units[unit].factor + kind.units[unit].offset
            assert kind.low - 1e-6 * abs(kind.low) <= base <= kind.high * (1 + 1e-6), text
            assert 0 <= reading.half_width < math.inf and 0 <= reading.digits < math.inf
        quantities_of(text)
    assert understood > 200


@pytest.mark.parametrize("said", ["no continuity", "No circuit"])
def test_a_silent_buzzer_is_an_open_circuit_and_no_test_of_insulation(said: str) -> None:
    assert parse_reading(said, "resistance", "ohm").over_range
    with pytest.raises(ReadingError, match="type a number"):
        parse_reading(said, "resistance", "Mohm")
    assert parse_reading("OL", "resistance", "Mohm").over_range
