"""A record told again as the conversation it was: the lines a person typed, and what was said to them.

Each event is turned back into the line that would lead to it at that point, the line goes through the
conversation itself, and what comes out must be the recorded events again. So a record, the program and the text
of a demo cannot drift apart unnoticed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import TypeVar

from faultfinder.dialogue.converse import reply, start
from faultfinder.dialogue.hearing.work_told import line_of_work
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose, AskReason, AskStopped
from faultfinder.dialogue.prompts.complaint import AskComplaint, AskSymptoms, symptom_word
from faultfinder.dialogue.prompts.correct import AskCorrect, AskFactAnew, AskNewAnswer, AskTakes, takes_of
from faultfinder.dialogue.prompts.dangers import AskDangers, AskUrgent
from faultfinder.dialogue.prompts.machine import AskFact, AskMachine
from faultfinder.dialogue.prompts.remedy import AskHandOver, AskRemedy, AskRemedyDone
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.trial import AskTrial
from faultfinder.dialogue.say import Ask, Said
from faultfinder.dialogue.talk import Over, Prompt, Talk, Turn
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.state import apply, begin
from faultfinder.knowledge.model import Pack
from faultfinder.safety.actions import ACTIONS
from faultfinder.safety.dangers import LEAVE_NOW
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

T = TypeVar("T", bound=Event)


@dataclass(frozen=True, slots=True)
class Exchange:
    """One exchange: what was asked for, the line typed, and what was said after it."""

    ask: Ask
    line: str
    said: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class Transcript:
    """A conversation: the opening words, its exchanges, and where it came out differently (or '')."""

    opening: tuple[Said, ...]
    told: tuple[Exchange, ...]
    differs: str = ""


MOST_LINES = 2000
"""A record longer than this is no conversation; chosen."""


def retell(pack: Pack, events: Sequence[Event], path: str = "") -> Transcript:
    """Tell a record again. Stops, and says so, where the conversation would not have led to the next event."""
    job = begin(pack)
    for event in events:
        if isinstance(event, happened.MeterUsed):
            job = apply(job, event)
    beside = happened.Expect | happened.Opened | happened.MeterUsed
    left = [_bare(event) for event in events if not isinstance(event, beside)]
    turn = start(job, path)
    opening = turn.said
    told: list[Exchange] = []
    left, odd = _struck(left, turn)
    for _ in range(MOST_LINES):
        if odd or not left or isinstance(turn.talk.current, Over):
            break
        if isinstance(left[0], happened.PictureTaken | happened.PartUsed):
            # Kept beside the conversation, at whatever question: nothing in it hangs on them.
            told.append(Exchange(turn.ask, _beside_it(left[0]), ()))
            left = left[1:]
            continue
        line = _line(turn, left)
        if line is None:
            odd = say("transcript_no_line_leads_from", label=turn.ask.label, left=left[0])
            break
        following = reply(turn.talk, line)
        told.append(Exchange(turn.ask, line, following.said))
        if following.talk == turn.talk and not following.events:
            odd = say("transcript_not_taken_next_in", line=line, left=left[0])
            break
        turn = following
        left, odd = _struck(left, turn)
    if left and not odd:
        odd = say("transcript_left_over", left=left[0])
    return Transcript(opening, tuple(told), odd)


def _beside_it(event: happened.PictureTaken | happened.PartUsed) -> str:
    """What was typed for a picture, but for the place of its file, or for a part."""
    if isinstance(event, happened.PictureTaken):
        return f"photo {event.file} {event.words}".rstrip()
    return f"part {event.part}" + (f" x{event.count:g}" if event.count != 1 else "")


def _bare(event: Event) -> Event:
    if isinstance(event, happened.Answered | happened.Corrected | happened.Chosen):
        event = replace(event, meant=())
    return event if isinstance(event, happened.Expect) else replace(event, at="")


def _struck(left: list[Event], turn: Turn) -> tuple[list[Event], str]:
    """What is left of the record once this turn's events are struck off; and the first that is another."""
    for event in turn.events:
        bare = _bare(event)
        if not left or left[0] != bare:
            return left, say(
                "transcript_came_out_in_record", bare=bare, what=left[0] if left else "nothing more"
            )
        left = left[1:]
    return left, ""


def _line(turn: Turn, left: list[Event]) -> str | None:
    """The line a person would have typed here to get to the next event: the prompt's own, else what can be typed at
    any prompt, else what passes it by."""
    current, event = turn.talk.current, left[0]
    beside = _beside(turn, left)
    if beside is not None:
        return beside
    if isinstance(current, AskCard) and not turn.talk.ending and not turn.talk.gate.stop:
        ticked = (happened.Confirmed, happened.ReturnTested)
        further = next((each for each in left if not isinstance(each, ticked)), None)
        if isinstance(further, happened.Closed):
            return "end"  # whoever did these went no further than to the closing
    own = _answer(current, turn.talk, left)
    if own is not None:
        return own
    match event:
        case happened.Answered(reads=reads, value=value):
            return f"{name_of(event.observation)} {reads or value}"
        case happened.FactGiven():
            return f"plate {name_of(event.fact)} {event.value}"
        case happened.Noted():
            return f"note {event.text}"
        case happened.RemedyLeft():
            return "other" if isinstance(current, AskCard) else "not_done"
        case happened.Confirmed() | happened.ReturnTested() | happened.Closed():
            return _towards_the_end(current, left)
    return "other" if isinstance(current, AskCard) else None


def _beside(turn: Turn, left: list[Event]) -> str | None:
    """The words for events that a prompt of another kind is left for."""
    current, event = turn.talk.current, left[0]
    free = isinstance(current, AskComplaint | AskUrgent)
    if isinstance(current, AskComplaint) and isinstance(event, happened.DangerSeen):
        return next((e.text for e in left if isinstance(e, happened.Complaint | happened.Noted)), "")
    match event:
        case happened.Withdrawn(observation=name) if name in turn.talk.pack.questions:
            return "undo"
        case happened.DangerSeen() if (
            not isinstance(current, AskDangers | AskSymptoms | AskCard) and not free
        ):
            return "danger"
        case happened.Corrected() | happened.Withdrawn() if not isinstance(
            current, AskCorrect | AskTakes | AskNewAnswer
        ):
            return "correct"
    return None


def _answer(current: Prompt, talk: Talk, left: Sequence[Event]) -> str | None:
    """The line that answers what is asked so that the events left of the record come of it; None where none does."""
    match current, left[0]:
        case AskComplaint(), happened.Complaint(text=line):
            return line
        case AskSymptoms() as asked, _:
            return _symptoms(asked, talk, left)
        case AskDangers(), happened.DangerSeen(sign=sign):
            return sign
        case AskDangers(), happened.Confirmed(action="dangers_answered"):
            return "none"
        case AskUrgent(), happened.DangerSeen(sign=sign):
            return "now" if sign in LEAVE_NOW else "earlier"
        case AskUrgent(), _:
            return "no"
        case AskMachine(), _:
            facts = _begins_with(left, happened.FactGiven)
            return "; ".join(f"{name_of(each.fact)} {each.value}" for each in facts)
        case ((AskFact(fact=name) | AskFactAnew(fact=name)), happened.FactGiven(fact=fact, value=line)) if (
            fact == name
        ):
            return line
        case AskTest(target=name), happened.Answered(observation=of, reads=reads, value=value) if of == name:
            return reads or value
        case AskTest(target=name), happened.Chosen(question=of, value=ticked) if of == name:
            return " ".join(ticked)
        case AskTest(target=name), happened.Skipped(observation=of, because=because) if of == name:
            return "dk" if because == "dont_know" else "can't"
        case AskRound(targets=names), happened.Skipped(observation=of, because=because) if of == names[0]:
            return "dk" if because == "dont_know" else "can't"
        case AskRound() as asked, first:
            return _round(asked, talk, left) if _about(first) in asked.targets else None
        case AskTrial(), happened.Noted(text=text) if text == say("note_untried"):
            return "untried"
        case AskTrial() as asked, _:
            return _trial(asked, talk, left)
        case AskCard() as asked, _:
            return _card(asked, left)
        case AskRemedy(cause=name), happened.RemedyStarted(cause=cause) if cause == name:
            return "do"
        case ((AskRemedy(cause=name) | AskRemedyDone(cause=name)), happened.PutRight() as done) if (
            done.cause == name
        ):
            used = _begins_with(left[1:], happened.PartUsed)
            return line_of_work(talk.pack.causes[name], tuple(each.part for each in used), done.minutes)
        case AskRemedy(cause=name), happened.Declined(cause=cause) if cause == name:
            return "cannot"
        case AskHandOver(cause=name), happened.Declined(cause=cause) if cause == name:
            return "ok"
        case AskRemedy(), event:
            return None if isinstance(event, happened.Noted) else "later"
        case AskRemedyDone(), happened.RemedyLeft():
            return "not_done"
        case AskCorrect(), happened.Corrected(observation=name) | happened.Withdrawn(observation=name):
            return name
        case AskTakes(observation=name), _:
            return "all" if len(_taken_back(left, name)) == len(takes_of(talk.case, name)) else "last"
        case AskNewAnswer(observation=name), _:
            new = next(
                (each for each in _taken_back(left, name) if isinstance(each, happened.Corrected)), None
            )
            return (new.reads or new.value) if new is not None else ""
        case AskStopped(), event:
            return "restart" if isinstance(event, happened.Restarted) else "close"
        case AskReason(), happened.Restarted(reason=line):
            return line
        case AskClose(), _:
            return next((event.state for event in left if isinstance(event, happened.Closed)), None)
        case AskFact(required=True), _:
            return None
        case ((AskComplaint() | AskFact() | AskCorrect() | AskFactAnew() | AskReason()), _):
            return ""
    return None


def _taken_back(left: Sequence[Event], name: str) -> list[Event]:
    """What takes the answers to an observation back, up to what stands in their place."""
    out: list[Event] = []
    for event in left:
        ours = isinstance(event, happened.Corrected | happened.Withdrawn) and event.observation == name
        if not ours:
            break
        out.append(event)
        if isinstance(event, happened.Corrected):
            break
    return out


def _begins_with(left: Sequence[Event], kind: type[T]) -> list[T]:
    """The events of that kind before the first that is another."""
    return [
        event for event in takewhile(lambda each: isinstance(each, kind), left) if isinstance(event, kind)
    ]


def _symptoms(asked: AskSymptoms, talk: Talk, left: Sequence[Event]) -> str:
    """The run of answers that the record begins with, as far as they are offered."""
    words = []
    for event in left:
        if isinstance(event, happened.DangerSeen):
            continue
        if not isinstance(event, happened.Answered) or (event.observation, event.value) not in asked.offered:
            break
        words.append(symptom_word(talk, event.observation, event.value))
    here = [symptom_word(talk, *pair) for pair in asked.page(talk)]
    there = [word for word in words if word in here]
    return " ".join(there if there == words else [*there, "more"]) or "none"


def _round(asked: AskRound, talk: Talk, left: Sequence[Event]) -> str:
    parts: list[str] = []
    for event in left:
        if isinstance(event, happened.Answered) and event.observation in asked.targets:
            told = event.reads or event.value
            if told != talk.pack.observations[event.observation].healthy:
                parts.append(f"{asked.targets.index(event.observation) + 1}: {told}")
        elif not isinstance(event, happened.DangerSeen) and _about(event) not in asked.targets:
            break
    return "; ".join(["none", *parts])


def _about(event: Event) -> str:
    match event:
        case happened.Answered(observation=name) | happened.Chosen(question=name):
            return name
    return ""


def _trial(asked: AskTrial, talk: Talk, left: Sequence[Event]) -> str | None:
    still = []
    for (word, name, answer), event in zip(asked.pairs(talk), left, strict=False):
        if not isinstance(event, happened.Answered) or event.observation != name:
            return None
        still += [word] if event.value == answer else []
    return " ".join(still) or "gone"


def _card(asked: AskCard, left: Sequence[Event]) -> str | None:
    parts = []
    for number, (action, event) in enumerate(zip(asked.actions, left, strict=False), 1):
        match event:
            case (
                happened.Confirmed(action=done, outcome=outcome, reads=reads)
                | happened.ReturnTested(test=done, outcome=outcome, reads=reads)
            ) if done == action:
                good = outcome == ACTIONS[action].outcomes[0].id
                parts.append(str(number) if good and not reads else f"{number}: {reads or name_of(outcome)}")
            case _:
                break
    return (", " if any(":" in part for part in parts) else " ").join(parts) or None


def _towards_the_end(current: Prompt, left: list[Event]) -> str | None:
    """The line that leads to safety actions which no step asked for: those on the way to the closing."""
    closed = next((event for event in left if isinstance(event, happened.Closed)), None)
    if closed is None or isinstance(current, AskComplaint | AskSymptoms | AskDangers):
        return None
    return closed.state if isinstance(current, AskClose) else "end"
