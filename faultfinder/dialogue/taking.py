"""Readings, findings and facts as they are typed, at whatever question: what they are taken as, and what they change.

All of a line is taken or, where something in it is not understood, nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from faultfinder.dialogue import commands, flow, present
from faultfinder.dialogue.choosing import NotTaken, option
from faultfinder.dialogue.ending import closed_if_it_can_be, sign_lines
from faultfinder.dialogue.putting import plate_example
from faultfinder.dialogue.reading_drawn import drawn
from faultfinder.dialogue.safety_test import counts_as_return_test
from faultfinder.dialogue.say import Line, Said, note
from faultfinder.dialogue.talk import AskWhich, Over, Talk, after
from faultfinder.dialogue.typed import NotUnderstood, Piece, Typed, Which, name_of, read_line
from faultfinder.dialogue.words import say
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import ACCESS_NOT_CONFIRMED, Event
from faultfinder.knowledge.model import Need
from faultfinder.reasoning.evidence.facts import possible, read_fact
from faultfinder.safety import gate as safety

Reply = tuple[Talk, list[Event], list[Said]]
SAYS_NOTHING = ("none", "nothing", "other", "unknown")
"""Choices that mean no one fact, when they stand alone."""


def typed_pieces(talk: Talk, line: str, current: str | None = None) -> list[Piece]:
    """What a typed line says of observations that apply to this machine."""
    items = [item for item in talk.job.pack.observations.values() if possible(item.applies, talk.case.facts)]
    return read_line(items, line, current)


def elsewhere(talk: Talk, line: str, refusal: NotTaken, current: str | None = None) -> list[Piece]:
    """What the line says of other observations, where it is no answer to the question. Raises the refusal, or why
    a reading that was named does not fit."""
    found = typed_pieces(talk, line, current)
    if found and all(isinstance(piece, Typed | Which) for piece in found):
        return found
    for piece in found:
        if isinstance(piece, NotUnderstood) and piece.because:
            raise NotTaken(piece.because)
    raise refusal


def anything(talk: Talk, line: str, refusal: NotTaken) -> Reply:
    """Facts and readings mixed, parted by `;`, where a fact or the plate was asked for. Raises the refusal where a
    piece is neither."""
    events: list[Event] = []
    rest: list[str] = []
    for piece in (part.strip() for part in line.split(";")):
        try:
            fact = _fact_piece(talk, piece) if piece else None
        except FaultFinderError:
            # "hose crushed seen yes" begins like a fact, the diameter of the hose, and is none.
            found = typed_pieces(talk, piece)
            if not found or not all(isinstance(each, Typed) for each in found):
                raise
            fact = None
        if fact is not None:
            events.append(fact)
        elif piece:
            rest.append(piece)
    now = after(talk, events)
    said = _facts_told(now, talk, events)
    if not rest:
        return now, events, said
    now, more, told = take(now, elsewhere(now, "; ".join(rest), refusal))
    return now, [*events, *more], [*said, *told]


def plate_events(talk: Talk, line: str) -> list[Event]:
    """The facts of one typed line, parted by `;`: a name (its beginning will do) and a value. Raises NotTaken."""
    events: list[Event] = []
    for piece in (part.strip() for part in line.split(";")):
        if not piece:
            continue
        fact = _fact_piece(talk, piece)
        if fact is None:
            hint = say("plate_example", example=plate_example(talk))
            raise NotTaken(say("not_understood", text=piece[:40], hint=hint))
        events.append(fact)
    return events


def _fact_piece(talk: Talk, piece: str) -> happened.FactGiven | None:
    """A fact with its value, or a choice that only one fact has; None for anything else."""
    facts = talk.job.pack.facts
    choice = "_".join(piece.casefold().split())
    having = [fact.id for fact in facts.values() if choice in fact.choices]
    if len(having) == 1 and len(choice) > 3 and choice not in SAYS_NOTHING:
        return happened.FactGiven(having[0], choice)
    best = commands.fact_and_value(facts, piece)
    if best is None:
        return None
    name, value = best
    if facts[name].kind == "choice":
        value = option(value, tuple(facts[name].choices))
    read_fact(facts[name], value)
    return happened.FactGiven(name, value)


def _facts_told(now: Talk, before: Talk, events: Sequence[Event]) -> list[Said]:
    """The facts taken, and what of them does not go together."""
    known = ", ".join(f"{name_of(e.fact)} {e.value}" for e in events if isinstance(e, happened.FactGiven))
    said: list[Said] = [Line(say("plate_taken", known=known))] if known else []
    return [*said, *present.contradictions_said(now.case, before.case)]


def take(talk: Talk, pieces: Sequence[Piece]) -> Reply:
    """Take what was typed; all of a line or, where something is not understood, nothing of it."""
    for piece in pieces:
        if isinstance(piece, NotUnderstood):
            raise NotTaken(piece.because or say("not_understood", text=piece.piece[:40], hint="Type help."))
    for piece in pieces:
        if isinstance(piece, Which):
            return replace(talk, current=AskWhich(piece)), [], []
    before = talk.case.confidence()
    events: list[Event] = []
    said: list[Said] = []
    now = talk
    for piece in pieces:
        assert isinstance(piece, Typed)
        now, happening, told = _answer(now, piece)
        events += happening
        said += told
    # Whoever is ending the job is asked for all of the complaint, and goes on looking only if some of it is left.
    answered = [piece.observation for piece in pieces if isinstance(piece, Typed)]
    ending = talk.chosen.startswith("close:") and not flow.still_complained_of(now, answered)
    now = replace(now, chosen=talk.chosen if ending else "", current=Over())
    now, out = flow.changes(now, before, said)
    if ending and not flow.complaints_to_ask(now):
        now, events = closed_if_it_can_be(now, events, talk.chosen.removeprefix("close:"))
    return now, events, out


def _answer(talk: Talk, piece: Typed) -> Reply:
    """One observation answered."""
    item = talk.job.pack.observations[piece.observation]
    answer = next((a.id for a in item.answers if piece.answer.casefold() in (a.id, a.text.casefold())), "")
    access = access_of(talk, item.need)
    reads = "" if answer else piece.answer
    inside = item.need is Need.OPEN_DEAD
    event = happened.Answered(item.id, answer, reads=reads, access=access, inside=inside)
    before = talk.gate.signs
    talk = after(talk, [event])
    given = talk.case.latest(item.id)
    assert given is not None
    judged = talk.case.judged(given)
    said: list[Said] = [present.judged_line(talk.case, item, judged), *drawn(talk.case, item, judged)]
    if access == ACCESS_NOT_CONFIRMED:
        said.append(note(say("not_confirmed")))
    events: list[Event] = [event]
    sign = item.danger.get(judged.answer)
    if sign and not (answer and item.danger.get(answer)):
        events.append(happened.DangerSeen(sign))
        talk = after(talk, events[1:])
    signs = [sign] if sign else [each for each in talk.gate.signs if each not in before]
    said += sign_lines(signs)
    tests, told = counts_as_return_test(talk, item, reads)
    return after(talk, tests), [*events, *tests], [*said, *told]


def access_of(talk: Talk, need: Need) -> str:
    """How the access of an answer is recorded: nothing for what needs none, else confirmed here or not."""
    if need is Need.ANYWHERE:
        return ""
    return str(talk.gate.access) if safety.permits(talk.gate, need) else ACCESS_NOT_CONFIRMED
