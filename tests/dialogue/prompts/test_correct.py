"""A correction of what was answered more than once asks which of the answers is wrong."""

from __future__ import annotations

import pytest
from reading_once import shipped
from talking import Chat, chat

from faultfinder.dialogue.prompts.correct import AskNewAnswer, AskTakes
from faultfinder.dialogue.transcript import retell
from faultfinder.job.state import fold

AIRFLOW = "outlet_airflow"


@pytest.fixture
def twice() -> Chat:
    """A job in which one thing was answered twice, and differently; both answers count."""
    begun = ("takes too long", "none", "vented 230V 2350W class 1 plug")
    return chat(*begun, "outlet airflow strong", "outlet airflow weak", pack=shipped("tumble_dryer"))


def stands(talking: Chat) -> list[str]:
    return [given.text for given in talking.talk.case.answers if given.observation == AIRFLOW]


@pytest.mark.parametrize(
    ("lines", "left"),
    [
        (("correct outlet airflow", "last", "none"), ["strong", "none"]),
        (("correct outlet airflow", "last", ""), ["strong"]),
        (("correct outlet airflow", "before"), ["weak"]),
        (("correct outlet airflow", "all", "none"), ["none"]),
        (("correct outlet airflow", "3", ""), []),
        (("correct outlet airflow strong", "both"), ["strong"]),
        (("correct outlet airflow strong", "last"), ["strong", "strong"]),
        (("correct", "1", "all", "strong"), ["strong"]),
        (("correct outlet airflow", "none"), ["strong", "weak"]),
        (("correct outlet airflow", "strong"), ["strong", "weak"]),
        (("correct outlet airflow", "weak"), ["strong", "weak"]),
        (("correct outlet airflow", ""), ["strong", "weak"]),
        (("correct outlet airflow", "dk"), ["strong", "weak"]),
        (("correct outlet airflow strong", "both", "undo"), ["strong", "weak"]),
        (("correct outlet airflow strong", "last", "undo"), ["strong", "weak"]),
    ],
)
def test_which_of_several_answers_is_wrong_is_asked_and_counts(
    twice: Chat, lines: tuple[str, ...], left: list[str]
) -> None:
    asked = twice.say(lines[0]) if len(lines) > 1 and lines[0] != "correct" else ""
    assert not asked or isinstance(twice.current, AskTakes)
    twice.say(*lines[1 if asked else 0 :])
    assert stands(twice) == left
    state, troubles = fold(twice.talk.pack, twice.events)
    assert (state, troubles) == (twice.talk.job, [])
    assert retell(twice.talk.pack, twice.events).differs == ""


def test_each_answer_that_counts_is_shown_to_choose_from(twice: Chat) -> None:
    heard = twice.say("correct outlet airflow")
    assert "Strong and even, flap wide open; Weak, the paper hardly moves. Each counts." in heard


def test_a_new_answer_that_is_none_changes_nothing_of_either(twice: Chat) -> None:
    heard = twice.say("correct outlet airflow", "all", "gurgling")
    assert "not understood" in heard
    assert stands(twice) == ["strong", "weak"]
    assert twice.current == AskNewAnswer(AIRFLOW, every=True)


def test_what_was_answered_once_is_corrected_at_once() -> None:
    begun = ("takes too long", "none", "vented 230V 2350W class 1 plug")
    once = chat(*begun, "outlet airflow strong", "correct outlet airflow", pack=shipped("tumble_dryer"))
    assert once.current == AskNewAnswer(AIRFLOW)
