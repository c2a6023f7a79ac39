"""Markings of resistors and capacitors, both ways."""

from __future__ import annotations

import pytest

from faultfinder.trade.inputs import FormulaError
from faultfinder.trade.readings.component_codes import (
    SERIES,
    capacitance_farad,
    code_for_ohms,
    nearest_preferred,
    resistance_ohms,
    tolerance_band,
)


@pytest.mark.parametrize(
    ("code", "ohms"),
    [("R47", 0.47), ("4R7", 4.7), ("470R", 470), ("4K7", 4700), ("47K", 47e3), ("47K3", 47300), ("4M7", 4.7e6),
     ("1G", 1e9), ("10L", 0.01), ("R1", 0.1), ("1R", 1.0), ("1K", 1000)],
)  # fmt: skip
def test_a_resistor_code_is_read_and_written(code: str, ohms: float) -> None:
    """IEC 60062, quoted; L and G from memory."""
    assert resistance_ohms(code) == (pytest.approx(ohms), "")
    assert code_for_ohms(ohms) == code


def test_every_preferred_value_survives_its_code() -> None:
    for step in SERIES["E24"]:
        for power in range(-2, 8):
            ohms = float(f"{step}e{power}")
            assert resistance_ohms(code_for_ohms(ohms))[0] == pytest.approx(ohms)


def test_rounding_up_into_the_next_letter() -> None:
    assert code_for_ohms(999.99) == "1K"
    assert code_for_ohms(999.9e3) == "999K9"


@pytest.mark.parametrize(
    ("code", "farad", "letter"),
    [
        ("105K", 1e-6, "K"),
        ("103", 10e-9, ""),
        ("100", 10e-12, ""),
        ("4n7J", 4.7e-9, "J"),
        ("1µ0", 1e-6, ""),
        ("p47", 0.47e-12, ""),
    ],
)
def test_a_capacitor_code_is_read(code: str, farad: float, letter: str) -> None:
    assert capacitance_farad(code) == (pytest.approx(farad), letter)


def test_tolerance_letters() -> None:
    assert tolerance_band(4700, "J") == (4465, 4935)
    assert tolerance_band(100, "Z") == (80, 180)
    assert tolerance_band(100, "") == (80, 120)


def test_letters_under_10_picofarad_are_picofarad() -> None:
    assert tolerance_band(4.7, "C", picofarads=True) == (pytest.approx(4.45), pytest.approx(4.95))
    assert tolerance_band(10, "C", picofarads=True) == (pytest.approx(9.975), pytest.approx(10.025))


@pytest.mark.parametrize("code", ["", "K", "4X7", "4K7Q", "12345K", "4 K7", "-4K7", "4K7K7", "４K7"])
def test_no_resistor_code(code: str) -> None:
    with pytest.raises(FormulaError):
        resistance_ohms(code)


@pytest.mark.parametrize("code", ["", "n", "10", "1055", "4x7", "4n7Q"])
def test_no_capacitor_code(code: str) -> None:
    with pytest.raises(FormulaError):
        capacitance_farad(code)


def test_preferred_values_are_no_roundings() -> None:
    """IEC 60063: 27, 33, 39, 47 where 10^(i/12) gives 26.1, 31.6, 38.3, 46.4."""
    assert SERIES["E12"] == (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)
    assert SERIES["E6"] == (10, 15, 22, 33, 47, 68)
    assert {43, 75} <= set(SERIES["E24"])


def test_nearest_is_by_ratio_and_crosses_the_decade() -> None:
    assert nearest_preferred(9.6) == 10
    assert nearest_preferred(95.3, "E24") == pytest.approx(91)
    assert nearest_preferred(95.5, "E24") == pytest.approx(100)
    assert nearest_preferred(1e-3, "E3") == pytest.approx(1e-3)
    for bad in (0, -1, float("inf"), float("nan")):
        with pytest.raises(FormulaError):
            nearest_preferred(bad)
    with pytest.raises(FormulaError):
        nearest_preferred(1, "E13")
    with pytest.raises(FormulaError):
        tolerance_band(1, "Q")
