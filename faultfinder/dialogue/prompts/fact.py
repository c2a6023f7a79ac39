"""One fact of the machine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.choosing import NotTaken, by_text, option
from faultfinder.dialogue.prompts.line_answers import anything
from faultfinder.dialogue.say import Ask, Said, note
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Prompt, Reply, Talk, after
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.reasoning.evidence.facts import read_fact
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

NOT_KNOWN = ("unknown", "dk", "don't know", "dont know", "not known", "no idea")


@dataclass(frozen=True, slots=True)
class AskFact(Prompt):
    """One fact; `required` when the job cannot go on without it."""

    fact: str
    required: bool
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
        """Why it is asked for before a reading."""
        target = talk.chosen or next(
            (step.target for step in [offers.next_step(talk)] if step is not None), ""
        )
        title = offers.item_of(talk, target).ask if offers.can_be_asked(talk, target) else ""
        return say("fact_needed", title=title.rstrip("?. "))

    def take(self, talk: Talk, line: str) -> Reply:
        """Its value, or that it is not known."""
        fact = offers.fact_of(talk, self.fact)
        if not line or line.casefold() in NOT_KNOWN:
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

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        first = left[0]
        if isinstance(first, happened.FactGiven) and first.fact == self.fact:
            return first.value
        return None if self.required else ""
