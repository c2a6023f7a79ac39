"""Units behind numbers in expressions: read, refused with the nearest one, and of no bearing on the value."""

from __future__ import annotations

import pytest

from faultfinder.knowledge.formulas.compound_units import parts_of
from faultfinder.knowledge.formulas.expression import ExpressionError, parse


def test_what_stands_behind_a_stroke_divides() -> None:
    assert parts_of("kJ/l/K") == (("kJ", 1), ("l", -1), ("K", -1))
    assert parts_of("kg*min") == (("kg", 1), ("min", 1))
    assert parts_of(" l / min * s") == (("l", 1), ("min", -1), ("s", 1))


@pytest.mark.parametrize("text", ["", "kJ/", "kj/l", "1000", "kJ//l", "kJ l"])
def test_what_is_no_unit_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        parts_of(text)


def test_a_unit_changes_nothing_of_the_value() -> None:
    assert parse("60 [s/min] * x / 4.19[kJ/l/K]").evaluate({"x": 2.0}) == 60 * 2.0 / 4.19


@pytest.mark.parametrize(
    ("text", "offset", "message"),
    [
        ("60 [sec/minn] * x", 8, 'there is no unit "minn"'),
        ("x [s]", 2, '"[" means nothing in an expression'),
        ("60 [s", 3, '"[" means nothing in an expression'),
        ("60 [s] [s]", 7, '"[" means nothing in an expression'),
    ],
)
def test_a_unit_that_is_none_is_told_where_it_stands(text: str, offset: int, message: str) -> None:
    with pytest.raises(ExpressionError) as told:
        parse(text)
    assert told.value.message == message
    assert told.value.hint
