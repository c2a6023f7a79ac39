"""One line for the machine: its type, what its plate says, whatever is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.choosing import NotTaken
from faultfinder.dialogue.prompts.line_answers import anything, plate_example
from faultfinder.dialogue.say import Ask, Line, Said, note, options, question
from faultfinder.dialogue.talk import Prompt, Reply, Talk
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Fact
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

SAYS_NOTHING = ("none", "nothing", "unknown", "dk", "don't know", "no")

PASSED = ("later", "skip", "no", "nothing else", "no more", "that's all", "thats all", "that is all")


@dataclass(frozen=True, slots=True)
class AskMachine(Prompt):
    """All that is known of the machine, on one line. Only what kind of machine it is must be said."""

    kind: ClassVar[str] = "machine"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        first = _first(talk)
        example = plate_example(talk)
        said: list[Said] = []
        words: tuple[str, ...] = ()
        if first is not None:
            words = tuple(first.choices)
            key = "machine_ask_first"
            example = f"{name_of(words[0])} {example}"
            said = [question(say(key, ask=first.ask)), *options(list(first.choices.items()))]
        else:
            known = any(name in talk.job.pack.facts for name in talk.job.facts)
            said = [question(say("machine_more" if known else "machine_ask"))]
        said.append(note(say("machine_example", example=example)))
        if outside := _outside(talk):
            said.append(note(say("machine_outside", what=outside)))
        return said, Ask(say("label_machine"), words, takes="line")

    def take(self, talk: Talk, line: str) -> Reply:
        """The facts of one line, readings among them too."""
        if not line or line.casefold().strip(" .") in (*SAYS_NOTHING, *PASSED):
            if (first := _first(talk)) is not None:
                raise NotTaken(say("choose", words=", ".join(map(name_of, first.choices))))
            return replace(talk, machine_done=True), [], _assumed(talk)
        hint = say("machine_example", example=plate_example(talk))
        refusal = NotTaken(say("not_understood", text=line[:40], hint=hint))
        now, events, said = anything(talk, line, refusal, _first(talk))
        some = any(isinstance(event, happened.FactGiven) for event in events)
        done = some and _first(now) is None
        return replace(now, machine_done=done), events, [*said, *(_assumed(now) if done else [])]

    def why(self, talk: Talk) -> list[Said]:
        return [Line(say("machine_why"))]

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "")

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        facts = []
        for event in left:
            if not isinstance(event, happened.FactGiven):
                break
            facts.append(f"{name_of(event.fact)} {event.value}")
        return "; ".join(facts)


def _first(talk: Talk) -> Fact | None:
    """The one fact that must be said: the kind of machine."""
    required = (fact for fact in talk.job.pack.facts.values() if fact.required and fact.class_value is None)
    first = next(required, None)
    if first is None or first.id in talk.job.facts or talk.case.outside:
        return None
    return first if possible(first.applies, talk.case.facts) else None


def _outside(talk: Talk) -> str:
    """What of a machine would put it outside the pack and is not asked for by itself."""
    words = []
    facts = talk.job.pack.facts
    for case in talk.job.pack.outside:
        for name, choices in case.when.items():
            first = _first(talk)
            if name in facts and name not in talk.job.facts and (first is None or name != first.id):
                words += [f"{name_of(name)} {name_of(choice)}" for choice in choices]
    return ", ".join(dict.fromkeys(words))


def _assumed(talk: Talk) -> list[Said]:
    """What stands until somebody says otherwise."""
    if talk.case.outside:
        return []
    facts = [
        say("assumed_fact", name=name_of(fact.id), value=name_of(str(fact.class_value)))
        for fact in offers.assumed_facts(talk)
    ]
    return [note(say("machine_assumed", facts=", ".join(facts)))] if facts else []
