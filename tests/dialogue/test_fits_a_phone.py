"""Every question of both packs, with its answers, fits a phone with the keyboard up: 40 columns, 15 lines."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from prompt_toolkit.utils import get_cwidth
from reading_once import shipped
from talking import chat

from faultfinder.dialogue.converse import put
from faultfinder.dialogue.prompts.card import GROUPS, AskCard
from faultfinder.dialogue.prompts.complaint import AskSymptoms, symptom_list, symptom_word
from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.dialogue.prompts.machine import AskFact, AskMachine
from faultfinder.dialogue.prompts.remedy import AskHandOver, AskRemedy
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.say import Line, Option, Said, Tone
from faultfinder.dialogue.showing.present import answers_of
from faultfinder.dialogue.talk import Prompt, Talk
from faultfinder.job.events import Answered
from faultfinder.knowledge.model import Access, Need
from faultfinder.safety.tables import WAYS
from faultfinder.terminal.console.render import lines

COLUMNS, LINES = 40, 15
BESIDE = 2
"""The status line, and the line where is typed."""
PACKS = ("tumble_dryer", "electric_oven", "washing_machine")


def asked(said: list[Said]) -> list[Said]:
    """From the question on: what must be seen at once to answer it."""
    at = next((n for n, item in enumerate(said) if isinstance(item, Line) and item.tone is Tone.QUESTION), 0)
    return said[at:]


def height(prompt: Prompt, talk: Talk) -> tuple[int, list[str]]:
    said, _ = put(replace(talk, current=prompt))
    out = [line for _, line in lines(asked(said), COLUMNS)]
    assert all(get_cwidth(line) <= COLUMNS for line in out)
    return len(out) + BESIDE, out


def base(name: str) -> Talk:
    """A job on this pack, in a state in which every instruction may be given."""
    pack = shipped(name)
    first = next(fact for fact in pack.facts.values() if fact.required and fact.class_value is None)
    talk = chat(
        "", "none", "none", f"{first.id.replace('_', ' ')} {next(iter(first.choices))}", pack=pack
    ).talk
    return replace(talk, job=replace(talk.job, gate=replace(talk.job.gate, connection="plug")))


def open_to(talk: Talk, need: Need) -> Talk:
    access = {Need.OPEN_DEAD: Access.OPEN_DEAD, Need.IN_USE: Access.IN_USE}.get(need, Access.ISOLATED)
    gate = replace(talk.job.gate, access=access, covers_off=access is Access.OPEN_DEAD)
    return replace(talk, job=replace(talk.job, gate=gate), shown=str(need))


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_every_test_of_a_pack_fits_with_its_answers_page_by_page(name: str) -> None:
    talk, pack = base(name), shipped(name)
    too_long = {}
    for target in (*pack.observations, *pack.questions):
        item = pack.questions.get(target) or pack.observations[target]
        prompt = AskTest(target)
        here = open_to(talk, item.need)
        offered: list[str] = []
        for _ in range(6):
            lines_used, out = height(prompt, here)
            if lines_used > LINES:
                too_long[target] = (lines_used, out)
            offered += [each.word for each in prompt.put(here)[0] if isinstance(each, Option)]
            _start, end = prompt._page(here, item)
            from faultfinder.dialogue.showing.present import answer_texts

            if end >= len(answer_texts(item)) or getattr(item, "reading", None) is not None:
                break
            prompt = replace(prompt, first=end)
        if getattr(item, "reading", None) is None:
            # "No air at all" is an answer as the others are, though its id is none.
            assert {word for word, _ in answers_of(item)} <= set(offered), target
    assert not too_long, {target: used for target, (used, _) in too_long.items()}


@pytest.mark.parametrize("name", PACKS)
def test_the_list_of_complaints_fits_page_by_page_and_each_is_on_one_page(name: str) -> None:
    """Twelve of them took twenty lines, and the first ones had left the screen."""
    pack = shipped(name)
    everything = tuple(
        (item.id, answer.id) for item in symptom_list(chat(pack=pack).talk) for answer in item.answers[1:]
    )
    rng = random.Random(7)
    for whole in (everything, tuple(rng.sample(everything, 7)), tuple(rng.sample(everything, 2))):
        talking = chat("xyzzy", pack=pack)
        asked_of = AskSymptoms(whole, everything=whole == everything)
        talking.turn = replace(talking.turn, talk=replace(talking.talk, current=asked_of))
        seen: list[str] = []
        while isinstance(here := talking.current, AskSymptoms) and here.everything is asked_of.everything:
            used, out = height(here, talking.talk)
            assert used <= LINES, out
            options = [each.word for each in here.put(talking.talk)[0] if isinstance(each, Option)]
            seen += [word for word in options if word not in ("none", "more")]
            if "more" not in options:
                break
            talking.say("more")
        assert seen == [symptom_word(talking.talk, *pair) for pair in whole]


def test_numbers_with_and_between_them_tick_and_are_no_more_of_the_customers_words() -> None:
    """'1 and 3' was taken for more of the complaint, and the list grew."""
    talking = chat("it tumbles, the towels stay wet, slower every month", pack=shipped("tumble_dryer"))
    assert isinstance(talking.current, AskSymptoms)
    offered = talking.current.offered
    assert len(offered) > 2
    talking.say("1 and 3")
    told = [event.observation for event in talking.events if isinstance(event, Answered)]
    assert told[:2] == [offered[0][0], offered[2][0]] and talking.talk.dangers_done is False


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_every_fact_remedy_and_hand_over_of_a_pack_fits(name: str) -> None:
    talk, pack = base(name), shipped(name)
    too_long = {}
    prompts: list[Prompt] = [AskFact(fact, True) for fact in pack.facts]
    prompts += [AskRemedy(cause) for cause in pack.causes if not pack.causes[cause].hand_to]
    prompts += [AskHandOver(cause) for cause in pack.causes]
    for prompt in prompts:
        used, _ = height(prompt, open_to(talk, Need.OPEN_DEAD))
        if used > LINES:
            too_long[prompt.key()] = used
    assert not too_long, too_long


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_the_beginning_and_every_card_fit(name: str) -> None:
    talk = base(name)
    too_long = {}
    prompts: list[Prompt] = [AskDangers(), AskMachine()]
    ways = [
        *WAYS.values(),
        (*WAYS["isolate", "plug"], *WAYS["open", ""]),
        (*WAYS["isolate", "isolator"], *WAYS["open", ""]),
    ]
    for way in ways:
        for _, group in GROUPS:
            actions = tuple(action for action in way if action in group)
            if actions:
                prompts.append(AskCard(Need.OPEN_DEAD, actions))
    prompts.append(AskCard(Need.IN_USE, ("earth_inside", "insulation_inside", "inside_clear", "covers_on")))
    plug = ("earth_at_plug", "insulation_at_plug", "plug_flex_whole", "casing_whole", "supply_on")
    prompts.append(AskCard(Need.IN_USE, plug))
    longest = max((item.ask for item in talk.job.pack.observations.values()), key=len)
    target = next(item.id for item in talk.job.pack.observations.values() if item.ask == longest)
    for prompt in prompts:
        here = replace(talk, chosen=target if isinstance(prompt, AskCard) else "")
        if isinstance(prompt, AskMachine):
            here = chat("", "none", "none", pack=shipped(name)).talk
        used, out = height(prompt, here)
        if used > LINES:
            too_long[str(prompt)] = (used, out)
    assert not too_long, {key: used for key, (used, _) in too_long.items()}


@pytest.mark.parametrize("name", PACKS)
def test_a_stop_of_the_last_round_fits_and_its_questions_are_whole_where_there_is_room(name: str) -> None:
    """'Number every noise you notice...', 'When was it last cleaned right...' stood there beside empty lines."""
    talk, pack = base(name), shipped(name)
    items = [each.id for each in (*pack.questions.values(), *pack.observations.values()) if each.last_round]
    rng = random.Random(11)
    for count in [1, 2, 3, 4, 5, 6, 7, 8, 9, 10] * 4:
        targets = tuple(rng.sample(items, min(count, len(items))))
        used, out = height(AskRound(rng.choice(["inside", "outside", "running", "together"]), targets), talk)
        assert used <= LINES, out
        if count <= 4:
            assert not any(line.endswith("...") for line in out), out
