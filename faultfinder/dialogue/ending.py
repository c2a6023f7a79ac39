"""How a job ends: closed in a state it is in, stopped for danger, or taken up again after that on purpose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from faultfinder.dialogue import flow
from faultfinder.dialogue.choosing import NotTaken, option
from faultfinder.dialogue.say import Line, Said, Tone
from faultfinder.dialogue.talk import AskReason, Over, Talk, after
from faultfinder.errors import BadAnswer, Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.reasoning.decision.scope import FOUND
from faultfinder.safety import gate as safety
from faultfinder.safety.dangers import told_at_once

Reply = tuple[Talk, list[Event], list[Said]]


def closed_if_it_can_be(talk: Talk, events: list[Event], state: str) -> tuple[Talk, list[Event]]:
    """The job closed in that state where nothing stands against it any more; else as it is."""
    if safety.why_not_close(talk.gate, state, flow.unsafe(talk)):
        return talk, events
    try:
        talk, events, _ = closed(talk, events, state)
    except NotTaken:
        pass  # the flow asks how the machine is left, and then says why not
    return talk, events


def closed(talk: Talk, events: list[Event], state: str) -> Reply:
    """The job closed in that state, with what was found. Raises NotTaken where it cannot be."""
    done = None if talk.case.outside or talk.gate.stop else talk.case.done
    begin = {} if talk.case.outside else talk.case.found()
    found = [name for name, chance in begin.items() if chance > FOUND or name in talk.job.put_right]
    event = happened.Closed(
        state,
        found=tuple(sorted(found, key=lambda name: -begin[name])),
        not_looked_at=done.not_looked_at if done else (),
        minutes=round(talk.job.minutes, 1),
    )
    try:
        talk = after(talk, [event])
    except (BadAnswer, Refused) as problem:
        raise NotTaken(str(problem)) from problem
    return replace(talk, current=Over()), [*events, event], []


def stopped(talk: Talk, line: str) -> Reply:
    """The answer to a stop: end the job, or take it up again."""
    if option(line, ("close", "restart")) == "restart":
        # The flow would put the stop again; the reason is asked for instead.
        return replace(talk, current=AskReason()), [], []
    if safety.asked_after_stop(talk.gate) is None:
        return closed_stopped(talk, [])
    return replace(talk, chosen=flow.CLOSE_STOPPED, current=Over()), [], []


def closed_stopped(talk: Talk, events: list[Event]) -> Reply:
    """A stopped job closed: left as it is, or handed over where voltage was found."""
    return closed(talk, events, "handed_over" if talk.gate.stop == "voltage" else "left_isolated")


def restart(talk: Talk, line: str) -> Reply:
    """The reason why it is safe to go on; none leaves the stop."""
    if not line:
        # Thought better of: the stop stands, and is put again.
        return replace(talk, current=Over()), [], []
    event = happened.Restarted(line)
    return replace(after(talk, [event]), current=Over(), wanted=None, chosen=""), [event], []


def sign_lines(signs: Sequence[str]) -> list[Said]:
    """What is told at once when danger signs are met, each text once."""
    return [Line(text, Tone.CAUTION) for text in told_at_once(signs)]
