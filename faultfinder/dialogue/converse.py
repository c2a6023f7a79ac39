"""A conversation, line by line: (talk, line, time) -> (talk, events to write down, what to say).

Commands first, since they work at any prompt; then the answer to what was asked; then, where a test is asked or
a step is offered, any reading or finding by its name. What is not understood changes nothing and says so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from faultfinder.dialogue import commands, flow, present
from faultfinder.dialogue.beginning import (
    complaint,
    dangers,
    fact_reply,
    plate_reply,
    symptoms,
    symptoms_meant,
)
from faultfinder.dialogue.choosing import NotTaken, by_text, is_option, option
from faultfinder.dialogue.ending import restart, stopped
from faultfinder.dialogue.putting import put, runs_to_show
from faultfinder.dialogue.say import Line, Option, Said, Tone, error, heading, note
from faultfinder.dialogue.taking import elsewhere, take
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
    AskWhich,
    Over,
    Talk,
    Turn,
    WorkOut,
    after,
    case_of,
    first_regret,
)
from faultfinder.dialogue.typed import Typed, name_of
from faultfinder.dialogue.urgent import urgent_heard, urgent_reply
from faultfinder.dialogue.words import minutes_text, say
from faultfinder.dialogue.working import (
    action_reply,
    close,
    correct,
    go,
    handed,
    new_answer,
    remedy,
    remedy_done,
    test_reply,
)
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.state import LOST_SIGN, JobState, marked, replayed
from faultfinder.knowledge.model import Access, Need
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import OPENING_NOTICE

Reply = tuple[Talk, list[Event], list[Said]]


MOST_TYPED = 4_000
"""Characters in one line; more is a paste that went wrong. A long note has 2,000. Chosen."""

STAYING = (AskUrgent, AskWhich, AskCorrect, AskNewAnswer, AskReason, AskSymptoms, AskClose)
"""Prompts that stand until they are answered; all others are chosen anew each time."""


# -- begin and go on ------------------------------------------------------------------------------------


def start(job: JobState, path: str = "", *, resumed: bool = False, work_out: WorkOut = replayed) -> Turn:
    """The opening of a conversation on a new job, or on one that is taken up again. `work_out`: see talk.py."""
    events: list[Event] = []
    talk = Talk(job, case_of(job, work_out=work_out), Over(), path, work_out=work_out)
    if resumed:
        events = [happened.Resumed("taken up again")]
        said: list[Said] = [heading(say("resumed", pack=job.pack.title, job=path))]
        talk = _gone_on_with(talk)
    else:
        said = [heading(say("title", pack=job.pack.title))]
    said.append(Line(OPENING_NOTICE, Tone.CAUTION))
    if path and not resumed:
        said.append(note(say("file", path=path)))
    if job.seen is not None:
        said.append(note(say("seen_used", jobs=job.seen.jobs, weight=f"{job.seen.weight:g}")))
    said.append(note(say("how_to")))
    lost_events, lost_said = lost_to_the_rules(job) if resumed else ([], [])
    events, said = [*events, *lost_events], [*said, *lost_said]
    talk = after(talk, events)
    if resumed and not talk.case.outside:
        talk = replace(talk, worst=max(talk.worst, first_regret(talk)))
        said += [*present.so_far(talk), *present.bar_items(talk)]
    return _turn(talk, events, said)


def lost_to_the_rules(job: JobState) -> tuple[list[Event], list[Said]]:
    """What the record holds and these rules do not know any more is told, and taken for a danger sign until earth and
    insulation pass: the sign to be written down where it is not yet, and the words."""
    if not job.lost:
        return [], []
    said: list[Said] = [Line(say("lost", what="; ".join(job.lost)), Tone.CAUTION)]
    return ([happened.DangerSeen(LOST_SIGN)] if job.lost_open else []), said


def _gone_on_with(talk: Talk) -> Talk:
    """Where a job taken up again stands: what was not answered at its beginning is asked. Whatever shows that the job
    went further answers for it, since nobody is asked out of order."""
    job = talk.job
    symptoms = {item.id for item in job.pack.observations.values() if item.symptom}
    further = bool(
        job.put_right
        or job.remedy
        or job.tests
        or job.gate.access is not Access.AS_FOUND
        or any(each.kind != "fact" and each.name not in symptoms for each in job.given)
    )
    told = any(each.name in symptoms for each in job.given)
    required = {fact.id for fact in job.pack.facts.values() if fact.required}
    talk = replace(
        talk,
        symptoms_done=further or told or job.dangers_told,
        dangers_done=further or job.dangers_told,
        plate_done=further or any(name in job.pack.facts and name not in required for name in job.facts),
    )
    if job.complaint and not talk.symptoms_done and job.closed is None:
        current = symptoms_meant(talk, job.complaint)
        talk = replace(talk, symptoms_done=not current.offered, current=current)
    return talk


def reply(talk: Talk, line: str, at: datetime | None = None) -> Turn:
    """What a typed line leads to. Never raises for anything a person can type."""
    early, first = _pause(talk, at)
    talk = replace(after(talk, early), last_at=at)
    try:
        if len(line) > MOST_TYPED:
            raise NotTaken(say("too_long", count=f"{len(line):,}", most=f"{MOST_TYPED:,}"))
        # Half of a character (a pipe can bring it) cannot be kept: it counts as the sign for what is no character.
        talk, events, said = _understood(talk, re.sub("[\ud800-\udfff]", "\ufffd", line).strip())
    except FaultFinderError as refusal:
        if early:
            # What was asked may no longer stand after a pause: it is chosen anew.
            return _turn(replace(talk, current=Over()), early, [*first, error(str(refusal))])
        return Turn(talk, (), (error(str(refusal)),), talk.asked)
    return _turn(talk, [*early, *events], [*first, *said, *earth_contradiction(talk, events)])


def earth_contradiction(talk: Talk, events: Sequence[Event]) -> list[Said]:
    """A machine said to have no earth after its earth was measured and failed: asked about, and the test stays."""
    said_so = any(
        isinstance(event, happened.FactGiven) and (event.fact, event.value) == ("protection", "class_ii")
        for event in events
    )
    return [Line(say("class_contradicts"), Tone.CAUTION)] if said_so and talk.gate.earth_failed else []


def stamped(events: Sequence[Event], at: datetime, job: JobState) -> list[Event]:
    """The events as they are written down: with the time they were taken at and what they mean for safety in this
    job."""
    text = at.isoformat(timespec="seconds")
    events = [marked(job, event) for event in events]
    return [event if isinstance(event, happened.Expect) else replace(event, at=text) for event in events]


def _turn(talk: Talk, events: list[Event], said: list[Said]) -> Turn:
    """Choose what is asked next and put it. Showing an instruction is an event of its own."""
    leaving = isinstance(talk.current, Over) and talk.chosen == "stop"
    if leaving:
        pass
    elif not isinstance(talk.current, STAYING) or (
        talk.gate.stop and not isinstance(talk.current, AskReason)
    ):
        talk, current = flow.next_current(talk)
        talk = replace(talk, current=current)
    talk, told, ask = put(talk)
    advice = _advice(talk)
    if advice:
        talk = after(talk, advice)
        talk = replace(talk, shown=_shown_need(talk))
    texts = tuple((item.word, item.text) for item in told if isinstance(item, Option))
    ask = replace(ask, texts=texts, names=_names(talk))
    return Turn(replace(talk, asked=ask), (*events, *advice), (*said, *told), ask)


def _names(talk: Talk) -> Mapping[str, tuple[str, ...]]:
    """What may be typed beside the answers, for completion: what can be looked at here and the commands, and what may
    follow a command."""
    pack = talk.job.pack
    items = [name for name, item in pack.observations.items() if possible(item.applies, talk.case.facts)]
    faults = [cause.title for cause in pack.causes.values() if possible(cause.applies, talk.case.facts)]
    return {
        "": (*map(name_of, items), *commands.WORDS),
        commands.ITEM: tuple(map(name_of, items)),
        commands.FAULT: tuple(faults),
        commands.WORD: tuple(pack.glossary),
    }


def _advice(talk: Talk) -> list[Event]:
    match talk.current:
        case AskTest(target, proof):
            need = flow.item_of(talk, target).need
            advice: list[Event] = []
            if need not in (Need.ANYWHERE, Need.COVERS_ON):
                advice.append(happened.Advised(target, str(need)))
            for run in runs_to_show(talk, target) if proof else []:
                advice.append(happened.Advised(run.id, str(Need.IN_USE), work=happened.PROVING_RUN))
            return advice
        case AskRemedyDone(cause):
            need = safety.remedy_need(talk.job.pack.causes[cause])
            if safety.permits(talk.gate, need):
                return [happened.Advised(cause, str(need), work="remedy")]
    return []


def _shown_need(talk: Talk) -> str:
    if isinstance(talk.current, AskTest):
        return str(flow.item_of(talk, talk.current.target).need)
    return talk.shown


def _pause(talk: Talk, at: datetime | None) -> tuple[list[Event], list[Said]]:
    """A pause event when the last line lies too far back, or the clock went back."""
    if at is None or talk.last_at is None or talk.job.closed is not None:
        return [], []
    minutes = (at - talk.last_at).total_seconds() / 60.0
    remedy = talk.job.remedy
    allowed = remedy.minutes if remedy is not None else 0.0
    if isinstance(talk.current, AskTest):
        allowed = max(allowed, flow.item_of(talk, talk.current.target).minutes)
    if 0.0 <= minutes <= max(safety.PAUSE_MINUTES, allowed):
        return [], []
    key = "paused" if minutes > 0 else "clock_back"
    text = say(key, minutes=minutes_text(minutes)) if minutes > 0 else say(key)
    return [happened.Paused(round(minutes, 1), allowed)], [Line(text, Tone.CAUTION)]


# -- one line -------------------------------------------------------------------------------------------


def _understood(talk: Talk, line: str) -> Reply:
    if talk.job.closed is not None:
        raise NotTaken(say("closed", how=talk.job.closed.state, path=talk.path))
    if (urgent := urgent_heard(talk, line)) is not None:
        return urgent
    return _taken(talk, line)


def _taken(talk: Talk, line: str) -> Reply:
    """A line in which nothing urgent was heard, or in which it was not meant."""
    command = None if is_option(talk, line) else commands.find(line)
    if command is not None and not isinstance(talk.current, AskComplaint | AskReason):
        return command(talk, line)
    if command is not None and commands.always(line):
        return command(talk, line)
    line = by_text(talk, line)
    match talk.current:
        case AskComplaint():
            return complaint(talk, line)
        case AskSymptoms():
            return symptoms(talk, line)
        case AskDangers():
            return dangers(talk, line)
        case AskFact(fact, required):
            return fact_reply(talk, fact, required, line)
        case AskPlate():
            return plate_reply(talk, line)
        case AskGo(need, target):
            return go(talk, need, target, line)
        case AskAction(action, _):
            return action_reply(talk, action, line)
        case AskTest(target, _):
            return test_reply(talk, target, line)
        case AskRemedy(cause):
            return remedy(talk, cause, line)
        case AskRemedyDone(cause):
            return remedy_done(talk, cause, line)
        case AskHandOver(cause):
            try:
                option(line, ("ok",))
            except NotTaken as refusal:
                return take(talk, elsewhere(talk, line, refusal))
            return handed(talk, cause)
        case AskWhich(which):
            name = option(line, which.observations)
            return take(replace(talk, current=Over()), [Typed(name, which.answer)])
        case AskCorrect():
            return correct(talk, line)
        case AskNewAnswer(name):
            return new_answer(talk, name, line)
        case AskStopped():
            return stopped(talk, line)
        case AskReason():
            return restart(talk, line)
        case AskClose():
            return close(talk, line)
        case AskUrgent():
            return urgent_reply(talk, line, _taken)
        case Over():
            raise NotTaken(say("not_understood", text=line, hint=""))
    raise AssertionError(talk.current)
