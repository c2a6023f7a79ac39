"""How the machine is left; and work that is stopped: the job ends, or is taken up again on purpose, for a reason."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers, proofs
from faultfinder.dialogue.agenda.ending import closed, closed_stopped, summary
from faultfinder.dialogue.hearing.choosing import NotTaken, option
from faultfinder.dialogue.prompts.card import next_card
from faultfinder.dialogue.prompts.which import elsewhere, take
from faultfinder.dialogue.say import Ask, Line, Said, Tone, choice, note, question
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.errors import Refused
from faultfinder.job import events as happened
from faultfinder.safety import gate as safety
from faultfinder.safety.dangers import stop_text
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of


@dataclass(frozen=True, slots=True)
class AskStopped(Prompt):
    """Work is stopped: end the job, or take it up again on purpose."""

    kind: ClassVar[str] = "stopped"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        text = stop_text(safety.leading_sign(talk.gate))
        pairs = [("close", say("stopped_close")), ("restart", say("stopped_restart"))]
        return choice([Line(text, Tone.STOP), question(say("stopped_ask"))], say("label_stopped"), pairs)

    def take(self, talk: Talk, line: str) -> Reply:
        if option(line, ("close", "restart")) == "restart":
            # The flow would put the stop again; the reason is asked for instead.
            return replace(talk, current=AskReason()), [], []
        if safety.asked_after_stop(talk.gate) is None:
            return closed_stopped(talk, [])
        return replace(talk, chosen=offers.CLOSE_STOPPED, current=Over()), [], []


@dataclass(frozen=True, slots=True)
class AskReason(Prompt):
    """Why it is safe to go on after a stop."""

    kind: ClassVar[str] = "reason"
    stays: ClassVar[bool] = True
    free: ClassVar[bool] = True

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        return [question(say("restart_reason"))], Ask(say("label_reason"), takes="words")

    def take(self, talk: Talk, line: str) -> Reply:
        """The reason why it is safe to go on; none leaves the stop."""
        if not line:
            # Thought better of: the stop stands, and is put again.
            return replace(talk, current=Over()), [], []
        event = happened.Restarted(line)
        return replace(after(talk, [event]), current=Over(), wanted=None, chosen=""), [event], []


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


def close_as(talk: Talk, word: str) -> Reply:
    """The job closed like this, or what stands against it and how it is got out of the way. Raises NotTaken where
    nothing can be done about it."""
    why_not = safety.why_not_close(talk.gate, word, offers.unsafe(talk))
    fit = word == "fit_for_use"
    wished = replace(talk, chosen=f"close:{word}", current=Over())
    led: Reply = wished, [], [note(why_not)]
    if fit and (wrong := proofs.failed(talk)) and not talk.gate.stop:
        # What was put right and not proved stands against it; whoever can take the proof again does.
        names = ", ".join(name_of(each.proof) for each in wrong)
        if not proofs.to_take(talk):
            raise NotTaken(say("proof_stands_still", names=names))
        return wished, [], [note(say("proof_stands", names=names))]
    if not why_not:
        if fit and offers.closing_reading(talk):
            return wished, [], [note(say("closes_with"))]
        # The complaint is what the customer will look at first.
        return (wished, [], []) if fit and offers.complaints_to_try(talk) else closed(talk, [], word)
    if fit and offers.finding_to_repeat(talk) and not talk.gate.stop:
        return led  # an unsafe finding is looked at again first
    need = offers.need_to_close(talk.gate, word, offers.unsafe(talk))
    try:
        if offers.hangs_on_connection(talk.gate, need) or next_card(talk.gate, need):
            return led
    except Refused as refusal:
        raise NotTaken(f"{why_not} {refusal}") from refusal
    raise NotTaken(why_not)
