"""The beginning of a job: the complaint, the danger list, the facts and the plate."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from faultfinder.dialogue import flow, present
from faultfinder.dialogue.choosing import NotTaken, option, several
from faultfinder.dialogue.complaint import matched, nearest_answers
from faultfinder.dialogue.ending import sign_lines
from faultfinder.dialogue.putting import plate_example, symptom_word
from faultfinder.dialogue.say import Line, Said
from faultfinder.dialogue.taking import SAYS_NOTHING, anything, take, typed_pieces
from faultfinder.dialogue.talk import AskSymptoms, Over, Talk, after
from faultfinder.dialogue.typed import Typed, name_of
from faultfinder.dialogue.words import say
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Need, Observation
from faultfinder.reasoning.evidence.facts import possible, read_fact
from faultfinder.safety import gate as safety
from faultfinder.safety.dangers import ASKED

Reply = tuple[Talk, list[Event], list[Said]]


def complaint(talk: Talk, line: str) -> Reply:
    """The customer's words: kept, and the symptoms that they seem to name offered."""
    if _all_readings(line) and all(isinstance(piece, Typed) for piece in typed_pieces(talk, line)):
        return take(talk, typed_pieces(talk, line))
    current = symptoms_meant(talk, line)
    events: list[Event] = [happened.Complaint(line)] if line else []
    talk = after(talk, events)
    return replace(talk, symptoms_done=not current.offered, current=current), events, []


def symptoms_meant(talk: Talk, line: str) -> AskSymptoms:
    """The question which of the symptoms that the customer's words seem to name are really complained of."""
    symptoms = _symptom_list(talk)
    names = matched(symptoms, line) if line else []
    if names and isinstance(talk.current, AskSymptoms) and not talk.current.everything:
        # More words of the same customer: what they said before is still meant.
        names = list(dict.fromkeys([*(name for name, _ in talk.current.offered), *names]))
    offered = [item for name in names for item in symptoms if item.id == name] or symptoms
    pairs = tuple((item.id, answer) for item in offered for answer in nearest_answers(item, line))
    return AskSymptoms(pairs, everything=not names)


def _all_readings(line: str) -> bool:
    """Whether every piece of a line has a figure or OL in it: no customer talks like that."""
    return bool(line) and all(re.search(r"[0-9]|\bOL\b", piece, re.I) for piece in line.split(";"))


def _symptom_list(talk: Talk) -> list[Observation]:
    """What customers of this machine complain of."""
    pack = talk.job.pack
    return [
        item
        for item in pack.observations.values()
        if item.symptom and possible(item.applies, talk.case.facts) and item.reading is None
    ]


def symptoms(talk: Talk, line: str) -> Reply:
    """Which of the symptoms offered are really complained of."""
    assert isinstance(talk.current, AskSymptoms)
    shown = talk.current.offered
    if line.casefold() in ("more", "all") and not talk.current.everything:
        all_ = tuple((item.id, answer.id) for item in _symptom_list(talk) for answer in item.answers[1:])
        return replace(talk, current=AskSymptoms(all_, everything=True)), [], []
    pairs = {symptom_word(talk, name, answer): (name, answer) for name, answer in shown}
    in_full = {f"{name}:{answer}": word for word, (name, answer) in pairs.items()}
    typed = " ".join(in_full.get(part, part) for part in line.split())
    events: list[Event] = []
    try:
        chosen = several(typed, (*pairs, "none"))
    except NotTaken as refusal:
        if matched(_symptom_list(talk), line):
            return complaint(talk, line)
        return anything(talk, line, refusal)
    for word in chosen:
        if word != "none":
            name, answer = pairs[word]
            events.append(happened.Answered(name, answer, access=""))
            sign = talk.job.pack.observations[name].danger.get(answer)
            if sign:
                events.append(happened.DangerSeen(sign))
    dangers_done = talk.dangers_done
    talk = replace(after(talk, events), symptoms_done=True, current=Over(), dangers_done=dangers_done)
    told = [event.observation for event in events if isinstance(event, happened.Answered)]
    if not told:
        return talk, events, [Line(say("complaint_none"))]
    signs = [event.sign for event in events if isinstance(event, happened.DangerSeen)]
    said: list[Said] = [Line(say("complaint_taken", what=", ".join(name_of(name) for name in told)))]
    return talk, events, [*said, *sign_lines(signs)]


def dangers(talk: Talk, line: str) -> Reply:
    """Which of the danger signs are there; none confirms the list."""
    try:
        chosen = several(line, (*ASKED, "none"))
    except NotTaken as refusal:
        return anything(talk, line, refusal)
    signs = [word for word in chosen if word != "none"]
    if not signs:
        events: list[Event] = []
        if any(action.id == "dangers_answered" for action in safety.open_actions(talk.gate)):
            events = [happened.Confirmed("dangers_answered")]
        key = "danger_no_more" if talk.gate.signs else "danger_none"
        return replace(after(talk, events), dangers_done=True), events, [Line(say(key))]
    return danger_reply(talk, signs)


def danger_reply(talk: Talk, signs: Sequence[str]) -> Reply:
    """Danger signs were met: they are written down, the pack's own symptoms for them too, and the person told."""
    events: list[Event] = [happened.DangerSeen(sign) for sign in signs]
    for item in talk.job.pack.observations.values():
        for answer, sign in item.danger.items():
            if (
                sign in signs
                and talk.case.latest(item.id) is None
                and possible(item.applies, talk.case.facts)
            ):
                if item.need is Need.ANYWHERE and item.reading is None:
                    events.append(happened.Answered(item.id, answer))
    now = replace(after(talk, events), dangers_done=True, wanted=None, chosen="", current=Over())
    return now, events, sign_lines(signs)


def fact_reply(talk: Talk, name: str, required: bool, line: str) -> Reply:
    """A fact that was asked for: its value, or that it is not known."""
    fact = flow.fact_of(talk, name)
    asked = talk.facts_asked | {name}
    if not line or line.casefold() in ("unknown", "dk", "don't know", "dont know", "?"):
        if required:
            raise NotTaken(say("choose", words=", ".join(fact.choices) or fact.unit))
        return replace(talk, facts_asked=asked), [], []
    try:
        value = option(line, tuple(fact.choices)) if fact.kind == "choice" else line
        read_fact(fact, value)
    except FaultFinderError as problem:
        return anything(talk, line, NotTaken(str(problem).replace(name, name_of(name))))
    events: list[Event] = [happened.FactGiven(name, value)]
    now = replace(after(talk, events), facts_asked=asked)
    return now, events, present.contradictions_said(now.case, talk.case)


def plate_reply(talk: Talk, line: str) -> Reply:
    """The plate facts of one line, readings among them too."""
    if not line or line.casefold() in SAYS_NOTHING:
        return replace(talk, plate_done=True), [], []
    hint = say("plate_example", example=plate_example(talk))
    now, events, said = anything(talk, line, NotTaken(say("not_understood", text=line[:40], hint=hint)))
    some = any(isinstance(event, happened.FactGiven) for event in events)
    return replace(now, plate_done=some), events, said
