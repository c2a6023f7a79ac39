"""A proof that reads wrong: heard at once, taken again, and the machine is not called fit for use over it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from program_walk import all_well
from reading_once import shipped
from talking import OPEN, OPENED, Chat, chat, text

from faultfinder.dialogue.agenda.proofs import brought_back, failed
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.remedy import AskRemedy
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.talk import after
from faultfinder.job import events as happened

MENDED = (*OPENED, *OPEN, "element resistance OL", "done")
"""Lines to the proof of the element."""
PROOF = AskTest("element_resistance", True)


def towards_fit_for_use(talking: Chat, proof: str, most: int = 40) -> Chat:
    """Everything well but the proof, remedies put off, and 'fit for use' asked for again and again."""
    for _ in range(most):
        if talking.talk.job.closed is not None:
            return talking
        match talking.current:
            case AskCard(_, actions):
                talking.say(all_well(actions))
            case AskClose():
                talking.say("fit_for_use")
            case AskRemedy():
                talking.say("later")
            case AskTest("element_resistance"):
                talking.say(proof)
            case AskTest(target):
                item = talking.talk.job.pack.observations[target]
                talking.say(item.healthy if item.reading is None else "dk")
            case _:
                talking.say("none" if talking.current.kind == "round" else "gone")
    return talking


@pytest.mark.slow
def test_a_proof_that_reads_wrong_is_said_at_once_and_taken_again() -> None:
    talking = chat(*MENDED)
    assert talking.current == PROOF
    assert "reads as the old one" in talking.say("OL")
    assert talking.current == PROOF
    assert "wrong again" in talking.say("OL")
    assert [(each.cause, each.proof) for each in failed(talking.talk)] == [
        ("element_open", "element_resistance")
    ]


@pytest.mark.slow
def test_after_a_slip_the_second_reading_counts_and_nothing_stands_against_the_end() -> None:
    talking = chat(*MENDED, "OL", "26.4")
    assert failed(talking.talk) == [] and talking.current != PROOF
    talking = towards_fit_for_use(talking, "26.4")
    assert talking.talk.job.closed is not None and talking.talk.job.closed.state == "fit_for_use"


@pytest.mark.slow
def test_a_remedy_that_was_not_proved_comes_back() -> None:
    talking = chat(*MENDED, "OL", "OL")
    offered = []
    for _ in range(20):
        if isinstance(talking.current, AskClose):
            break
        if isinstance(talking.current, AskRemedy):
            offered.append(talking.current.cause)
        talking.say("later" if isinstance(talking.current, AskRemedy) else "dk")
    assert "element_open" in offered


@pytest.mark.slow
@pytest.mark.parametrize("proof", ["OL", "dk"])
def test_a_failed_proof_never_ends_as_fit_for_use(proof: str) -> None:
    talking = towards_fit_for_use(chat(*MENDED, "OL", "OL", "end"), proof)
    assert talking.talk.job.closed is None
    if isinstance(talking.current, AskClose):
        heard = talking.say("fit_for_use")
        assert "read wrong after the repair" in heard
    talking.say("end", "left_isolated")
    for _ in range(6):
        if isinstance(talking.current, AskCard):
            talking.say(all_well(talking.current.actions))
    closed = [event for event in talking.events if isinstance(event, happened.Closed)]
    assert [event.state for event in closed] == ["left_isolated"]


@pytest.mark.slow
def test_a_typing_error_in_a_proof_that_is_corrected_stands_against_nothing() -> None:
    talking = chat(*MENDED, "OL", "OL", "correct element_resistance 26.4", "both")
    assert failed(talking.talk) == []


@pytest.mark.slow
def test_a_complaint_that_was_still_there_when_it_was_tried_is_told_at_the_close() -> None:
    for still, told in (("yes", True), ("no", False)):
        talking = chat(*MENDED, "26.4")
        for _ in range(30):
            if talking.talk.job.closed is not None:
                break
            match talking.current:
                case AskCard(_, actions):
                    talking.say(all_well(actions))
                case AskClose():
                    talking.say("fit_for_use")
                case AskTest("no_heat"):
                    talking.say(still)
                case _:
                    talking.say("later" if isinstance(talking.current, AskRemedy) else "dk")
        assert talking.talk.job.closed is not None
        heard = text(talking.turn.said)
        assert ("still there when it was last tried: no heat" in heard) == told


@pytest.mark.slow
def test_a_remedy_is_brought_back_once_and_then_what_else_shows_alike() -> None:
    """A panel that rattles on after it was refitted twice may be one that we left loose ourselves."""
    talking = chat("it rattles", "none", "vented; plug; 230V; class 1", pack=shipped("tumble_dryer"))
    opened = [happened.Confirmed("covers_on"), happened.Answered("noise_rattle", "yes")]
    talk = after(replace(talking.talk, job=talking.talk.job), opened[1:])
    brought = []
    for _ in range(3):
        talk = after(talk, [happened.PutRight("panel_loose", "isolated")])
        talk = after(talk, [happened.Answered("panel_press_trial", "yes")] * 2)
        brought.append(brought_back(talk))
    assert [each.cause for each in failed(talk)] == ["panel_loose"]
    assert brought[0] == "panel_loose" and "panel_loose" not in brought[1:]


@pytest.mark.slow
def test_a_proof_that_stays_wrong_is_taken_once_for_each_wish_to_end_and_not_without_end() -> None:
    """Who ends 'fit for use' takes it again; reads it wrong again, the close is back with why not."""
    talking = chat(*MENDED, "OL", "OL")
    for _ in range(3):
        asked = 0
        talking.say("end", "fit_for_use")
        for _ in range(12):
            match talking.current:
                case AskTest("element_resistance"):
                    asked += 1
                    talking.say("OL")
                case AskCard(_, actions):
                    talking.say(all_well(actions))
                case AskClose():
                    break
                case _:
                    talking.say("later" if isinstance(talking.current, AskRemedy) else "dk")
        assert asked <= 2
        assert talking.talk.job.closed is None
