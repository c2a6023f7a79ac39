"""What is asked next."""

from __future__ import annotations

from dataclasses import replace

import pytest
from talking import chat

from faultfinder.dialogue.flow import next_prompt
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.machine import AskFact
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Need

FIGURES = {"earth_at_plug": "0.06 ohm", "insulation_at_plug": "200 Mohm"}
BEGUN = ("takes ages", "none", "vented plug 230V 2500W class 1")


@pytest.mark.slow
def test_what_was_ticked_in_a_round_is_asked_before_the_way_to_another_state_goes_on() -> None:
    talk = chat(*BEGUN, pack=load_pack("tumble_dryer")).talk
    going, prompt = next_prompt(replace(talk, wanted=Need.IN_USE))
    assert isinstance(prompt, AskCard) and prompt.need is Need.IN_USE
    _, asked = next_prompt(replace(going, wanted=Need.IN_USE, queue=("load_looked_at",)))
    assert isinstance(asked, AskTest) and asked.target == "load_looked_at"


@pytest.mark.slow
def test_what_was_ticked_but_needs_an_open_machine_waits_for_it() -> None:
    talk = chat(*BEGUN, pack=load_pack("tumble_dryer")).talk
    inside = next(
        item.id
        for item in talk.job.pack.observations.values()
        if talk.case.need_of(item) is Need.OPEN_DEAD and talk.case.askable(item)
    )
    _, asked = next_prompt(replace(talk, wanted=Need.IN_USE, queue=(inside,)))
    assert isinstance(asked, AskCard) and asked.need is Need.IN_USE


@pytest.mark.slow
@pytest.mark.parametrize(("said", "asked"), [("one", False), ("two", True), ("unknown", True)])
def test_whether_the_machine_has_the_part_is_asked_before_a_reading_of_it(said: str, asked: bool) -> None:
    """A section of a heater with one coil has no resistance; what was read there counted against the heater."""
    talking = chat(*BEGUN, pack=load_pack("tumble_dryer"))
    going, prompt = next_prompt(replace(talking.talk, chosen="low_to_high_current"))
    talking.turn = replace(talking.turn, talk=replace(going, current=prompt))
    while isinstance(card := talking.current, AskCard):
        typed = (FIGURES.get(action, "") for action in card.actions)
        talking.say(", ".join(f"{n}: {text}" if text else str(n) for n, text in enumerate(typed, 1)))
    assert isinstance(talking.current, AskFact) and talking.current.fact == "sections"
    talking.say(said)
    current = talking.current
    assert (isinstance(current, AskTest) and current.target == "low_to_high_current") == asked


def test_a_reading_that_cannot_be_told_for_sure_has_the_fact_behind_it_asked_for_once() -> None:
    pack = load_pack("tumble_dryer")
    talking = chat(*BEGUN, "motor kind capacitor", pack=pack)
    talking.say("capacitor reading 7.9uF")
    asked = talking.talk.current
    assert isinstance(asked, AskFact) and asked.fact == "capacitor_uf", asked
    assert talking.talk.case.judged(talking.talk.case.answers[-1]).on_the_edge
    talking.say("8")
    assert not talking.talk.case.judged(talking.talk.case.answers[-1]).on_the_edge
    assert not isinstance(talking.talk.current, AskFact)


def test_a_fact_that_is_not_known_after_a_reading_is_not_asked_for_again() -> None:
    pack = load_pack("tumble_dryer")
    talking = chat(*BEGUN, "motor kind capacitor", pack=pack)
    talking.say("capacitor reading 7.9uF")
    talking.say("")
    talking.say("capacitor reading 7.7uF")
    assert not isinstance(talking.talk.current, AskFact)
