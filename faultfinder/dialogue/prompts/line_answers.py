"""Facts, readings and findings mixed, as they are typed where a fact, the machine or the danger list is asked for."""

from __future__ import annotations

import re

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.choosing import NotTaken
from faultfinder.dialogue.hearing.line_parser import Typed, Which
from faultfinder.dialogue.hearing.machine_line import MachineLine, NotAFact, read_machine_line
from faultfinder.dialogue.hearing.pieces import elsewhere, typed_pieces
from faultfinder.dialogue.prompts.which import take
from faultfinder.dialogue.say import Line, Said, note
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Reply, Talk, after
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Fact
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of


def anything(talk: Talk, line: str, refusal: NotTaken, first: Fact | None = None) -> Reply:
    """Facts and readings mixed, parted by `;`, where a fact or the machine was asked for. `first`: the fact whose
    choices were numbered. Raises the refusal where a piece is neither."""
    events: list[Event] = []
    rest: list[str] = []
    told = MachineLine({})
    now = talk
    for piece in (part.strip() for part in line.split(";")):
        if not piece:
            continue
        try:
            found = read_machine_line(talk.job.pack, now.case.facts, piece, first)
        except FaultFinderError as problem:
            if isinstance(problem, NotAFact) and problem.meant:
                raise NotTaken(str(problem)) from problem
            # "hose crushed seen yes" begins like a fact, the diameter of the hose, and is none.
            pieces = typed_pieces(now, piece)
            if pieces and all(isinstance(each, Typed | Which) for each in pieces):
                rest.append(piece)
                continue
            if isinstance(problem, NotAFact) and (odd := _but_for(now, piece, problem.piece, first)):
                raise NotTaken(say("machine_piece", text=odd[:40])) from problem
            if isinstance(problem, NotAFact):
                # It may be a reading with something wrong about it; else the refusal stands.
                elsewhere(now, piece, refusal)
            raise NotTaken(str(problem)) from problem
        more: list[Event] = [happened.FactGiven(name, value) for name, value in found.facts.items()]
        now = after(now, more)
        events += more
        told = MachineLine(
            {**told.facts, **found.facts}, (*told.beside, *found.beside), (*told.read_as, *found.read_as)
        )
    said = facts_told(now, talk, told)
    if not rest:
        return now, events, said
    now, also, heard = take(now, elsewhere(now, "; ".join(rest), refusal))
    return now, [*events, *also], [*said, *heard]


MOST_ODD = 3
"""Words of a line about the machine that are named as not understood; with more it is about something else."""


def _but_for(talk: Talk, line: str, word: str, first: Fact | None) -> str:
    """The few words but for which a line would be taken; empty where there are no such."""
    odd: list[str] = []
    while word and len(odd) < MOST_ODD:
        rest = re.sub(rf"(?<!\S){re.escape(word)}(?![^\s,;])", " ", line, count=1)
        if rest == line:
            return ""
        odd, line = [*odd, word], rest
        try:
            return (
                " ".join(odd) if read_machine_line(talk.job.pack, talk.case.facts, line, first).facts else ""
            )
        except NotAFact as problem:
            word = "" if problem.meant else problem.piece
        except FaultFinderError:
            return ""
    return ""


def fact_events(talk: Talk, line: str) -> list[Event]:
    """The facts of one typed line. Raises NotTaken."""
    try:
        found = read_machine_line(talk.job.pack, talk.case.facts, line)
    except FaultFinderError as problem:
        raise NotTaken(str(problem)) from problem
    return [happened.FactGiven(name, value) for name, value in found.facts.items()]


def facts_told(now: Talk, before: Talk, line: MachineLine) -> list[Said]:
    """The facts taken, and what of them does not go together."""
    known = ", ".join(f"{name_of(name)} {name_of(value)}" for name, value in line.facts.items())
    said: list[Said] = [Line(say("machine_taken", known=known))] if known else []
    said += [note(say("machine_read_as", typed=typed, meant=meant)) for typed, meant in line.read_as]
    if line.beside:
        said.append(note(say("machine_beside", what=", ".join(line.beside))))
    return [*said, *present.contradictions_said(now.case, before.case)]


def plate_example(talk: Talk) -> str:
    """Two plate facts with values, from the pack itself."""
    parts = []
    for fact in offers.on_the_plate(talk):
        if fact.kind == "number" and fact.unit:
            own = fact.class_value
            value = own if isinstance(own, int | float) else round((fact.low + fact.high) / 2)
            parts.append(f"{value:g}{fact.unit}")
    connection = talk.job.pack.facts.get("connection")
    plug = ["plug"] if connection is not None and "connection" not in talk.job.facts else []
    return " ".join([*plug, *parts[:2]]) or "230V"
