"""The arithmetic of rule files: agrees with Python's own on plain sums, and cannot be made to do anything else."""

from __future__ import annotations

import math
import random
import time

import pytest

from faultfinder.knowledge.formulas.expression import (
    FUNCTIONS,
    MAX_LENGTH,
    ExpressionError,
    NoValue,
    arity,
    parse,
)
from faultfinder.trade.functions import FUNCTIONS as TRADE_FUNCTIONS

VALUES = {"volts": 230.0, "watts": 2200.0, "half": 0.5, "minus": -3.0}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1", 1.0),
        ("1.5e3", 1500.0),
        (".5", 0.5),
        ("volts ** 2 / watts", 230.0**2 / 2200.0),
        ("-2 ** 2", -4.0),
        ("2 ** 3 ** 2", 512.0),
        ("2 ** -1", 0.5),
        ("2 - 3 - 4", -5.0),
        ("12 / 3 / 2", 2.0),
        ("+ - + 3", -3.0),
        ("2 * (3 + 4)", 14.0),
        ("min(3, volts, 1) + max(1, 2)", 3.0),
        ("abs(minus) + sqrt(16) + exp(0) + log(1)", 8.0),
        ("OL", math.inf),
        ("-OL", -math.inf),
        ("- OL", -math.inf),
    ],
)
def test_an_expression_has_the_value_that_algebra_gives_it(text: str, value: float) -> None:
    assert parse(text).evaluate(VALUES) == pytest.approx(value)


def random_sum(source: random.Random, depth: int) -> str:
    if depth == 0 or source.random() < 0.2:
        return source.choice([*VALUES, f"{source.uniform(0.1, 20):.3f}"])
    kind = source.randrange(6)
    left, right = random_sum(source, depth - 1), random_sum(source, depth - 1)
    if kind == 0:
        return f"({left} {source.choice('+-*/')} {right})"
    if kind == 1:
        return f"-{left}" if not left.startswith("-") else left
    if kind == 2:
        return f"({left}) ** {source.choice(['2', '-1', '3'])}"
    if kind == 3:
        return f"{source.choice(['min', 'max'])}({left}, {right})"
    return f"{left} {source.choice('+-*/')} {right}"


@pytest.mark.slow
def test_random_sums_agree_with_python() -> None:
    """Law: on numbers, names, + - * / **, brackets, min and max, the value is Python's own (rel. 1e-12)."""
    source = random.Random(11)
    compared = 0
    for _ in range(1500):
        text = random_sum(source, 4)
        if len(text) > MAX_LENGTH:
            continue
        try:
            expected = eval(
                text, {"__builtins__": {}, "min": min, "max": max}, VALUES
            )  # the oracle, tests only
        except (ZeroDivisionError, OverflowError):
            with pytest.raises(ExpressionError):
                parse(text).evaluate(VALUES)
            continue
        assert parse(text).evaluate(VALUES) == pytest.approx(expected, rel=1e-12), text
        compared += 1
    assert compared > 1000


def test_names_are_listed_once_in_the_order_of_mention() -> None:
    assert parse("watts / volts + min(watts, half)").names == ("watts", "volts", "half")


@pytest.mark.parametrize(
    ("text", "message", "offset"),
    [
        ("", "the expression breaks off", 0),
        ("1 +", "the expression breaks off", 3),
        ("1 2", '"2" does not fit here', 2),
        ("(1", "a bracket is not closed", 2),
        ("1)", '")" does not fit here', 1),
        ("2 ^ 3", '"^" means nothing in an expression', 2),
        ("2 × 3", '"×" means nothing in an expression', 2),
        ("a.b", '"." means nothing in an expression', 1),
        ("a[0]", '"[" means nothing in an expression', 1),
        ("'x'", '"\'" means nothing in an expression', 0),
        ("a < b", '"<" means nothing in an expression', 2),
        ("a if b else c", '"if" does not fit here', 2),
        ("lambda: 1", '":" means nothing in an expression', 6),
        ("__import__(1)", 'there is no function "__import__"', 0),
        ("sqrt(1, 2)", "sqrt takes 1 numbers, not 2", 0),
        ("min(1)", "min takes 2 to 8 numbers, not 1", 0),
        ("2 * OL", "OL stands alone as a limit, never inside an expression", 4),
        ("1e13", '"1e13" is beyond any sane size', 0),
    ],
)
def test_a_bad_expression_is_told_at_its_letter(text: str, message: str, offset: int) -> None:
    with pytest.raises(ExpressionError) as caught:
        parse(text)
    assert (caught.value.message, caught.value.offset) == (message, offset)


def test_hints_say_what_to_write_instead() -> None:
    with pytest.raises(ExpressionError) as caught:
        parse("2 ^ 3")
    assert caught.value.hint == "a power is **"
    with pytest.raises(ExpressionError) as caught:
        parse("sqr(2)")
    assert caught.value.hint == 'did you mean "sqrt"?'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("1 / (volts - 230)", "divides by zero"),
        ("0 ** -1", "divides by zero"),
        ("sqrt(minus)", "a root or logarithm of what has none"),
        ("log(0)", "a root or logarithm of what has none"),
        ("minus ** half", "a root of a negative number"),
        ("2 ** 999", "a power of 999 is too high"),
        ("exp(volts * 10)", "grows beyond all bounds"),
        ("1e12 ** 16 * 1e12 ** 16", "grows beyond all bounds"),
    ],
)
def test_what_has_no_value_is_told_and_never_passes_on_a_nan(text: str, message: str) -> None:
    with pytest.raises(ExpressionError, match=message):
        parse(text).evaluate(VALUES)


def test_a_name_without_value_is_told_by_name() -> None:
    with pytest.raises(NoValue, match='"ohms" has no value'):
        parse("2 * ohms").evaluate(VALUES)


@pytest.mark.parametrize(
    "text",
    ["(" * 5000, "-" * 5000 + "1", "2" + " ** 2" * 5000, "1" + " + 1" * 100_000, "min(" * 400, "9" * 100_000],
    ids=["brackets", "signs", "powers", "sum", "calls", "digits"],
)
def test_a_hostile_expression_is_refused_at_once(text: str) -> None:
    with pytest.raises(ExpressionError):
        parse(text)


@pytest.mark.parametrize("text", ["(" * 40 + "1" + ")" * 40, "-" * 60 + "1", "2" + " ** 1" * 40])
def test_depth_is_bounded_within_the_length_allowed(text: str) -> None:
    with pytest.raises(ExpressionError, match="nested too deep"):
        parse(text)


def test_the_longest_sum_allowed_is_computed() -> None:
    text = "+".join(["1"] * 150)
    assert len(text) <= MAX_LENGTH
    assert parse(text).evaluate({}) == 150.0


def test_a_tower_of_powers_ends_soon() -> None:
    start = time.process_time()
    with pytest.raises(ExpressionError):
        parse("9 ** 9 ** 9 ** 9 ** 9").evaluate({})
    assert time.process_time() - start < 5.0


def test_every_formula_of_the_trade_can_be_used_by_name_with_its_own_number_of_arguments() -> None:
    assert set(TRADE_FUNCTIONS) <= set(FUNCTIONS)
    for name in TRADE_FUNCTIONS:
        least, most = arity(name, FUNCTIONS[name])
        assert 0 <= least <= most
        with pytest.raises(ExpressionError, match=f"{name} takes"):
            parse(f"{name}({', '.join(['1'] * (most + 1))})")
    assert parse("parallel(100, 100)").evaluate({}) == pytest.approx(50.0)
