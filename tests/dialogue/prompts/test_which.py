"""Which observation was meant: a short list, and no trap for whoever answers what was asked."""

from __future__ import annotations

from dataclasses import replace

import pytest
from talking import Chat, chat

from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.which import MOST, AskWhich
from faultfinder.dialogue.say import Option
from faultfinder.job import events as happened
from faultfinder.knowledge.load import load_pack


def at(target: str) -> Chat:
    talking = chat(
        "wont drain", "1", "none", "front loader plug 230V 2100W", pack=load_pack("washing_machine")
    )
    talking.turn = replace(talking.turn, talk=replace(talking.talk, current=AskTest(target, False)))
    return talking


def test_a_figure_that_may_be_of_twenty_things_is_refused_and_not_listed() -> None:
    talking = at("pump_power")
    heard = talking.say("0.05 ohm")
    assert "many things" in heard and isinstance(talking.current, AskTest)
    assert not talking.turn.events


def test_a_list_of_what_may_be_meant_stands_on_one_screen() -> None:
    talking = at("pump_trap_seen")
    talking.say("30 W")
    assert isinstance(talking.current, AskWhich)
    assert sum(isinstance(item, Option) for item in talking.turn.said) <= MOST


@pytest.mark.parametrize(("line", "value"), [("full", "full"), ("2", ""), ("nonsense words", "")])
def test_whoever_answers_what_was_asked_before_is_heard(line: str, value: str) -> None:
    talking = at("pump_trap_seen")
    talking.say("30 W")
    before = len(talking.events)
    talking.say(line)
    told = [event for event in talking.events[before:] if isinstance(event, happened.Answered)]
    if line == "2":
        assert [event.observation for event in told] == ["pump_power"], "a number is one of the list"
    elif value:
        assert [(event.observation, event.value or event.reads) for event in told] == [
            ("pump_trap_seen", value)
        ]
    else:
        assert not told and isinstance(talking.current, AskWhich)


def test_who_is_asked_whether_it_was_meant_is_told_that_yes_or_no_will_do() -> None:
    talking = at("pump_trap_seen")
    talking.say("a sock and some coins")
    assert isinstance(talking.current, AskWhich)
    assert "Type yes or no." in talking.say("nonsense words")
    assert not talking.turn.events
    talking.say("yes")
    told = [event for event in talking.events if isinstance(event, happened.Answered)]
    assert (told[-1].observation, told[-1].value) == ("pump_trap_seen", "full")
