"""Lists to tick: what is ticked counts, the rest counts as not seen once that is all; what was told stands once."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache

import pytest
from reading_once import shipped
from talking import Chat, chat, text

from faultfinder.dialogue.converse import put
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.correct import AskNewAnswer
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.which import AskWhich
from faultfinder.dialogue.say import Option
from faultfinder.job import events as happened
from faultfinder.job.state import fold, replayed
from faultfinder.knowledge.model import Need, Pack
from faultfinder.reasoning.case import Case


@pytest.fixture(scope="module")
def dryer() -> Pack:
    return shipped("tumble_dryer")


def at_list(pack: Pack, name: str = "walk_round") -> Chat:
    """A conversation at a list of the dryer."""
    return put_to(begun().again(), name)


@cache
def begun() -> Chat:
    return chat("takes ages", "none", "vented 230V 2400W class 1 plug", pack=shipped("tumble_dryer"))


def put_to(talking: Chat, name: str, ticked: tuple[str, ...] = ()) -> Chat:
    talk = replace(talking.talk, current=AskTest(name, ticked=ticked), chosen=name, wanted=None)
    said, ask = put(talk)
    texts = tuple((item.word, item.text) for item in said if isinstance(item, Option))
    talking.turn = replace(
        talking.turn, talk=replace(talk, asked=replace(ask, texts=texts)), said=tuple(said)
    )
    return talking


def chosen(talking: Chat) -> list[tuple[str, ...]]:
    return [event.value for event in talking.events if isinstance(event, happened.Chosen)]


@pytest.mark.slow
def test_nothing_is_told_before_it_is_said_to_be_all(dryer: Pack) -> None:
    talking = at_list(dryer)
    talking.say("1")
    assert not chosen(talking)
    talking.say("")
    assert chosen(talking) == [("thick", "none")]
    assert talking.talk.case.judged(talking.talk.case.latest("machine_steady")).answer == "no"  # type: ignore[arg-type]


@pytest.mark.slow
@pytest.mark.parametrize(
    "line", ["", "99", "1 99", "0.5", "none of your business", "all", "tick all", "1-3", "*"]
)
def test_what_is_no_tick_changes_nothing(dryer: Pack, line: str) -> None:
    talking = at_list(dryer)
    before = talking.current
    talking.say(line)
    assert not chosen(talking) and talking.current == before


@pytest.mark.slow
def test_each_choice_stands_on_one_page_and_the_pages_stand_still(dryer: Pack) -> None:
    question = dryer.questions["walk_round"]
    for first in ("1", "none", "5 7"):
        talking = at_list(dryer)
        seen: list[str] = []
        for line in (first, "none", "none", "none"):
            if chosen(talking):
                break
            shown = [word for word, _ in talking.talk.asked.texts if word not in ("none", "more")]
            assert not set(shown) & set(seen)
            seen += shown
            talking.say(line)
        assert set(seen) == {choice.id for choice in question.choices}


@pytest.mark.slow
def test_two_that_cannot_both_be_told_are_asked_back(dryer: Pack) -> None:
    talking = at_list(dryer)
    heard = talking.say("1 3")
    assert "Only one of these" in heard and "1 Filter thick" in heard and "3 Filter bent" in heard
    assert not chosen(talking)
    talking.say("1")
    assert "Only one of these" in talking.say("filmed")
    talking.say("none")
    assert chosen(talking) == [("thick", "none")]


@pytest.mark.slow
@pytest.mark.parametrize("off", ["untick 1", "not 1", "-1", "not thick"])
def test_a_tick_can_be_taken_off(dryer: Pack, off: str) -> None:
    talking = at_list(dryer)
    talking.say("1", off, "")
    assert chosen(talking) == [("none",)]


@pytest.mark.slow
def test_undo_takes_back_ticks_first_then_the_whole_list(dryer: Pack) -> None:
    talking = at_list(dryer)
    before = talking.talk.case.confidence()
    talking.say("1", "undo")
    assert talking.current == AskTest("walk_round") and not chosen(talking)
    talking.say("1", "none")
    assert talking.talk.case.latest("filter_look") is not None
    talking.say("undo")
    assert talking.talk.case.latest("filter_look") is None
    assert talking.talk.case.confidence() == pytest.approx(before)


def test_undo_on_a_card_takes_back_its_ticks_and_no_answer() -> None:
    talking = chat("stays cold", "none", "single phase; connection plug; volts 230; watts 2000")
    talking.say("inlet look clear; flex look whole")
    card = talking.current
    assert isinstance(card, AskCard)
    answers = talking.talk.case.answers
    talking.say("1", "undo")
    assert talking.current == card and talking.talk.case.answers == answers


@pytest.mark.slow
def test_one_thing_of_a_list_is_corrected_or_taken_back_by_its_name(dryer: Pack) -> None:
    talking = at_list(dryer)
    talking.say("1 5", "none", "correct filter look")
    assert talking.current == AskNewAnswer("filter_look")
    talking.say("clean", "correct filter water test", "")
    case = talking.talk.case
    assert case.judged(case.latest("filter_look")).answer == "clean"  # type: ignore[arg-type]
    assert case.latest("filter_water_test") is None
    state, troubles = fold(
        dryer, [happened.Opened(dryer.name, dryer.version, dryer.fingerprint), *talking.events]
    )
    assert not troubles
    assert replayed(state).confidence() == pytest.approx(case.confidence())


@pytest.mark.slow
def test_what_is_told_beside_a_list_leaves_its_ticks_standing(dryer: Pack) -> None:
    talking = at_list(dryer)
    talking.say("1")
    midway = talking.current
    talking.say("hose crushed seen yes")
    assert talking.current == midway and talking.talk.case.latest("hose_crushed_seen") is not None
    talking.say("")
    case = talking.talk.case
    assert case.judged(case.latest("filter_look")).answer == "clogged"  # type: ignore[arg-type]
    # A danger sign comes first, whatever was being ticked.
    alarmed = at_list(dryer)
    alarmed.say("1")
    before = alarmed.current
    alarmed.say("plug seen scorched")
    assert alarmed.talk.gate.signs and alarmed.current != before


@pytest.mark.slow
def test_a_word_that_several_answers_have_offers_just_these_and_an_answer_in_other_words_is_helped_on(
    dryer: Pack,
) -> None:
    talking = at_list(dryer)
    heard = talking.say("1 5", "none", "correct filter")
    offered = talking.talk.asked.words
    assert {"filter_look", "filter_water_test"} <= set(offered) and all("filter" in word for word in offered)
    assert "has not been answered" not in heard
    talking.say(str(offered.index("filter_look") + 1))
    assert talking.current == AskNewAnswer("filter_look")
    assert "If 'Clean and whole, sat well' is meant, type 1." in talking.say("clean, fits well")
    talking.say("1")
    case = talking.talk.case
    assert case.judged(case.latest("filter_look")).answer == "clean"  # type: ignore[arg-type]


@pytest.mark.slow
def test_a_list_told_again_counts_once_where_nothing_changed(dryer: Pack) -> None:
    """Whatever was ticked, and however often it is told again after something else was put right."""
    chance = random.Random(16)
    question = dryer.questions["walk_round"]
    for _ in range(3):
        ticked = chance.choice([("thick",), ("filmed", "rocks"), ("wall",), ()])
        case = Case(dryer, facts={"type": "vented"})
        case.record("takes_too_long", "yes")
        case.record(question.id, (*ticked, "none"))
        case.put_right("control_knob_split")
        before = case.confidence()
        case.record(question.id, (*ticked, "none"))
        case.record(question.id, (*ticked, "none"))
        assert case.confidence() == before
    case.record(question.id, ("torn", "none"))
    assert case.confidence() != before


@pytest.mark.slow
def test_what_stood_is_told_with_the_list_when_it_comes_again(dryer: Pack) -> None:
    talking = at_list(dryer)
    talking.say("rocks", "none")
    assert "rocks" in chosen(talking)[-1]
    put_to(talking, "walk_round", ticked=("rocks",))
    assert "Told before: It rocks on its feet" in text(talking.turn.said)
    talking.say("1", "none", "none")
    assert chosen(talking)[-1] == ("rocks", "thick", "none")


@pytest.mark.slow
def test_words_of_the_list_are_ticks_whatever_command_they_are(dryer: Pack) -> None:
    words = [choice.id for choice in dryer.questions["all_noticed"].choices]
    assert "mended" in words
    talking = at_list(dryer, "all_noticed")
    talking.say("mended none", "none", "none", "none")
    assert "mended" in chosen(talking)[0]


@pytest.mark.slow
def test_a_misspelt_finding_is_taken_with_one_yes(dryer: Pack) -> None:
    talking = at_list(dryer, "which_heat")
    heard = talking.say("filter clogd")
    assert isinstance(talking.current, AskWhich) and "Thick with fluff" in heard
    talking.say("yes")
    case = talking.talk.case
    assert case.judged(case.latest("filter_look")).answer == "clogged"  # type: ignore[arg-type]
    talking.say("capaciter dead", "no")
    assert talking.talk.case.latest("capacitor_reading") is None


@pytest.mark.parametrize("line", ["no", "other", "later"])
def test_a_card_that_is_put_off_says_what_was_put_off_and_changes_nothing(line: str) -> None:
    talking = chat("stays cold", "none", "single phase; connection plug; volts 230; watts 2000")
    talking.say("inlet look clear; flex look whole")
    card, gate = talking.current, talking.talk.gate
    assert isinstance(card, AskCard)
    heard = talking.say(line)
    assert "Put off:" in heard and talking.talk.gate == gate


def test_a_way_to_the_last_round_that_is_put_off_does_not_come_back_at_once() -> None:
    talking = chat("stays cold", "none", "single phase; connection plug; volts 230; watts 2000")
    cards = 0
    for _ in range(25):
        if talking.current.kind == "close":
            break
        cards += isinstance(talking.current, AskCard)
        talking.say("no" if isinstance(talking.current, AskCard) else "dk")
    assert talking.current.kind == "close" and cards <= 8


def test_a_short_list_that_is_passed_over_is_not_asked_in_its_parts(dryer: Pack) -> None:
    talking = put_to(at_list(dryer), "hose_seen")
    talking.say("dk")
    skipped = {event.observation for event in talking.events if isinstance(event, happened.Skipped)}
    assert {"hose_seen", "hose_crushed_seen", "hose_clogged_seen"} <= skipped


@pytest.mark.parametrize("line", ["no", "nope", "nothing", "none of these"])
def test_no_says_that_nothing_of_a_list_is_there(dryer: Pack, line: str) -> None:
    talking = put_to(at_list(dryer), "hose_seen")
    talking.say(line)
    assert chosen(talking) == [("none",)]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("line", "ticked"), [("crushed", ()), ("worn", ("catch",)), ("torn seal", ("seal",))]
)
def test_one_word_for_another_ticks_nothing_in_a_list(line: str, ticked: tuple[str, ...]) -> None:
    """'crushed' at 'door catch worn, bent or broken' was taken for bent."""
    talking = chat(
        *("takes ages since we moved it", "1 2", "none", "vented plug 240V 2400W"),
        pack=shipped("tumble_dryer"),
    )
    talking.say("none of these")
    talking.say(line)
    chosen = [event for event in talking.turn.events if isinstance(event, happened.Chosen)]
    assert tuple(word for event in chosen for word in event.value if word != "none") == ticked


@pytest.mark.parametrize(
    ("word", "meant"), [("thick", "A steady click or tick"), ("rattel", "A rattle"), ("squel", "A squeal")]
)
def test_what_is_only_nearly_a_word_of_a_list_is_asked_back(dryer: Pack, word: str, meant: str) -> None:
    talking = put_to(at_list(dryer), "noises")
    before = talking.current
    said = talking.say(word)
    assert talking.current == before and not chosen(talking)
    assert f"If it means '{meant}" in said


def test_what_a_text_denies_does_not_tick_it(dryer: Pack) -> None:
    talking = put_to(at_list(dryer), "all_noticed")
    talking.say("warm")
    assert "less_warm" not in getattr(talking.current, "ticked", ()) and not chosen(talking)


def test_a_page_that_is_left_with_enter_does_not_say_that_it_was_all(dryer: Pack) -> None:
    """'Enter if that is all' stood on the first of three pages, and 'number all' over what was told already."""
    talking = put_to(begun().again(), "all_noticed", ticked=("slow",))
    head = text(talking.turn.said)
    assert "Told before: Takes longer" in head and "that is all" not in head and "too." not in head
    talking.say("")
    assert "Enter for none" in text(talking.turn.said) and not chosen(talking)


def test_nought_is_none_on_the_last_page_of_a_list_as_it_is_of_the_dangers(dryer: Pack) -> None:
    talking = at_list(dryer)
    while "more" in talking.talk.asked.words or any(
        isinstance(each, Option) and each.word == "more" for each in talking.turn.said
    ):
        talking.say("0")
    talking.say("0")
    assert chosen(talking) == [("none",)]


@pytest.mark.slow
def test_what_is_asked_a_second_time_on_purpose_says_so(dryer: Pack) -> None:
    """What was ticked is looked at by itself before a part is fitted: it read as if the tick had been forgotten."""
    talking = put_to(begun().again(), "hose_seen")
    talking.say("1 2", "")
    assert talking.talk.case.latest("hose_crushed_seen").ticked
    talking = put_to(talking, "hose_crushed_seen")
    assert "You said before: Yes" in text(talking.turn.said)
    assert "Answered before" in talking.say("why")
    fresh = put_to(begun().again(), "hose_crushed_seen")
    assert "once more" not in text(fresh.turn.said) and "Answered before" not in fresh.say("why")


@pytest.mark.slow
def test_where_it_was_going_is_chosen_anew_after_a_stop_of_the_last_round(dryer: Pack) -> None:
    """The round before the plug goes back in left the way into use standing, and nothing told what it was for."""
    talking = begun().again()
    talk = replace(talking.talk, wanted=Need.IN_USE, current=AskRound("outside", ("load_looked_at",)))
    talking.turn = replace(talking.turn, talk=talk)
    talking.say("none")
    card = talking.current
    assert talking.talk.wanted is None or (isinstance(card, AskCard) and "Next (" in text(talking.turn.said))


def on_a_long_screen(pack: Pack, kind: str) -> Chat:
    talking = chat("takes ages", "none", f"{kind} 230V plug", pack=pack)
    talking.turn = replace(talking.turn, talk=replace(talking.talk, lines=99))
    return talking


@pytest.mark.parametrize(("kind", "there"), [("vented", True), ("condenser", False), ("heat pump", False)])
def test_a_list_offers_only_what_the_machine_can_have(dryer: Pack, kind: str, there: bool) -> None:
    """A machine without a hose has no vent run."""
    talking = put_to(on_a_long_screen(dryer, kind), "walk_round")
    words = [item.word for item in talking.turn.said if isinstance(item, Option)]
    assert ("run" in words) == there
    assert "thick" in words and "none" in words


def test_the_numbers_of_a_shortened_list_are_those_shown(dryer: Pack) -> None:
    talking = put_to(on_a_long_screen(dryer, "condenser"), "walk_round")
    shown = [item.word for item in talking.turn.said if isinstance(item, Option)]
    talking.say(str(shown.index("seal") + 1))
    talking.say("")
    assert chosen(talking) == [("seal", "none")]
