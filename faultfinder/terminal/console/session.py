"""Drives a conversation: events to the record first, words to the person after; keeps a person's Ctrl-C harmless."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from faultfinder.dialogue.converse import reply, stamped, start
from faultfinder.dialogue.pages import LINES
from faultfinder.dialogue.say import caution, error, note
from faultfinder.dialogue.talk import Over, Turn
from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import Record, read_record
from faultfinder.job.state import fold
from faultfinder.knowledge.model import Pack
from faultfinder.terminal.console import attachment_words
from faultfinder.terminal.console.console import Face
from faultfinder.terminal.console.progress import Progress
from faultfinder.terminal.program_name import as_typed
from faultfinder.text.catalogue import say

Clock = Callable[[], datetime]
RULES_AGAIN = "rules"
"""The word that takes up rules edited meanwhile."""


def now() -> datetime:
    """The time of day with its zone, to the second."""
    return datetime.now().astimezone().replace(microsecond=0)


Rules = Callable[[], Pack]


def converse(
    face: Face, record: Record | None, turn: Turn, clock: Clock = now, rules: Rules | None = None
) -> Exit:
    """Hold the conversation to its end. Every event is on disk before anything that depends on it is shown.

    `rules` loads the pack again, for the word that takes up edited rules with the answers kept.
    """
    kept = _kept(face, record, turn, clock())
    if kept is None:
        return Exit.WRONG_USE
    turn = _sized(face, kept)
    _told(face, turn)
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
            kept = _kept(face, record, replace(turn, events=()), clock())
            if kept is None:
                return Exit.PROBLEMS
            face.show(as_typed([note(say("saved", path=kept.talk.path) if record else say("not_kept"))]))
            return Exit.OK
        try:
            at = clock()
            there = _kept(face, record, replace(turn, events=()), at)
            if there is None:
                continue
            turn = there
            if attachment_words.is_one(line, turn.ask.takes == "words"):
                turn = _shop_word(face, record, turn, line, at)
                continue
            if record is not None and rules is not None and line.strip().casefold() == RULES_AGAIN:
                following = _rules_again(face, record, turn, rules)
            else:
                with Progress(say("working"), terminal_only=True):
                    following = reply(turn.talk, line, at)
            kept = _kept(face, record, following, at)
            if kept is None:
                continue
            following = _sized(face, kept)
            _told(face, following)
        except KeyboardInterrupt:
            return Exit.INTERRUPTED
        turn, interrupted = following, False
    # The end, for a face that waits for it.
    getattr(face, "last", lambda: None)()
    return Exit.OK


def _sized(face: Face, turn: Turn) -> Turn:
    """The turn for the lines that the face has at a time, where it says so: long lists come in pages else. A list
    that is shown already is answered as it was shown."""
    lines = max(LINES, getattr(face, "lines", LINES))
    as_shown = turn.talk.lines == lines or turn.talk.current.kind == "test"
    return turn if as_shown else replace(turn, talk=replace(turn.talk, lines=lines))


def _told(face: Face, turn: Turn) -> None:
    """A turn that is kept: its events to a face that passes them on, then its words."""
    getattr(face, "recorded", lambda turn: None)(turn)
    face.show(as_typed(turn.said))


def _shop_word(face: Face, record: Record | None, turn: Turn, line: str, at: datetime) -> Turn:
    """A word that reaches for files, done; the question stands as it stood."""
    if record is None:
        face.show([error(say("not_kept"))])
        return turn
    try:
        events, said = attachment_words.taken(face, record.path, line)
    except FaultFinderError as problem:
        face.show([error(str(problem))])
        return turn
    kept = _kept(face, record, replace(turn, events=tuple(events)), at)
    if kept is None:
        return turn
    face.show(said)
    return replace(kept, events=())


def _rules_again(face: Face, record: Record, turn: Turn, rules: Rules) -> Turn:
    """The same job over the rules as they stand now. Rules that do not load are told and the old ones kept."""
    try:
        pack = rules()
        events = read_record(record.path).events
    except FaultFinderError as problem:
        face.show([error(say("session_rules_as_they_were", problem=problem))])
        return replace(turn, events=(), said=())
    job, troubles = fold(pack, events)
    face.show([note(say("rules_taken", pack=pack.title))])
    face.show([error(say("session_no_longer_taken", why=why)) for _, why in troubles])
    return start(job, turn.talk.path, resumed=True)


def _kept(face: Face, record: Record | None, turn: Turn, at: datetime) -> Turn | None:
    """Write the turn's events down, all or none, and see that what was kept before is still there. The turn comes
    back, its job called by the file that it is kept in now; on failure that is said, and nothing taken: None."""
    if record is None:
        return turn
    before = record.path
    try:
        told = record.append(*stamped(turn.events, at, turn.talk.job))
    except (RecordError, OSError) as problem:
        face.show([error(str(problem)), caution(say("session_answer_not_kept_make"))])
        return None
    if told:
        face.show([caution(told)])
    if record.path == before:
        return turn
    # What stands behind a name changed: from here on it is called by the file.
    return replace(turn, talk=replace(turn.talk, path=str(record.path)))
