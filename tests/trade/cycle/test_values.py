"""Values of a log: the decimal mark of a column, thousands, units in cells, noise."""

from __future__ import annotations

import random

import pytest

from faultfinder.trade.cycle.values import decimal_mark, value_of


@pytest.mark.parametrize(
    ("cells", "mark"),
    [
        (["0.8", "190.4", "2,582.1"], "."),
        (["0,8", "190,4", "2.582,1"], ","),
        (["190", "2,582"], "."),
        (["190", "0,582"], ","),
        (["0", "2,582"], ","),
        (["190.5", "2,582"], "."),
        (["190,5", "2.582"], ","),
        (["1.5", "2.25"], "."),
        (["1,5", "2,25"], ","),
        (["2.582", "190"], "."),
        (["", "---", "NaN"], "."),
        (["1,234,567"], ","),
    ],
)
def test_the_column_decides_which_mark_is_the_decimal_one(cells: list[str], mark: str) -> None:
    assert decimal_mark(cells) == mark


@pytest.mark.parametrize(
    ("cell", "mark", "value"),
    [
        ("2,582.1", ".", 2582.1),
        ("2.582,1", ",", 2582.1),
        ("2 582,1", ",", 2582.1),
        ("2'582.1", ".", 2582.1),
        ("1,234,567.5", ".", None),  # beyond what an appliance takes
        ("2,58.1", ".", None),
        ("1,5", ".", 1.5),
        ("1.5", ",", 1.5),
        ("2.4 kW", ".", 2400),
        ("2,4kW", ",", 2400),
        ("10 A", ".", None),
        ("-5", ".", 0.0),
        ("-250", ".", None),
        ("30001", ".", None),
        ("", ".", None),
        ("NaN", ".", None),
        ("1e3", ".", 1000),
        ("5.", ".", 5),
    ],
)
def test_a_cell_gives_its_watts_or_nothing(cell: str, mark: str, value: float | None) -> None:
    assert value_of(cell, "power", 1.0, mark) == value


def test_whatever_marks_a_logger_uses_its_numbers_come_back() -> None:
    """Law over seeded columns: written with any pair of marks, every number is read as it was."""
    chance = random.Random(29)
    for _ in range(100):
        numbers = [round(chance.uniform(0, 3000), 1) for _ in range(20)] + [190.4, 2582.1]
        for decimal, thousand in ((".", ","), (",", "."), (".", ""), (",", ""), (",", " "), (".", "'")):
            cells = [
                f"{number:,.1f}".replace(",", "t").replace(".", decimal).replace("t", thousand)
                for number in numbers
            ]
            mark = decimal_mark(cells)
            assert [value_of(cell, "power", 1.0, mark) for cell in cells] == numbers, cells
