"""Numbers and words of one's own on one line at a list: what is understood is taken, what is not is asked back."""

from __future__ import annotations

import pytest
from reading_once import shipped
from talking import Chat, chat

from faultfinder.dialogue.prompts.complaint import AskSymptoms
from faultfinder.dialogue.prompts.dangers import AskDangers, AskUrgent
from faultfinder.dialogue.prompts.test import AskTest

MACHINE = "vented 230V 2350W class 1 plug"
NOT_UNDERSTOOD = "Taken, but for '{}', which is not understood"


@pytest.fixture
def at_list() -> Chat:
    talking = chat("takes too long", "none", MACHINE, pack=shipped("tumble_dryer"))
    assert talking.current == AskTest("walk_round")
    return talking


def ticked(talking: Chat) -> tuple[str, ...]:
    assert isinstance(talking.current, AskTest)
    return talking.current.ticked


@pytest.mark.parametrize(
    ("line", "ticks", "rest"),
    [
        ("1, 7 and there is grumbling noise", ("thick", "wall"), "there is grumbling noise"),
        ("1 7 it got hot", ("thick", "wall"), "it got hot"),
        ("thick, wall and something odd", ("thick", "wall"), "something odd"),
        ("1 and 99 bottles", ("thick",), "99 bottles"),
    ],
)
def test_numbers_are_ticked_and_words_not_understood_are_asked_back(
    at_list: Chat, line: str, ticks: tuple[str, ...], rest: str
) -> None:
    before = len(at_list.events)
    assert NOT_UNDERSTOOD.format(rest) in at_list.say(line)
    assert ticked(at_list) == ticks
    assert len(at_list.events) == before


def test_words_that_say_something_of_another_thing_are_taken_and_the_ticks_stay(at_list: Chat) -> None:
    assert "hose crushed seen: Yes" in at_list.say("1, 7 and the hose is bent")
    assert ticked(at_list) == ("thick", "wall")
    assert ("hose_crushed_seen", "yes") in [(e.observation, e.text) for e in at_list.talk.case.answers]


@pytest.mark.parametrize(
    "line",
    [
        *(
            "1,7 A something",
            "1, 3 and 5 A something",
            "not 1 and 7",
            "all but 7",
            "everything except 7",
            "no, 7",
        ),
        *(
            "1, 7 are not there",
            "1 7 aren't so",
            "1 7 not",
            "maybe 1, 7",
            "1 or 7",
            "1 to 5 and 7",
        ),
        *("1 and 7 isn't so", "neither 1 nor 7", "7 hoses or so"),
    ],
)
def test_a_figure_with_its_unit_or_what_is_denied_is_no_number_of_the_list(at_list: Chat, line: str) -> None:
    before = len(at_list.events)
    at_list.say(line)
    assert len(at_list.events) == before
    assert ticked(at_list) == ()


@pytest.mark.parametrize("marks", ["?", "...", "%", "_"])
@pytest.mark.parametrize("line", ["1 7 {}", "1, {}", "{}, 1", "1 {} 7"])
def test_marks_beside_numbers_are_neither_words_nor_the_end_of_the_program(
    at_list: Chat, line: str, marks: str
) -> None:
    before = len(at_list.events)
    at_list.say(line.format(marks))
    assert len(at_list.events) == before


@pytest.mark.parametrize(
    "word", ["just", "was", "that", "over", "under", "from", "read", "reading", "measured", "take"]
)
def test_a_word_that_says_nothing_names_no_reading_for_the_number_behind_it(at_list: Chat, word: str) -> None:
    before = len(at_list.events)
    at_list.say(f"{word} 3")
    assert len(at_list.events) == before


@pytest.mark.parametrize(
    ("words", "sign"),
    [
        ("it smells burnt", "burning_smell_now"),
        ("burning", "burning_smell_now"),
        ("there was smoke", "smoke_or_flame"),
        ("it tingles", "tingle"),
        ("I smell gas", "gas_smell"),
    ],
)
@pytest.mark.parametrize("numbers", ["1, 7 and ", "1 7 ", "7, "])
def test_a_danger_among_numbers_is_asked_about_before_anything_else(
    at_list: Chat, numbers: str, words: str, sign: str
) -> None:
    at_list.say(numbers + words)
    assert isinstance(at_list.current, AskUrgent)
    assert sign in at_list.current.signs
    at_list.say("now")
    assert sign in at_list.talk.gate.signs


def test_ticks_that_a_danger_came_between_are_asked_for_again(at_list: Chat) -> None:
    assert "Number the rest again" in at_list.say("1, 7 and it tingles", "now")


def test_what_was_no_danger_leaves_the_ticks_in_place(at_list: Chat) -> None:
    at_list.say("1 7 it tingles", "no", "no")
    assert ticked(at_list) == ("thick", "wall")


def test_danger_signs_by_number_count_at_once_whatever_stands_beside_them() -> None:
    talking = chat("takes too long", pack=shipped("tumble_dryer"))
    heard = talking.say("6, 8 and the plug is hot")
    assert NOT_UNDERSTOOD.format("the plug is hot") in heard
    assert {"tingle", "repeated_tripping"} <= set(talking.talk.gate.signs)
    assert isinstance(talking.current, AskDangers)
    talking = chat("takes too long", pack=shipped("tumble_dryer"))
    talking.say("1 and the rest is fine")
    assert talking.talk.gate.stop


def test_complaints_by_number_are_taken_and_the_words_beside_them_offered() -> None:
    talking = chat("", pack=shipped("tumble_dryer"))
    assert isinstance(talking.current, AskSymptoms)
    first = talking.current.page(talking.talk)[0]
    talking.say("1 and drum does not turn")
    given = [(each.observation, each.text) for each in talking.talk.case.answers]
    assert first in given
    assert isinstance(talking.current, AskSymptoms)
    assert "drum_not_turning" in {name for name, _ in talking.current.offered}


@pytest.mark.parametrize("line", ["29", "0 31", "7, 28"])
def test_a_number_that_no_symptom_of_the_list_has_is_asked_for_no_unit(line: str) -> None:
    talking = chat("dead", pack=shipped("tumble_dryer"))
    assert isinstance(talking.current, AskSymptoms)
    said = talking.say(line)
    assert "unit" not in said and "Type one of" in said
    assert not talking.turn.events


def test_the_dangers_gone_through_in_the_middle_of_the_symptoms_lose_nothing_that_was_told() -> None:
    talking = chat("wont drain; pump power 0 W", pack=shipped("washing_machine"))
    asked = talking.current
    assert isinstance(asked, AskSymptoms)
    talking.say("danger", "none")
    assert talking.current == asked
    talking.say("undo", "undo", "undo")
    assert not isinstance(talking.current, AskSymptoms)
