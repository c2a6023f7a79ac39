"""The danger list, answered with none: what it asks for in other words is not asked again."""

from __future__ import annotations

import pytest
from talking import Chat, chat

from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.knowledge.load import load_pack

PACKS = {
    "tumble_dryer": "takes ages",
    "washing_machine": "leaks water",
    "electric_oven": "takes ages to cook",
}


def at_the_dangers(name: str) -> Chat:
    talking = chat(PACKS[name], pack=load_pack(name))
    if not isinstance(talking.current, AskDangers):
        talking.say("1")
    assert isinstance(talking.current, AskDangers)
    return talking


@pytest.mark.parametrize("name", PACKS)
def test_none_tells_that_nobody_felt_a_tingle_or_smelt_burning(name: str) -> None:
    talking = at_the_dangers(name)
    talking.say("none")
    case, pack = talking.talk.case, talking.talk.job.pack
    denied = [
        item
        for item in pack.observations.values()
        if {"tingle", "burning_smell_earlier"} & set(item.danger.values()) and item.need == "anywhere"
    ]
    assert denied
    for item in denied:
        given = case.latest(item.id)
        assert given is not None and given.answer == item.healthy and not given.complaint
        assert not case.askable(item)
    # A plug may get hot and leave no mark, a fuse may blow once: that is asked still.
    for item in pack.observations.values():
        if {"scorching", "repeated_tripping", "wet_found"} & set(item.danger.values()):
            assert case.latest(item.id) is None


def test_a_sign_that_was_told_is_not_denied_by_what_is_ticked_of_the_others() -> None:
    talking = at_the_dangers("tumble_dryer")
    talking.say("burning_smell_earlier")
    given = talking.talk.case.latest("burning_smell_reported")
    assert given is not None and given.answer == "yes"
    assert talking.talk.case.latest("tingle_felt") is None


def test_undo_takes_all_of_it_back_and_asks_again() -> None:
    talking = at_the_dangers("tumble_dryer")
    talking.say("none", "undo")
    assert isinstance(talking.current, AskDangers)
    assert talking.talk.case.latest("tingle_felt") is None
    talking.say("tingle")
    given = talking.talk.case.latest("tingle_felt")
    assert given is not None and given.answer == "yes" and "tingle" in talking.talk.gate.signs


def test_a_shock_told_of_later_counts_though_it_was_denied() -> None:
    talking = at_the_dangers("tumble_dryer")
    talking.say("none", "i got a shock off it", "yes")
    given = talking.talk.case.latest("tingle_felt")
    assert "tingle" in talking.talk.gate.signs
    assert given is not None and given.answer == "yes"


def test_undo_takes_back_what_else_was_told_at_the_list_and_says_so() -> None:
    talking = at_the_dangers("tumble_dryer")
    talking.say("vented plug 230V 2350W class 1", "outlet airflow weak; 9.7A high")
    case = talking.talk.case
    assert case.latest("outlet_airflow") is not None and case.latest("current_on_high") is not None
    assert "Taken back: outlet airflow, current on high." in talking.say("undo")
    case = talking.talk.case
    assert case.latest("outlet_airflow") is None and case.latest("current_on_high") is None
    assert isinstance(talking.current, AskDangers) and "volts" in case.facts
    assert "volts" in talking.say("undo") and "volts" not in talking.talk.case.facts
    assert isinstance(talking.current, AskDangers)


def test_undo_after_the_list_takes_back_the_list_before_what_was_told_at_it() -> None:
    talking = at_the_dangers("tumble_dryer")
    talking.say("outlet airflow weak", "none", "undo")
    assert talking.talk.case.latest("tingle_felt") is None
    assert talking.talk.case.latest("outlet_airflow") is not None
    talking.say("undo")
    assert talking.talk.case.latest("outlet_airflow") is None
    assert isinstance(talking.current, AskDangers)


@pytest.mark.parametrize(
    "line", ["only 3", "just 3", "yes 3", "it is 3", "It\u2019s number 3", "3 only", "yes, 3"]
)
def test_a_number_with_words_that_leave_it_as_it_is_is_the_sign(line: str) -> None:
    talking = at_the_dangers("tumble_dryer")
    talking.say(line)
    assert talking.talk.gate.stop and "gas_smell" in talking.talk.gate.signs


@pytest.mark.parametrize("line", ["not 3", "no 3", "it is not 3", "just", "yes", "only 40"])
def test_a_number_denied_and_no_number_is_no_sign(line: str) -> None:
    talking = at_the_dangers("tumble_dryer")
    talking.say(line)
    assert isinstance(talking.current, AskDangers) and not talking.talk.gate.signs
