"""Work is stopped: the job ends, or is taken up again on purpose and for a reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.agenda.ending import closed_stopped
from faultfinder.dialogue.hearing.choosing import option
from faultfinder.dialogue.say import Ask, Line, Said, Tone, choice, question
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.safety import gate as safety
from faultfinder.safety.dangers import stop_text
from faultfinder.text.catalogue import say


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

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        return "restart" if isinstance(left[0], happened.Restarted) else "close"


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

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        return left[0].reason if isinstance(left[0], happened.Restarted) else ""
