"""What is asked on one screen."""

from __future__ import annotations

from dataclasses import replace

import pytest
from talking import chat

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.agenda.rounds import TOGETHER, asked_together
from faultfinder.dialogue.flow import next_prompt
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.talk import Talk
from faultfinder.job import events as happened
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Access
from faultfinder.reasoning.decision.step import Stage, Step, StepKind

BEGUN = ("takes ages", "none", "vented plug 230V 2500W class 1")


def ask(target: str, stage: Stage = Stage.SEARCH) -> Step:
    return Step(StepKind.ASK, target, target, Access.AS_FOUND, 0.5, 3.0, stage=stage)


def talk_with(monkeypatch: pytest.MonkeyPatch, *steps: Step) -> Talk:
    monkeypatch.setattr(offers, "offered", lambda talk: list(steps))
    return chat(*BEGUN, pack=load_pack("tumble_dryer")).talk


def test_what_is_told_in_a_word_and_on_offer_here_is_one_list(monkeypatch: pytest.MonkeyPatch) -> None:
    steps = [ask("damp_at_end"), ask("filter_look"), ask("current_on_high"), ask("too_hot"), ask("door")]
    talk = talk_with(monkeypatch, *steps)
    assert asked_together(talk, steps[0]) == ("damp_at_end", "too_hot")
    _, prompt = next_prompt(talk)
    assert prompt == AskRound(TOGETHER, ("damp_at_end", "too_hot"))


def test_one_thing_told_is_no_list_and_a_look_first_stands_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    steps = [ask("damp_at_end"), ask("filter_look")]
    talk = talk_with(monkeypatch, *steps)
    assert asked_together(talk, steps[0]) == ()
    looks = [ask("filter_look"), ask("damp_at_end"), ask("too_hot")]
    monkeypatch.setattr(offers, "offered", lambda talk: looks)
    assert asked_together(talk, looks[0]) == (), "what steers comes before what is asked beside it"


def test_what_is_chosen_by_name_is_asked_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    talk = talk_with(monkeypatch, ask("damp_at_end"), ask("too_hot"))
    _, prompt = next_prompt(replace(talk, chosen="too_hot"))
    assert not isinstance(prompt, AskRound)


@pytest.mark.parametrize(
    ("line", "told"),
    [("2", ("no", "yes")), ("none", ("no", "no")), ("0", ("no", "no")), ("1 2", ("yes", "yes"))],
)
def test_what_is_numbered_is_so_and_the_rest_is_not(
    monkeypatch: pytest.MonkeyPatch, line: str, told: tuple[str, str]
) -> None:
    talking = chat(*BEGUN, pack=load_pack("tumble_dryer"))
    talking.turn = replace(
        talking.turn, talk=replace(talking.talk, current=AskRound(TOGETHER, ("damp_at_end", "too_hot")))
    )
    before = len(talking.events)
    talking.say(line)
    answers = [
        (event.observation, event.value)
        for event in talking.events[before:]
        if isinstance(event, happened.Answered)
    ]
    assert answers == list(zip(("damp_at_end", "too_hot"), told, strict=True))


@pytest.mark.parametrize(
    ("line", "told", "left"),
    [
        ("later", [], {"damp_at_end", "too_hot"}),
        ("Not now.", [], {"damp_at_end", "too_hot"}),
        ("2; later", [("too_hot", "yes")], {"damp_at_end"}),
        ("1 2, later", [("damp_at_end", "yes"), ("too_hot", "yes")], set()),
    ],
)
def test_later_puts_a_round_off_or_what_is_left_of_it(
    line: str, told: list[tuple[str, str]], left: set[str]
) -> None:
    talking = chat(*BEGUN, pack=load_pack("tumble_dryer"))
    here = AskRound(TOGETHER, ("damp_at_end", "too_hot"))
    talking.turn = replace(talking.turn, talk=replace(talking.talk, current=here))
    before = len(talking.events)
    said = talking.say(line)
    answers = [e for e in talking.events[before:] if isinstance(e, happened.Answered)]
    assert [(event.observation, event.value) for event in answers] == told
    assert left <= talking.talk.declined and ("Put off: " in said) is bool(left)
    assert not (isinstance(talking.current, AskRound) and left & set(talking.current.targets))


def test_while_the_job_is_being_ended_nothing_is_put_off_and_what_to_type_is_said() -> None:
    talking = chat(*BEGUN, pack=load_pack("tumble_dryer"))
    here = AskRound(TOGETHER, ("damp_at_end", "too_hot"))
    talking.turn = replace(
        talking.turn, talk=replace(talking.talk, current=here, chosen="close:left_isolated")
    )
    said = talking.say("later")
    assert talking.current == here and not talking.talk.declined
    assert "none" in said and "can't" in said
