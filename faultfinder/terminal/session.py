"""Drives a conversation: events to the record first, words to the person after; keeps a person's Ctrl-C harmless."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Protocol

from faultfinder.dialogue.converse import reply, stamped
from faultfinder.dialogue.say import Ask, Line, Said, Tone, error, note
from faultfinder.dialogue.talk import Over, Turn
from faultfinder.dialogue.words import say
from faultfinder.exits import Exit
from faultfinder.job.record import Record, RecordError


class Face(Protocol):
    """Where a person reads and types; `ask` raises EOFError at the end and KeyboardInterrupt at Ctrl-C."""

    def show(self, said: Sequence[Said]) -> None: ...

    def ask(self, ask: Ask) -> str: ...


Clock = Callable[[], datetime]


def now() -> datetime:
    """The time of day with its zone, to the second."""
    return datetime.now().astimezone().replace(microsecond=0)


def converse(face: Face, record: Record | None, turn: Turn, clock: Clock = now) -> Exit:
    """Hold the conversation to its end. Every event is on disk before anything that depends on it is shown."""
    if not _kept(face, record, turn, clock()):
        return Exit.WRONG_USE
    face.show(turn.said)
    interrupted = False
    while not isinstance(turn.talk.current, Over):
        try:
            line = face.ask(turn.ask)
        except KeyboardInterrupt:
            if interrupted:
                return Exit.INTERRUPTED
            interrupted = True
            face.show([note(say("interrupt"))])
            continue
        except EOFError:
            face.show([note(say("saved", path=turn.talk.path) if record else say("not_kept"))])
            return Exit.OK
        try:
            at = clock()
            following = reply(turn.talk, line, at)
            if not _kept(face, record, following, at):
                continue
            face.show(following.said)
        except KeyboardInterrupt:
            return Exit.INTERRUPTED
        turn, interrupted = following, False
    return Exit.OK


def _kept(face: Face, record: Record | None, turn: Turn, at: datetime) -> bool:
    """Write the turn's events down; on failure say so, and take nothing."""
    if record is None:
        return True
    try:
        for event in stamped(turn.events, at):
            record.append(event)
    except (RecordError, OSError) as problem:
        face.show(
            [
                error(str(problem)),
                Line("The answer was not kept. Make room, then answer again.", Tone.CAUTION),
            ]
        )
        return False
    return True
