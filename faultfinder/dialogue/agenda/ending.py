"""How a job is closed: in a state that it is in, with what was found."""

from __future__ import annotations

from dataclasses import replace

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.choosing import NotTaken
from faultfinder.dialogue.talk import Over, Reply, Talk, after
from faultfinder.errors import BadAnswer, Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.reasoning.constants import FOUND
from faultfinder.safety import gate as safety


def closed_if_it_can_be(talk: Talk, events: list[Event], state: str) -> tuple[Talk, list[Event]]:
    """The job closed in that state where nothing stands against it any more; else as it is."""
    if safety.why_not_close(talk.gate, state, offers.unsafe(talk)):
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


def closed_stopped(talk: Talk, events: list[Event]) -> Reply:
    """A stopped job closed: left as it is, or handed over where voltage was found."""
    return closed(talk, events, "handed_over" if talk.gate.stop == "voltage" else "left_isolated")
