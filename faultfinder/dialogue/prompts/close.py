"""How the machine is left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers, proofs
from faultfinder.dialogue.agenda.ending import closed
from faultfinder.dialogue.agenda.summary import summary
from faultfinder.dialogue.hearing.choosing import NotTaken, option
from faultfinder.dialogue.hearing.pieces import elsewhere
from faultfinder.dialogue.prompts.card import next_card
from faultfinder.dialogue.prompts.which import take
from faultfinder.dialogue.say import Ask, Said, choice, note, question
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk
from faultfinder.errors import Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.safety import gate as safety
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of


@dataclass(frozen=True, slots=True)
class AskClose(Prompt):
    """How the machine is left."""

    kind: ClassVar[str] = "close"
    stays: ClassVar[bool] = True

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        pairs = [(word, say(key)) for word, key in offers.CLOSINGS]
        pairs.append(("go_on", say("close_go_on")))
        return choice([*summary(talk), question(say("close_ask"))], say("label_end"), pairs)

    def take(self, talk: Talk, line: str) -> Reply:
        """How it is to be left, and what that still needs."""
        try:
            word = option(line, (*(word for word, _ in offers.CLOSINGS), "go_on"))
        except NotTaken as refusal:
            return take(talk, elsewhere(talk, line, refusal))
        if word == "go_on":
            return replace(talk, declined=frozenset(), chosen="", current=Over()), [], [note(say("how_to"))]
        return close_as(talk, word)

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        ending = next((event for event in left if isinstance(event, happened.Closed)), None)
        return ending.state if ending is not None else None


def close_as(talk: Talk, word: str) -> Reply:
    """The job closed like this, or what stands against it and how it is got out of the way. Raises NotTaken where
    nothing can be done about it."""
    why_not = safety.why_not_close(talk.gate, word, offers.unsafe(talk))
    wished = replace(talk, chosen=f"close:{word}", current=Over())
    if word == "fit_for_use" and (wrong := proofs.failed(talk)) and not talk.gate.stop:
        # What was put right and not proved stands against it; whoever can take the proof again does.
        names = ", ".join(name_of(each.proof) for each in wrong)
        if not proofs.to_take(talk):
            raise NotTaken(say("proof_stands_still", names=names))
        return wished, [], [note(say("proof_stands", names=names))]
    if not why_not:
        if word == "fit_for_use" and offers.closing_reading(talk):
            return wished, [], [note(say("closes_with"))]
        if word != "fit_for_use" or not offers.complaints_to_try(talk):
            return closed(talk, [], word)
        # The complaint is what the customer will look at first.
        return wished, [], []
    if word == "fit_for_use" and offers.finding_to_repeat(talk) and not talk.gate.stop:
        # An unsafe finding is looked at again first.
        return wished, [], [note(why_not)]
    need = offers.need_to_close(talk.gate, word, offers.unsafe(talk))
    if offers.hangs_on_connection(talk.gate, need):
        return wished, [], [note(why_not)]
    try:
        if next_card(talk.gate, need):
            return wished, [], [note(why_not)]
    except Refused as refusal:
        raise NotTaken(f"{why_not} {refusal}") from refusal
    raise NotTaken(why_not)
