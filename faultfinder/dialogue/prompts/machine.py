"""What is known of the machine: on one line, a fact by itself, or among readings where something else is asked."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.choosing import NotTaken, by_text, not_understood, option
from faultfinder.dialogue.hearing.line_parser import Typed, Which
from faultfinder.dialogue.hearing.machine_line import MachineLine, NotAFact, read_machine_line
from faultfinder.dialogue.prompts.which import elsewhere, take, typed_pieces
from faultfinder.dialogue.say import Ask, Line, Said, note, options, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Prompt, Reply, Talk, after
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Fact
from faultfinder.reasoning.evidence.facts import possible, read_fact
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of, quoted


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
            found = read_machine_line(talk.pack, now.case.facts, piece, first)
        except FaultFinderError as problem:
            if isinstance(problem, NotAFact) and problem.meant:
                raise NotTaken(str(problem)) from problem
            # "hose crushed seen yes" begins like a fact, the diameter of the hose, and is none.
            pieces = typed_pieces(now, piece)
            if pieces and all(isinstance(each, Typed | Which) for each in pieces):
                rest.append(piece)
                continue
            if isinstance(problem, NotAFact) and (odd := _but_for(now, piece, problem.piece, first)):
                raise NotTaken(say("machine_piece", text=quoted(odd))) from problem
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
            return " ".join(odd) if read_machine_line(talk.pack, talk.case.facts, line, first).facts else ""
        except NotAFact as problem:
            word = "" if problem.meant else problem.piece
        except FaultFinderError:
            return ""
    return ""


def fact_events(talk: Talk, line: str) -> list[Event]:
    """The facts of one typed line. Raises NotTaken."""
    try:
        found = read_machine_line(talk.pack, talk.case.facts, line)
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
    facts = offers.unknown_facts(talk)
    for fact in [fact for fact in facts if "plate" in fact.where.casefold()] or facts:
        if fact.kind == "number" and fact.unit:
            own = fact.class_value
            value = own if isinstance(own, int | float) else round((fact.low + fact.high) / 2)
            parts.append(f"{value:g}{fact.unit}")
    connection = talk.pack.facts.get("connection")
    plug = ["plug"] if connection is not None and "connection" not in talk.job.facts else []
    return " ".join([*plug, *parts[:2]]) or "230V"


SAYS_NOTHING = ("none", "nothing", "unknown", "dk", "don't know", "no")

PASSED = ("later", "skip", "no", "nothing else", "no more", "that's all", "thats all", "that is all")


@dataclass(frozen=True, slots=True)
class AskMachine(Prompt):
    """All that is known of the machine, on one line. Only what kind of machine it is must be said."""

    kind: ClassVar[str] = "machine"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        first, example = _first(talk), plate_example(talk)
        said: list[Said] = []
        words: tuple[str, ...] = ()
        if first is not None:
            words = tuple(first.choices)
            example = f"{name_of(words[0])} {example}"
            said = [question(say("machine_ask_first", ask=first.ask)), *options(first.choices.items())]
        else:
            known = any(name in talk.pack.facts for name in talk.job.facts)
            said = [question(say("machine_more" if known else "machine_ask"))]
        said.append(note(say("machine_example", example=example)))
        if outside := _outside(talk):
            said.append(note(outside))
        return said, Ask(say("label_machine"), words, takes="line")

    def take(self, talk: Talk, line: str) -> Reply:
        """The facts of one line, readings among them too."""
        if not line or line.casefold().strip(" .") in (*SAYS_NOTHING, *PASSED):
            if (first := _first(talk)) is not None:
                raise NotTaken(say("choose", words=", ".join(map(name_of, first.choices))))
            return replace(talk, machine_done=True), [], _assumed(talk)
        hint = say("machine_example", example=plate_example(talk))
        refusal = NotTaken(not_understood(line, hint))
        now, events, said = anything(talk, line, refusal, _first(talk))
        some = any(isinstance(event, happened.FactGiven) for event in events)
        done = some and _first(now) is None
        return replace(now, machine_done=done), events, [*said, *(_assumed(now) if done else [])]

    def why(self, talk: Talk) -> list[Said]:
        return [Line(say("machine_why"))]

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "")


def _first(talk: Talk) -> Fact | None:
    """The one fact that must be said: the kind of machine."""
    required = (fact for fact in talk.pack.facts.values() if fact.required and fact.class_value is None)
    first = next(required, None)
    if first is None or first.id in talk.job.facts or talk.case.outside:
        return None
    return first if possible(first.applies, talk.case.facts) else None


def _outside(talk: Talk) -> str:
    """What of a machine would put it outside the pack and is not asked for by itself: the question, and what to type
    where the answer is such a one."""
    first, facts = _first(talk), talk.pack.facts
    asked = [
        (facts[name], choice)
        for case in talk.pack.outside
        for name, choices in case.when.items()
        if name in facts and name not in talk.job.facts and (first is None or name != first.id)
        for choice in choices
    ]
    return " ".join(
        say("machine_outside", ask=fact.ask, answer=fact.choices[choice], what=_typed(fact, choice))
        for fact, choice in asked
    )


def _typed(fact: Fact, choice: str) -> str:
    return f"{name_of(fact.id)} {name_of(choice)}"


def _assumed(talk: Talk) -> list[Said]:
    """What stands until somebody says otherwise."""
    if talk.case.outside:
        return []
    facts = [
        say("assumed_fact", name=name_of(fact.id), value=name_of(str(fact.class_value)))
        for fact in offers.unknown_facts(talk)
        if fact.required and fact.class_value is not None
    ]
    return [note(say("machine_assumed", facts=", ".join(facts)))] if facts else []


NOT_KNOWN = ("unknown", "dk", "don't know", "dont know", "not known", "no idea", "skip", "later", "not sure")


@dataclass(frozen=True, slots=True)
class AskFact(Prompt):
    """One fact; `required` when the job cannot go on without it, `reading` where one was taken that hangs on it."""

    fact: str
    required: bool
    reading: str = ""
    kind: ClassVar[str] = "fact"
    of: ClassVar[str] = "fact"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        fact = offers.fact_of(talk, self.fact)
        said = present.fact_said(fact)
        if not self.required:
            said.insert(1, note(self._needed(talk)))
        words = (*fact.choices, *(() if self.required else ("unknown",)))
        takes = "one" if fact.kind == "choice" else "value"
        return said, Ask(name_of(self.fact), words, takes=takes, unit=fact.unit)

    def _needed(self, talk: Talk) -> str:
        """Why it is asked for before a reading, or after one."""
        step = None if self.reading else offers.next_step(talk)
        target = self.reading or talk.chosen or (step.target if step is not None else "")
        title = offers.item_of(talk, target).ask if offers.can_be_asked(talk, target) else ""
        return say("fact_needed", title=title.rstrip("?. "))

    def take(self, talk: Talk, line: str) -> Reply:
        """Its value, or that it is not known."""
        fact = offers.fact_of(talk, self.fact)
        if not line or line.casefold().strip(" .") in NOT_KNOWN:
            if self.required:
                raise NotTaken(say("choose", words=", ".join(map(name_of, fact.choices)) or fact.unit))
            return replace(talk, facts_asked=talk.facts_asked | {self.fact}), [], []
        try:
            value = line
            if fact.kind == "choice":
                value = option(by_text(talk, line, loosely=True), tuple(fact.choices))
            read_fact(fact, value)
        except FaultFinderError as problem:
            return anything(talk, line, NotTaken(str(problem).replace(self.fact, name_of(self.fact))))
        events: list[Event] = [happened.FactGiven(self.fact, value)]
        now = replace(after(talk, events), facts_asked=talk.facts_asked | {self.fact})
        return now, events, present.contradictions_said(now.case, talk.case)

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "")
