"""Danger signs in what no prompt understands, what denies them beside an answer, and what only asks."""

from __future__ import annotations

import pytest
from heard import base

from faultfinder.dialogue.converse import reply
from faultfinder.dialogue.hearing.danger_words import unasked_signs, without_denied
from faultfinder.dialogue.prompts.dangers import AskUrgent
from faultfinder.job import events as happened


@pytest.mark.parametrize(
    "line, signs",
    [
        ("belt ok but plug is melted", ("scorching",)),
        ("the flex is cut right through", ("supply_parts_damaged",)),
        ("the fuse keeps blowing", ("repeated_tripping",)),
        ("plug not melted", ()),
        ("no bare wires", ()),
        ("cut the power at the plug", ()),
        ("hissing on the pipe", ()),
    ],
)
def test_a_machine_unfit_for_use_is_heard_unless_it_is_denied(line: str, signs: tuple[str, ...]) -> None:
    assert unasked_signs(line, ()) == signs


def test_a_hiss_is_a_sign_where_there_is_refrigerant() -> None:
    assert unasked_signs("hissing on the pipe", ("refrigerant_signs",)) == ("refrigerant_signs",)


@pytest.mark.parametrize(
    "line, rest",
    [
        ("strong, no smell of gas or anything", "strong"),
        ("31 ohms no burning", "31 ohms"),
        ("no smoke", "no smoke"),
        ("strong, no gas but sparks", "strong, sparks"),
        ("21.5 ohms", "21.5 ohms"),
    ],
)
def test_a_denied_sign_beside_an_answer_says_no_more(line: str, rest: str) -> None:
    assert without_denied(line) == rest


@pytest.mark.parametrize("at", ["ask:belt_seen", "ask:outlet_airflow", "any"])
def test_a_sign_that_no_prompt_asks_for_is_asked_back_and_nothing_is_recorded(at: str) -> None:
    turn = reply(base(at).talk, "hang on the mains lead is frayed")
    assert isinstance(turn.talk.current, AskUrgent)
    assert not turn.events


TELLS = (happened.Answered, happened.PutRight, happened.DangerSeen)


@pytest.mark.parametrize(
    "at, line",
    [
        ("ask:filter_look", "is it clean"),
        ("ask:filter_look", "clean?"),
        ("ask:filter_look", "not torn"),
        ("ask:fan_clogged_seen", "not seen"),
        ("ask:drum_turned_by_hand", "not locked"),
        ("ask:supply_volts_under_load", "dropped from 236"),
        ("ask:element_resistance", "six hundred and"),
        ("remedy:element_open", "done?"),
        ("remedy:element_open", "half done"),
    ],
)
def test_what_asks_denies_or_breaks_off_tells_nothing(at: str, line: str) -> None:
    assert not [event for event in reply(base(at).talk, line).events if isinstance(event, TELLS)]
