"""Which earlier answer is wrong, and what stands in its place."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.choosing import NotTaken, likeliest, not_understood, option
from faultfinder.dialogue.say import Ask, Line, Said, Tone, choice, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Observation
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import Given
from faultfinder.reasoning.evidence.facts import read_fact
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

AT_ONCE = 9
"""Answers on one page, the latest first; chosen for a small screen."""


class _Correcting(Prompt):
    """Stands until it is answered; passed over, all stays as it was."""

    __slots__ = ()
    stays: ClassVar[bool] = True

    def skip(self, talk: Talk, because: str) -> Reply:
        return replace(talk, current=Over()), [], []


@dataclass(frozen=True, slots=True)
class AskCorrect(_Correcting):
    """Which earlier answer is to be corrected; a page at a time, the latest first. only: those that a word fits."""

    first: int = 0
    only: tuple[str, ...] = ()
    kind: ClassVar[str] = "correct"

    def _names(self, talk: Talk) -> list[str]:
        names = [given.observation for given in reversed(offers.latest(talk))]
        return [name for name in names if name in self.only] if self.only else names

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        latest = {given.observation: given.text for given in offers.latest(talk)}
        names, more = self._page(talk)
        pairs = [(name, f"{name_of(name)}: {latest[name]}") for name in names]
        pairs += [(word, say("correct_more")) for word in more]
        return choice([question(say("correct_ask"))], say("label_correct"), pairs)

    def _page(self, talk: Talk) -> tuple[list[str], list[str]]:
        """The answers of this page, and the word that leads on where there are others."""
        names = self._names(talk)[self.first :]
        return names[:AT_ONCE], ["more"] if len(names) > AT_ONCE else []

    def take(self, talk: Talk, line: str) -> Reply:
        if not line or line.casefold() in ("none", "no"):
            return replace(talk, current=Over()), [], []
        names, more = self._page(talk)
        try:
            name = option(line, (*names, *more))
        except NotTaken:
            if line.isdecimal():
                raise
            name = option(line, tuple(self._names(talk)))
        if name == "more":
            return replace(talk, current=replace(self, first=self.first + AT_ONCE)), [], []
        return correction(talk, name), [], []


def correction(talk: Talk, name: str, value: str = "") -> Talk:
    """The talk that asks what is asked first for a correction: which answer is wrong, where several to one
    observation count, else the new one. value: what was typed as the new answer already."""
    given = talk.case.latest(name)
    several = given is not None and given.take > 0
    return replace(talk, current=AskTakes(name, value) if several else AskNewAnswer(name))


TAKES = ("last", "before", "all")
BOTH = ("both", "each")
"""Words for all of the answers to one observation."""


@dataclass(frozen=True, slots=True)
class AskTakes(_Correcting):
    """Which of several answers to one observation, each of which counts, is wrong: the last, all before it (the last
    then stands alone), or all. value: the new answer, where it was typed with the correction."""

    observation: str
    value: str = ""
    kind: ClassVar[str] = "takes"
    of: ClassVar[str] = "observation"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        answers = [present.as_given(talk.case, given) for given in takes_of(talk.case, self.observation)]
        text = say("takes_ask", name=name_of(self.observation), answers="; ".join(answers))
        # No option repeats an answer: typed by itself it may be what is wrong or what it really is.
        pairs = [(word, say(f"takes_{word}")) for word in TAKES]
        return choice([question(text)], say("label_correct"), pairs)

    def take(self, talk: Talk, line: str) -> Reply:
        plain = line.casefold().strip(" .!")
        if plain in ("", "none", "no"):
            return replace(talk, current=Over()), [], []
        try:
            word = "all" if plain in BOTH else option(line, TAKES)
        except NotTaken as refusal:
            return self._what_it_is(talk, line, refusal)
        every = word != "last"
        if word == "before":
            stands = takes_of(talk.case, self.observation)[-1]
            return new_answer(talk, self.observation, stands.answer or stands.text, every)
        if self.value:
            return new_answer(talk, self.observation, self.value, every)
        return replace(talk, current=AskNewAnswer(self.observation, every)), [], []

    def _what_it_is(self, talk: Talk, line: str, refusal: NotTaken) -> Reply:
        """Whoever says what it really is, and not which answer was wrong, says it against all of them; an answer that
        was given may be what is wrong."""
        try:
            now, events, said = new_answer(talk, self.observation, line, every=True)
        except FaultFinderError:
            raise refusal from None
        given = takes_of(talk.case, self.observation)
        if {each.answer or each.text for each in takes_of(now.case, self.observation)}.isdisjoint(
            each.answer or each.text for each in given
        ):
            return now, events, said
        raise refusal


def takes_of(case: Case, name: str) -> list[Given]:
    """The answers to an observation that count together now, the last one last."""
    given = [each for each in case.answers if each.observation == name]
    epoch = max((each.epoch for each in given), default=0)
    return sorted((each for each in given if each.epoch == epoch), key=lambda each: each.take)


@dataclass(frozen=True, slots=True)
class AskNewAnswer(_Correcting):
    """The new answer to an observation; `every`: instead of all that count, not of the last one only."""

    observation: str
    every: bool = False
    kind: ClassVar[str] = "new_answer"
    of: ClassVar[str] = "observation"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        given = talk.case.latest(self.observation)
        text = say("correct_new", name=name_of(self.observation), old=given.text if given else "")
        item = talk.pack.observations[self.observation]
        words = tuple(answer.id for answer in item.answers)
        takes, unit = ("value", item.reading.unit) if item.reading is not None else ("one", "")
        ask = Ask(say("label_new_answer"), words, takes=takes, unit=unit)
        return [question(text), *present.test_options(item)], ask

    def take(self, talk: Talk, line: str) -> Reply:
        return new_answer(talk, self.observation, line, self.every)


@dataclass(frozen=True, slots=True)
class AskFactAnew(_Correcting):
    """A fact of the machine, said anew."""

    fact: str
    kind: ClassVar[str] = "fact_anew"
    of: ClassVar[str] = "fact"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        fact = offers.fact_of(talk, self.fact)
        old = name_of(talk.job.facts.get(self.fact, say("not_given")))
        said: list[Said] = [question(say("fact_anew", ask=fact.ask, old=old)), *present.fact_options(fact)]
        takes = "one" if fact.kind == "choice" else "value"
        return said, Ask(name_of(self.fact), (*fact.choices, "unknown"), takes=takes, unit=fact.unit)

    def take(self, talk: Talk, line: str) -> Reply:
        fact = offers.fact_of(talk, self.fact)
        if not line or line.casefold() == "unknown":
            value = "unknown"
        else:
            value = option(line, tuple(fact.choices)) if fact.kind == "choice" else line
            read_fact(fact, value)
        event = happened.FactGiven(self.fact, value)
        now = replace(after(talk, [event]), current=Over())
        taken = say("machine_taken", known=f"{name_of(self.fact)} {name_of(value)}")
        said = [Line(taken, Tone.CHANGE), *present.contradictions_said(now.case, talk.case)]
        return offers.changes(now, talk.case.confidence(), [event], said)


def new_answer(talk: Talk, name: str, line: str, every: bool = False) -> Reply:
    """What stands in the place of the last answer, or of `every` one that counts; an empty line: it is taken back."""
    before = talk.case.confidence()
    events: list[Event] = []
    if name in talk.pack.questions:
        # All that was chosen in a list, at once.
        taken, what = happened.Withdrawn(name), talk.pack.questions[name].ask.rstrip("?.")
        now = replace(after(talk, [taken]), current=Over())
        return offers.changes(now, before, [taken], [Line(say("taken_back", name=what), Tone.CHANGE)])
    item = talk.pack.observations[name]
    for _ in takes_of(talk.case, name)[1:] if every else ():
        events.append(happened.Withdrawn(name))
    talk = after(talk, events)
    if not line:
        event: Event = happened.Withdrawn(name)
        told = say("taken_back", name=name_of(name))
    else:
        words = tuple(answer.id for answer in item.answers)
        try:
            event = happened.Corrected(name, option(line, words))
        except NotTaken as refusal:
            if item.reading is None:
                raise _or_meant(item, line) or refusal from refusal
            event = happened.Corrected(name, reads=line)
        answer = event.reads or present.answer_text(item, event.value)
        told = say("corrected", name=name_of(name), answer=answer.rstrip("."))
    talk = replace(after(talk, [event]), current=Over())
    said: list[Said] = [Line(told, Tone.CHANGE)]
    events.append(event)
    given = talk.case.latest(name) if line else None
    if given is not None and (sign := item.danger.get(talk.case.judged(given).answer)):
        # An answer's own sign goes with the correction; a reading's only with the band that it falls into.
        if isinstance(event, happened.Corrected) and event.reads:
            events.append(happened.DangerSeen(sign))
            talk = after(talk, events[-1:])
        said += present.sign_lines([sign])
    return offers.changes(talk, before, events, said)


def _or_meant(item: Observation, line: str) -> NotTaken | None:
    """A refusal that names the answer which a line in other words comes nearest to; None for no such answer."""
    answers = present.answers_of(item)
    if not (near := likeliest(answers, line)):
        return None
    number = [word for word, _ in answers].index(near) + 1
    hint = say("correct_meant", option=present.answer_text(item, near).rstrip("."), number=number)
    return NotTaken(not_understood(line, hint))
