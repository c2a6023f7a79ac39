"""A conversation, line by line: (talk, line, time) -> (talk, events to write down, what to say).

Commands first, since they work at any prompt; then the answer to what was asked; then, where a test is asked or
a step is offered, any reading or finding by its name. What is not understood changes nothing and says so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from faultfinder.dialogue import commands, flow
from faultfinder.dialogue.agenda.ending import over_said
from faultfinder.dialogue.hearing.choosing import NotTaken, by_text, is_option, not_understood
from faultfinder.dialogue.hearing.free_text import unhedged
from faultfinder.dialogue.prompts.complaint import symptoms_meant
from faultfinder.dialogue.prompts.dangers import AskUrgent, unfit_heard, urgent_heard
from faultfinder.dialogue.prompts.which import AskWhich
from faultfinder.dialogue.say import Ask, Line, Option, Said, Tone, error, heading, note
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Over, Reply, Talk, Turn, WorkOut, after, case_of
from faultfinder.dialogue.undoing import remembered
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.state import LOST_SIGN, JobState, marked, replayed
from faultfinder.knowledge.model import Access
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety import gate as safety
from faultfinder.text.catalogue import say
from faultfinder.text.format import closing_words, minutes_text, name_of

MOST_TYPED = 4_000
"""Characters in one line; more is a paste that went wrong. A long note has 2,000. Chosen."""


# -- begin and go on ------------------------------------------------------------------------------------


def start(job: JobState, path: str = "", *, resumed: bool = False, work_out: WorkOut = replayed) -> Turn:
    """The opening of a conversation on a new job, or on one that is taken up again. `work_out`: see talk.py."""
    talk = Talk(job, case_of(job, work_out=work_out), Over(), path, work_out=work_out)
    head = say("resumed", pack=job.pack.title, job=path) if resumed else say("title", pack=job.pack.title)
    said: list[Said] = [heading(head), Line(say("opening_notice"), Tone.CAUTION)]
    if path and not resumed:
        said.append(note(say("file", path=path)))
    if job.seen is not None:
        said.append(note(say("seen_used", jobs=job.seen.jobs, weight=f"{job.seen.weight:g}")))
    said.append(note(say("how_to")))
    if not resumed:
        return _turn(talk, [], said)
    lost, told = lost_to_the_rules(job)
    events = [happened.Resumed(say("note_taken_up_again")), *lost]
    talk = after(_gone_on_with(talk), events)
    so_far = [] if talk.case.outside else [*present.so_far(talk), *present.bar_lines(talk.case)]
    return _turn(talk, events, [*said, *told, *so_far])


def lost_to_the_rules(job: JobState) -> tuple[list[Event], list[Said]]:
    """What the record holds, these rules do not know any more and nobody has dealt with is told, and taken for a
    danger sign until earth and insulation pass: the sign to be written down where it is not yet, and the words."""
    if not job.still_lost:
        return [], []
    said: list[Said] = [Line(say("lost", what="; ".join(each.told for each in job.still_lost)), Tone.CAUTION)]
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
    talk = replace(
        talk,
        symptoms_done=further or told or job.dangers_told,
        dangers_done=further or job.dangers_told,
        machine_done=further or any(name in job.pack.facts for name in job.facts),
    )
    if not job.complaint or talk.symptoms_done or job.closed is not None:
        return talk
    asked = symptoms_meant(talk, job.complaint)
    return replace(talk, current=asked) if asked.offered else replace(talk, symptoms_done=True)


def reply(talk: Talk, line: str, at: datetime | None = None) -> Turn:
    """What a typed line leads to. Never raises for anything a person can type."""
    early, first = _pause(talk, at)
    talk = replace(after(talk, early), last_at=at)
    try:
        if len(line) > MOST_TYPED:
            raise NotTaken(say("too_long", count=f"{len(line):,}", most=f"{MOST_TYPED:,}"))
        # Half of a character (a pipe can bring it) cannot be kept: it counts as the sign for what is no character.
        line = re.sub("[\ud800-\udfff]", "\ufffd", line).strip()
        command = _command(talk, line)
        urgent = urgent_heard(talk, line)
        if urgent is not None:
            command = None
            now, events, said = urgent
        else:
            now, events, said = command(talk, line) if command is not None else _answer(talk, line)
    except FaultFinderError as refusal:
        if early:
            # What was asked may no longer stand after a pause: it is chosen anew.
            return _turn(replace(talk, current=Over()), early, [*first, error(str(refusal))])
        return Turn(talk, (), (error(str(refusal)),), talk.asked)
    if command is not commands.UNDO:
        now = remembered(now, talk, events)
    if command is not None and command.tells and not early and now.current is talk.current:
        # Only something told: what was asked stands, and is not put again underneath.
        return Turn(now, tuple(events), tuple(said), talk.asked)
    return _turn(now, [*early, *events], [*first, *said, *earth_contradiction(talk, now, events)])


def earth_contradiction(before: Talk, talk: Talk, events: Sequence[Event]) -> list[Said]:
    """A machine said to have no earth after its earth was measured and failed, or after it was said to have one:
    asked about. A test that failed stays."""
    facts = [(event.fact, event.value) for event in events if isinstance(event, happened.FactGiven)]
    if ("protection", "class_ii") in facts and talk.gate.earth_failed:
        return [Line(say("class_contradicts"), Tone.CAUTION)]
    if ("protection", "class_ii") in facts and before.job.facts.get("protection") == "class_i":
        return [Line(say("class_said_otherwise"), Tone.CAUTION)]
    return []


def stamped(events: Sequence[Event], at: datetime, job: JobState) -> list[Event]:
    """The events as they are written down: with the time they were taken at and what they mean for safety in this
    job."""
    events = [marked(job, event) for event in events]
    text = at.isoformat(timespec="seconds")
    return [event if isinstance(event, happened.Expect) else replace(event, at=text) for event in events]


def _turn(talk: Talk, events: list[Event], said: list[Said]) -> Turn:
    """Choose what is asked next and put it. Showing an instruction is an event of its own."""
    leaving = isinstance(talk.current, Over) and talk.chosen == "stop"
    if not leaving:
        talk, ending = flow.ended(talk)
        events = [*events, *ending]
        if not talk.current.stays or (talk.gate.stop and not talk.current.free):
            talk, current = flow.next_prompt(talk)
            talk = replace(talk, current=current)
    told, ask = put(talk)
    # A stop is told with what is asked then, and not twice on one screen.
    stops = {item.text for item in told if isinstance(item, Line) and item.tone is Tone.STOP}
    said = [item for item in said if not (isinstance(item, Line) and item.text in stops)]
    advice = talk.current.advised(talk)
    talk = after(talk, advice)
    if advice and isinstance(advice[0], happened.Advised):
        talk = replace(talk, shown=advice[0].access)
    ask = replace(
        ask,
        texts=tuple((item.word, item.text) for item in told if isinstance(item, Option)),
        names=_names(talk),
        kind=talk.current.kind,
        key=talk.current.key(),
        status=present.status(talk),
    )
    return Turn(replace(talk, asked=ask), (*events, *advice), (*said, *told), ask)


def put(talk: Talk) -> tuple[list[Said], Ask]:
    """The prompt of a talk, or its last words."""
    return (over_said(talk), Ask("")) if isinstance(talk.current, Over) else talk.current.put(talk)


def _names(talk: Talk) -> Mapping[str, tuple[str, ...]]:
    """What may be typed beside the answers, for completion: what can be looked at here and the commands, and what may
    follow a command."""
    pack = talk.pack
    items = [name for name, item in pack.observations.items() if possible(item.applies, talk.case.facts)]
    faults = [cause.title for cause in pack.causes.values() if possible(cause.applies, talk.case.facts)]
    return {
        "": (*map(name_of, items), *commands.WORDS),
        commands.ITEM: tuple(map(name_of, items)),
        commands.FAULT: tuple(faults),
        commands.WORD: tuple(pack.glossary),
    }


def _pause(talk: Talk, at: datetime | None) -> tuple[list[Event], list[Said]]:
    """A pause event when the last line lies too far back, or the clock went back."""
    if at is None or talk.last_at is None or talk.job.closed is not None:
        return [], []
    minutes = (at - talk.last_at).total_seconds() / 60.0
    remedy = talk.job.remedy
    allowed = max(remedy.minutes if remedy is not None else 0.0, talk.current.minutes(talk))
    if 0.0 <= minutes <= max(safety.PAUSE_MINUTES, allowed):
        return [], []
    text = say("paused", minutes=minutes_text(minutes)) if minutes > 0 else say("clock_back")
    return [happened.Paused(round(minutes, 1), allowed)], [Line(text, Tone.CAUTION)]


# -- one line -------------------------------------------------------------------------------------------


def _command(talk: Talk, line: str) -> commands.Command | None:
    """The command that a line is here: an option's own word is none, nor what stands among words of one's own."""
    if talk.job.closed is not None:
        raise NotTaken(say("closed", how=closing_words(talk.job.closed.state)))
    figure = talk.asked.takes == "value" and unhedged(line) != line  # 'about 50' is no word for the program
    command = None if figure or is_option(talk, line) else commands.find(line)
    return command if not talk.current.free or commands.always(line) else None


def _answer(talk: Talk, line: str) -> Reply:
    if isinstance(talk.current, Over):
        raise NotTaken(not_understood(line))
    if isinstance(talk.current, AskUrgent) and talk.current.denied(line):
        return _not_meant(talk, talk.current)
    takes = talk.asked.takes
    line = unhedged(line) if takes == "value" else line
    typed = line if takes == "card" else by_text(talk, line, loosely=takes == "several")
    urgent = unfit_heard(talk, line)
    try:
        reply = talk.current.take(talk, typed)
    except NotTaken:
        if urgent is None:
            raise
        return urgent
    asked_back = isinstance(reply[0].current, AskWhich) and not reply[1]
    return urgent if asked_back and urgent is not None else reply


def _not_meant(talk: Talk, urgent: AskUrgent) -> Reply:
    """The line that sounded urgent and was not: what it is at the prompt where it was typed."""
    before = replace(talk, current=urgent.before)
    try:
        command = _command(before, urgent.line)
        if command is not None:
            return command(before, urgent.line)
        return urgent.before.take(before, urgent.line)
    except FaultFinderError:
        # It is no answer to what was asked either: that is asked again.
        now, events, said = urgent.take(talk, "no")
        told = not_understood(urgent.line)
        return now, events, [*said, Line(told, Tone.ERROR)]
