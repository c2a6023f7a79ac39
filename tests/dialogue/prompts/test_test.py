"""One observation put by itself."""

from __future__ import annotations

from dataclasses import replace

import pytest
from talking import Chat, chat

from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.knowledge.load import load_pack

WELL = "6"
"""Its number among what is seen on a walk round."""


def put(talking: Chat, target: str) -> str:
    talking.turn = replace(talking.turn, talk=replace(talking.talk, current=AskTest(target)))
    said, _ = talking.current.put(talking.talk)
    return " ".join(str(getattr(each, "text", "")) for each in said)


def test_what_was_ticked_before_is_put_by_itself_with_what_was_said_of_it() -> None:
    talking = chat("takes_too_long", "none", "vented plug 230V 2400W", pack=load_pack("tumble_dryer"))
    assert "once more" not in put(talking, "filter_well_look")
    put(talking, "walk_round")
    for line in (WELL, "", ""):
        talking.say(line)
    assert "You said before: Tissue, threads or matted fluff in it." in put(talking, "filter_well_look")
    before = len(talking.talk.case.answers)
    talking.say("clear")
    assert len(talking.talk.case.answers) == before + 1, "both count"
    assert "once more" not in put(talking, "filter_well_look"), "no third time"


@pytest.mark.parametrize("target", ["walk_round", "filter_well_look", "drum_speed"])
def test_an_empty_line_is_told_what_to_type_and_not_that_nothing_is_not_understood(target: str) -> None:
    talking = chat("takes_too_long", "none", "vented plug 230V 2400W", pack=load_pack("tumble_dryer"))
    put(talking, target)
    heard = talking.say("")
    assert heard and "understood" not in heard


def test_other_is_an_answer_where_one_is_called_so_and_puts_off_elsewhere() -> None:
    talking = chat("takes_too_long", "none", "vented plug 230V 2400W", pack=load_pack("tumble_dryer"))
    put(talking, "trip_moment")
    before = len(talking.talk.case.answers)
    assert "Put off" not in talking.say("other")
    assert len(talking.talk.case.answers) == before + 1
    put(talking, "filter_well_look")
    assert "Put off" in talking.say("other")
