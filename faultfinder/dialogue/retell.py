"""A record told again as the conversation it was: the lines a person typed, and what was said to them.

Each event is turned back into the line that would lead to it at that point, the line goes through the
conversation itself, and what comes out must be the recorded events again. So a record, the program and the text
of a demo cannot drift apart unnoticed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from faultfinder.dialogue.converse import reply, start
from faultfinder.dialogue.say import Ask, Said
from faultfinder.dialogue.talk import (
    AskAction,
    AskClose,
    AskComplaint,
    AskCorrect,
    AskDangers,
    AskFact,
    AskGo,
    AskHandOver,
    AskNewAnswer,
    AskPlate,
    AskReason,
    AskRemedy,
    AskRemedyDone,
    AskStopped,
    AskSymptoms,
    AskTest,
    AskUrgent,
    Over,
    Turn,
)
from faultfinder.dialogue.typed import name_of
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.state import apply, begin
from faultfinder.knowledge.model import Pack
from faultfinder.safety.dangers import LEAVE_NOW


@dataclass(frozen=True, slots=True)
class Told:
    """One exchange: what was asked for, the line typed, and what was said after it."""

    ask: Ask
    line: str
    said: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class Retold:
    """A conversation: the opening words, its exchanges, and where it came out differently (or '')."""

    opening: tuple[Said, ...]
    told: tuple[Told, ...]
    differs: str = ""


MOST_LINES = 2000
"""A record longer than this is no conversation; chosen."""


def retell(pack: Pack, events: Sequence[Event], path: str = "") -> Retold:
    """Tell a record again. Stops, and says so, where the conversation would not have led to the next event."""
    job = begin(pack)
    for event in events:
        if isinstance(event, happened.MeterUsed):
            job = apply(job, event)
    beside = happened.Expect | happened.Opened | happened.MeterUsed
    left = [_bare(event) for event in events if not isinstance(event, beside)]
    turn = start(job, path)
    opening = turn.said
    told: list[Told] = []
    left, odd = _struck(left, turn)
    for _ in range(MOST_LINES):
        if odd or not left or isinstance(turn.talk.current, Over):
            break
        line = _line(turn, left)
        if line is None:
            odd = f"no line leads from '{turn.ask.label}' to {left[0]}"
            break
        following = reply(turn.talk, line)
        told.append(Told(turn.ask, line, following.said))
        if following.talk == turn.talk and not following.events:
            odd = f"'{line}' was not taken; next in the record: {left[0]}"
            break
        turn = following
        left, odd = _struck(left, turn)
    if left and not odd:
        odd = f"left over: {left[0]}"
    return Retold(opening, tuple(told), odd)


def _bare(event: Event) -> Event:
    return event if isinstance(event, happened.Expect) else replace(event, at="")


def _struck(left: list[Event], turn: Turn) -> tuple[list[Event], str]:
    """What is left of the record once this turn's events are struck off; and the first that is another."""
    for event in turn.events:
        bare = _bare(event)
        if not left or left[0] != bare:
            return left, f"came out: {bare}; in the record: {left[0] if left else 'nothing more'}"
        left = left[1:]
    return left, ""


def _line(turn: Turn, left: list[Event]) -> str | None:
    """The line a person would have typed here to get to the next event."""
    event = left[0]
    current = turn.talk.current
    if isinstance(current, AskUrgent):
        if isinstance(event, happened.DangerSeen):
            return "now" if event.sign in LEAVE_NOW else "earlier"
        return "no"
    if isinstance(current, AskComplaint) and isinstance(event, happened.DangerSeen):
        return next((e.text for e in left if isinstance(e, happened.Complaint | happened.Noted)), "")
    match event:
        case happened.Answered(reads=reads, value=value):
            name = event.observation
            if isinstance(current, AskSymptoms):
                return _symptom_numbers(current, left)
            if isinstance(current, AskTest) and current.target == name:
                return reads or value
            if isinstance(current, AskComplaint):
                return ""
            return f"{name_of(name)} {reads or value}" if _open(current) else _pass_by(current)
        case happened.Complaint():
            return event.text
        case happened.DangerSeen():
            signs = [e.sign for e in left if isinstance(e, happened.DangerSeen)]
            return " ".join(signs[:1]) if isinstance(current, AskDangers) else "danger"
        case (
            happened.Confirmed(action=action, outcome=outcome)
            | happened.ReturnTested(test=action, outcome=outcome)
        ):
            if action == "dangers_answered" and isinstance(current, AskDangers):
                return "none"
            if isinstance(current, AskAction) and current.action == action:
                return event.reads if isinstance(event, happened.ReturnTested) and event.reads else outcome
            if isinstance(current, AskStopped):
                return "close"
            return _towards_the_end(current, left)
        case happened.FactGiven():
            if isinstance(current, AskFact) and current.fact == event.fact:
                return event.value
            if isinstance(current, AskPlate):
                facts = []
                for other in left:
                    if not isinstance(other, happened.FactGiven):
                        break
                    facts.append(f"{name_of(other.fact)} {other.value}")
                return "; ".join(facts)
        case happened.Chosen():
            if isinstance(current, AskTest) and current.target == event.question:
                return " ".join(event.value)
        case happened.Skipped(because=because):
            if isinstance(current, AskTest) and current.target == event.observation:
                return "dk" if because == "dont_know" else "can't"
        case happened.RemedyStarted():
            if isinstance(current, AskRemedy) and current.cause == event.cause:
                return "do"
        case happened.PutRight():
            if isinstance(current, AskRemedyDone) and current.cause == event.cause:
                return "done"
        case happened.RemedyLeft():
            return "not_done"
        case happened.Noted():
            if isinstance(current, AskRemedy) and event.text.startswith("not put right here:"):
                return "cannot"
            if isinstance(current, AskHandOver) and event.text.startswith("for a licensed person:"):
                return "ok"
            return f"note {event.text}"
        case happened.Corrected() | happened.Withdrawn():
            if isinstance(current, AskNewAnswer):
                return (event.reads or event.value) if isinstance(event, happened.Corrected) else ""
            return event.observation if isinstance(current, AskCorrect) else "correct"
        case happened.Restarted():
            return event.reason if isinstance(current, AskReason) else "restart"
        case happened.Closed():
            if isinstance(current, AskStopped):
                return "close"
            return event.state if isinstance(current, AskClose) else "end"
    return _pass_by(current)


def _towards_the_end(current: object, left: list[Event]) -> str | None:
    """The line that leads to safety actions which no step asked for: those on the way to the closing."""
    closed = next((event for event in left if isinstance(event, happened.Closed)), None)
    if isinstance(current, AskGo):
        return "yes"
    if closed is None or isinstance(current, AskFact | AskPlate | AskComplaint | AskSymptoms | AskDangers):
        return _pass_by(current)
    return closed.state if isinstance(current, AskClose) else "end"


def _open(current: object) -> bool:
    """Whether a reading of anything can be typed at this prompt."""
    return isinstance(current, AskTest | AskGo | AskRemedy | AskClose)


def _symptom_numbers(current: AskSymptoms, left: list[Event]) -> str:
    """The numbers ticked: the run of answers that the record begins with, as far as they were offered."""
    numbers = []
    for event in left:
        if isinstance(event, happened.DangerSeen):
            continue
        if (
            not isinstance(event, happened.Answered)
            or (event.observation, event.value) not in current.offered
        ):
            break
        numbers.append(str(current.offered.index((event.observation, event.value)) + 1))
    return " ".join(numbers) or "none"


def _pass_by(current: object) -> str | None:
    """The reply that leaves no event behind, where the record shows that the person went on elsewhere."""
    match current:
        case AskGo():
            return "yes"
        case AskComplaint() | AskPlate():
            return ""
        case AskFact(required=False):
            return ""
        case AskSymptoms():
            return "none"
        case AskRemedy():
            return "later"
    return None
