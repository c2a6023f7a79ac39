"""The sentences of a report: each can be filled, none stands unused, and figures are said as people say them."""

from __future__ import annotations

import re
from pathlib import Path
from string import Formatter

import pytest
from text_keys import said

import faultfinder.report
from faultfinder.knowledge.model import Hazard
from faultfinder.report.texts import (
    SURE,
    WORDS,
    band_text,
    minutes_text,
    moment,
    percent,
    say,
    sure,
    with_answer,
)
from faultfinder.safety.actions import RETURN_TESTS
from faultfinder.safety.gate import CLOSINGS

FOLDER = Path(faultfinder.report.__file__).parent
INF = float("inf")


@pytest.mark.parametrize("key", WORDS)
def test_every_sentence_can_be_filled(key: str) -> None:
    fields = {name for _, name, _, _ in Formatter().parse(WORDS[key]) if name}
    assert "{" not in say(key, **dict.fromkeys(fields, "x"))


SAID = said("faultfinder.report.texts")


def test_every_sentence_is_used() -> None:
    assert [key for key in WORDS if not SAID.has(key)] == []
    assert set(WORDS) >= SAID.named


@pytest.mark.parametrize("key", ["bogus", "left_bogus", "about_bogus"])
def test_a_key_that_nothing_says_is_found(key: str) -> None:
    assert not SAID.has(key)


def test_every_state_test_hazard_and_form_has_its_words() -> None:
    for state in (*CLOSINGS, "open", "refused"):
        assert f"left_{state}" in WORDS
    for test in (*RETURN_TESTS, "passed", "failed", "skipped"):
        assert f"test_{test}" in WORDS
    for hazard in Hazard:
        assert hazard is Hazard.NONE or f"hazard_{hazard}" in WORDS
    for why in ("licensed", "left", "again", "advised"):
        assert f"undone_{why}" in WORDS


@pytest.mark.parametrize(
    ("chance", "words", "figure"),
    [
        (1.0, "as good as certain", ">99 %"),
        (0.9949, "as good as certain", "99 %"),
        (0.95, "very likely", "95 %"),
        (0.7, "likely", "70 %"),
        (0.5, "more likely than not", "50 %"),
        (0.3, "possible", "30 %"),
        (0.0049, "not likely", "<1 %"),
        (0.0, "not likely", "<1 %"),
    ],
)
def test_a_chance_is_said_in_words_and_in_per_cent(chance: float, words: str, figure: str) -> None:
    assert (sure(chance), percent(chance)) == (words, figure)
    assert [least for least, _ in SURE] == sorted((least for least, _ in SURE), reverse=True)


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
    assert band_text(low, high, unit) == text


def test_times_are_to_the_minute_and_what_is_no_time_stays() -> None:
    assert moment("2026-03-02T09:01:59+01:00") == "2026-03-02 09:01"
    assert moment("2026-03-02T09:01:59", day_only=True) == "2026-03-02"
    assert moment("") == "" and moment("soon") == "soon"
    assert (minutes_text(78), minutes_text(90)) == ("78 min", "1.5 h")


def test_a_question_and_a_name_take_their_answer_differently() -> None:
    assert with_answer("Is it worn?", "Yes") == "Is it worn? Yes"
    assert with_answer("Resistance", "Open") == "Resistance: Open"


def test_no_sentence_of_a_report_is_written_outside_the_table() -> None:
    """Texts with blanks in the code of the renderers would escape a translation."""
    for path in FOLDER.glob("*.py"):
        if path.name == "texts.py":
            continue
        code = re.sub(r'""".*?"""', "", path.read_text(encoding="utf-8"), flags=re.S)
        for text in re.findall(r'"([^"\n]*)"', code):
            words = re.findall(r"[A-Za-z]{3,}(?= |$)", re.sub(r"\{[^}]*\}|<[^>]*>?", "", text))
            assert len(words) < 3 or "=" in text, (path.name, text)
