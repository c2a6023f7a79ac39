"""Figures, times, chances and lists are said as people say them, everywhere in the same way."""

from __future__ import annotations

import pytest

from faultfinder.text.format import (
    choices,
    format_span,
    listed,
    logged_time,
    minutes_text,
    moment,
    percent,
    quoted,
    sure,
    with_answer,
)

INF = float("inf")


@pytest.mark.parametrize(
    ("chance", "words", "figure"),
    [
        (1.0, "as good as certain", "100 %"),
        (0.99999, "as good as certain", ">99 %"),
        (0.9949, "as good as certain", "99 %"),
        (0.95, "very likely", "95 %"),
        (0.7, "likely", "70 %"),
        (0.5, "more likely than not", "50 %"),
        (0.3, "possible", "30 %"),
        (0.0049, "not likely", "<1 %"),
        (0.0001, "not likely", "<1 %"),
        (0.0, "not likely", "0 %"),
    ],
)
def test_a_chance_is_said_in_words_and_in_per_cent(chance: float, words: str, figure: str) -> None:
    assert (sure(chance), percent(chance)) == (words, figure)


@pytest.mark.parametrize(
    ("low", "high", "unit", "text"),
    [
        (23.8, 29.1, "ohm", "23.8 to 29.1 ohm"),
        (900.0, 1100.0, "ohm", "900 ohm to 1.1 kohm"),
        (0.0, 2.0, "ohm", "below 2 ohm"),
        (-INF, 60.0, "C", "below 60 C"),
        (1.0, INF, "Mohm", "above 1 Mohm"),
        (-5.0, 5.0, "C", "-5 to 5 C"),
    ],
)
def test_a_band_is_said_as_people_say_it(low: float, high: float, unit: str, text: str) -> None:
    assert format_span(low, high, unit) == text


def test_times_are_to_the_minute_and_what_is_no_time_stays() -> None:
    assert moment("2026-03-02T09:01:59+01:00") == "2026-03-02 09:01"
    assert moment("2026-03-02T09:01:59", day_only=True) == "2026-03-02"
    assert moment("") == "" and moment("soon") == "soon"
    said = [minutes_text(count) for count in (0.1, 0.5, 1, 78, 90)]
    assert said == ["no time", "half a minute", "1 min", "78 min", "1.5 h"]
    assert [logged_time(s) for s in (42, 90, 5400, 7000)] == ["42 s", "1.5 min", "90 min", "117 min"]


def test_a_question_and_a_name_take_their_answer_differently() -> None:
    assert with_answer("Is it worn?", "Yes") == "Is it worn? Yes"
    assert with_answer("Resistance", "Open") == "Resistance: Open"


def test_a_list_ends_in_and_or_or() -> None:
    assert [listed("abc"[:n]) for n in range(4)] == ["", "a", "a and b", "a, b and c"]
    assert [choices("abc"[:n]) for n in range(4)] == ["", "a", "a or b", "a, b or c"]


def test_a_share_closer_than_a_per_cent_is_never_a_false_nothing_or_all_either() -> None:
    assert [percent(x, 1) for x in (0, 0.0001, 0.006, 0.99949, 0.99951, 1)] == [
        *("0.0 %", "<0.1 %", "0.6 %", "99.9 %", ">99.9 %", "100.0 %")
    ]


def test_what_somebody_typed_is_cut_between_words_and_marked_as_cut() -> None:
    assert quoted("its wired in, 230v") == "its wired in, 230v"
    assert quoted("its wired in, 230v 2.9kw, class 1, electronic") == "its wired in, 230v 2.9kw, class 1..."
    for length in range(1, 90):
        for text in ("x" * length, ("word " * length)[:length].strip(), ("it's, " * length)[:length]):
            told = quoted(text)
            assert len(told) <= 40 and told and (told == text) == (len(text) <= 40)
