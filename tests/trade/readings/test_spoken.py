"""Readings as they are said: every whole number to 9999, written out by another rule, comes back as its figure."""

from __future__ import annotations

import pytest

from faultfinder.trade.readings.spoken import in_figures

ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
).split()
TENS = dict(
    zip(range(20, 100, 10), "twenty thirty forty fifty sixty seventy eighty ninety".split(), strict=True)
)


def said(number: int) -> str:
    """A whole number below 10,000 in words, as it is read aloud in Britain."""
    if number < 20:
        return ONES[number]
    if number < 100:
        return TENS[number - number % 10] + (f" {ONES[number % 10]}" if number % 10 else "")
    high, word = (1000, "thousand") if number >= 1000 else (100, "hundred")
    rest = number % high
    tail = "" if not rest else f" and {said(rest)}" if rest < 100 else f" {said(rest)}"
    return f"{said(number // high)} {word}{tail}"


def test_every_whole_number_in_words_is_its_figure() -> None:
    wrong = [n for n in range(10_000) if in_figures(f"{said(n)} ohms") != f"{n} ohms"]
    assert not wrong


def test_every_tenth_in_words_is_its_figure() -> None:
    wrong = [
        n for n in range(1000) if in_figures(f"{said(n // 10)} point {ONES[n % 10]}") != f"{n // 10}.{n % 10}"
    ]
    assert not wrong


@pytest.mark.parametrize(
    "text, figures",
    [
        ("an hour and a half", "1.5 hour"),
        ("two and a half hours", "2.5 hours"),
        ("half a meg", "0.5 meg"),
        ("point oh eight", "0.08"),
        ("over 200 meg", ">200 meg"),
        ("less than point one ohms", "<0.1 ohms"),
        ("8 litres per minute", "8 l/min"),
        ("12 thousand ohms", "12000 ohms"),
    ],
)
def test_what_is_said_around_a_figure_becomes_a_symbol(text: str, figures: str) -> None:
    assert in_figures(text) == figures


@pytest.mark.parametrize(
    "text", ["this one", "reads one on the left", "two", "one two three", "22 point", "21,5", "4k7"]
)
def test_what_may_be_no_number_stays_as_it_was_typed(text: str) -> None:
    assert in_figures(text) == text
