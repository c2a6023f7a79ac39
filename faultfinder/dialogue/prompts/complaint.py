"""The customer's own words, and the symptoms that they seem to name."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.hearing.choosing import NOTHING, NotTaken, options_and_words, several
from faultfinder.dialogue.hearing.complaint import certain, matched, near, nearest_answers
from faultfinder.dialogue.hearing.line_parser import Typed
from faultfinder.dialogue.hearing.machine_line import MachineLine, read_machine_line
from faultfinder.dialogue.pages import page_from, question_lines
from faultfinder.dialogue.prompts.machine import anything, facts_told
from faultfinder.dialogue.prompts.which import take, typed_pieces
from faultfinder.dialogue.say import Ask, Line, Said, choice, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Observation
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

_FIGURE = re.compile(r"[0-9]|\bOL\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class AskComplaint(Prompt):
    """The customer's own words."""

    kind: ClassVar[str] = "complaint"
    free: ClassVar[bool] = True

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        return [question(say("complaint_ask"))], Ask(say("label_complaint"), takes="words")

    def take(self, talk: Talk, line: str) -> Reply:
        return heard(talk, line)

    def skip(self, talk: Talk, because: str) -> Reply:
        """Nobody knows: the list of what customers complain of."""
        return heard(talk, "")


@dataclass(frozen=True, slots=True)
class AskSymptoms(Prompt):
    """Which symptoms are complained of; (observation, answer) for each number, a page at a time from `first` on.
    `everything`: the whole list; `ticked`: what was ticked on the pages before; `beside`: readings typed with the
    complaint, taken once that is told."""

    offered: tuple[tuple[str, str], ...]
    everything: bool
    first: int = 0
    ticked: tuple[str, ...] = ()
    beside: str = ""
    kind: ClassVar[str] = "symptoms"
    stays: ClassVar[bool] = True

    @property
    def _asked(self) -> str:
        return say("complaint_list" if self.everything else "complaint_seems")

    def _end(self, talk: Talk) -> int:
        """Where this page ends: as many as a small screen holds, with what stands below them."""
        texts = [symptom_text(talk, *pair) for pair in self.offered]
        below = [say("none_of_these"), *([] if self.everything else [say("more_of_them")])]
        return page_from(texts, self.first, question_lines(self._asked) + len(below), talk.lines)

    def page(self, talk: Talk) -> tuple[tuple[str, str], ...]:
        return self.offered[self.first : self._end(talk)]

    def _more(self, talk: Talk) -> bool:
        return not self.everything or self._end(talk) < len(self.offered)

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        pairs = [(symptom_word(talk, *pair), symptom_text(talk, *pair)) for pair in self.page(talk)]
        pairs.append(("none", say("none_of_these")))
        if self._more(talk):
            pairs.append(("more", say("more_of_them")))
        return choice([question(self._asked)], say("label_numbers"), pairs, "several")

    def take(self, talk: Talk, line: str) -> Reply:
        in_full = {f"{name}:{answer}": word for word, (name, answer) in self._words(talk).items()}
        typed = [in_full.get(part, part) for part in line.split()]
        if " ".join(typed).casefold().strip(" .!") in NOTHING:
            return self._ticked(talk, [])
        if typed and all(part in self._words(talk) for part in typed):
            return self._ticked(talk, typed)
        here = [symptom_word(talk, *pair) for pair in self.page(talk)]
        try:
            chosen = several(" ".join(typed), (*here, "none", *(["more"] if self._more(talk) else [])))
        except NotTaken as refusal:
            numbers, beside = options_and_words(talk, line)
            if numbers and all(part in here or part in map(str, range(1, len(here) + 1)) for part in numbers):
                ticked = (*self.ticked, *several(" ".join(numbers), tuple(here)))
                known = self._words(talk)
                now, events, said = told(talk, [known[word] for word in dict.fromkeys(ticked)], self.beside)
                now, more, asked = heard(now, beside)
                return now, [*events, *more], [*said, *asked]
            if not line.strip(" ,;0123456789"):
                raise  # a number of no symptom here is no reading without its unit
            if matched(symptom_list(talk), line):
                return heard(talk, line)
            return anything(talk, line, refusal)
        return self._ticked(talk, chosen)

    def _words(self, talk: Talk) -> dict[str, tuple[str, str]]:
        """The word that each of all that is offered is chosen by."""
        return {symptom_word(talk, *pair): pair for pair in self.offered}

    def _ticked(self, talk: Talk, chosen: list[str]) -> Reply:
        """What was ticked, added to what was ticked before; the next page where there is more to come."""
        ticked = (*self.ticked, *(word for word in chosen if word not in ("none", "more")))
        if "more" in chosen:
            return replace(talk, current=self._next(talk, ticked)), [], []
        known = self._words(talk)
        return told(talk, [known[word] for word in dict.fromkeys(ticked) if word in known], self.beside)

    def _next(self, talk: Talk, ticked: tuple[str, ...]) -> AskSymptoms:
        if self._end(talk) < len(self.offered):
            return replace(self, first=self._end(talk), ticked=ticked)
        all_ = tuple((item.id, answer.id) for item in symptom_list(talk) for answer in item.answers[1:])
        kept = tuple(word for word in ticked if word in self._words(talk))
        return AskSymptoms(all_, everything=True, ticked=kept, beside=self.beside)

    def before_last(self, talk: Talk) -> Prompt | None:
        """The page before this one, with what was ticked from there on not ticked."""
        if not self.first:
            return replace(self, ticked=()) if self.ticked else None
        page = replace(self, first=0)
        while (end := page._end(talk)) < self.first:
            page = replace(page, first=end)
        kept = {symptom_word(talk, *pair) for pair in self.offered[: page.first]}
        return replace(page, ticked=tuple(word for word in self.ticked if word in kept))

    def skip(self, talk: Talk, because: str) -> Reply:
        return told(talk, [], self.beside)


def symptom_word(talk: Talk, name: str, answer: str) -> str:
    """The word that a symptom is chosen by: its name, with the answer where there is more than one abnormal one."""
    return name if len(talk.pack.observations[name].answers) == 2 else f"{name}:{answer}"


def symptom_text(talk: Talk, name: str, answer: str) -> str:
    """A symptom as an option: its question, with the answer where there is more than one abnormal one."""
    return _with_answer(talk, name, answer, talk.pack.observations[name].ask)


def symptom_list(talk: Talk) -> list[Observation]:
    """What customers of this machine complain of."""
    items = [item for item in talk.pack.observations.values() if item.symptom and item.reading is None]
    return [item for item in items if possible(item.applies, talk.case.facts)]


def heard(talk: Talk, line: str) -> Reply:
    """The customer's words: kept. What they certainly name is taken, and said so; else what they seem to name is
    offered."""
    if line and all(_FIGURE.search(piece) for piece in line.split(";")):  # no customer talks like that
        pieces = typed_pieces(talk, line)
        if all(isinstance(piece, Typed) for piece in pieces):
            return take(talk, pieces)
    symptoms = symptom_list(talk)
    words, facts, beside = _parted(talk, line)
    events: list[Event] = [happened.Complaint(line)] if line else []
    events += [happened.FactGiven(name, value) for name, value in facts.items()]
    known = facts_told(after(talk, events), talk, MachineLine(facts)) if facts else []
    current = talk.current
    if words and not isinstance(current, AskSymptoms) and (sure := certain(symptoms, words)):
        talk, more, said = told(after(talk, events), sure, beside)
        return talk, [*events, *more], [*known, *said]
    meant = symptoms_meant(talk, words)
    if isinstance(current, AskSymptoms):
        beside = "; ".join(filter(None, (current.beside, beside)))
    talk = after(talk, events)
    if not meant.offered:
        return replace(talk, symptoms_done=True, current=Over()), events, known
    return replace(talk, symptoms_done=False, current=replace(meant, beside=beside)), events, known


def complaint_asked(talk: Talk) -> Prompt:
    """The customer's words; where they are written down already and it was not told yet what they mean, as when the
    dangers were gone through in between, what they may mean."""
    if not talk.job.complaint:
        return AskComplaint()
    words, _, beside = _parted(talk, talk.job.complaint)
    meant = symptoms_meant(talk, words)
    return replace(meant, beside=beside) if meant.offered else AskComplaint()


def _parted(talk: Talk, line: str) -> tuple[str, dict[str, str], str]:
    """A complaint with facts and readings behind a `;`: its words, what is known of the machine, and the readings.
    Only what is certain is parted from the words."""
    words: list[str] = []
    facts: dict[str, str] = {}
    readings: list[str] = []
    for part in filter(None, (part.strip() for part in line.split(";"))):
        if ";" not in line or not _FIGURE.search(part):
            words.append(part)
            continue
        pieces = typed_pieces(talk, part)
        items = [talk.pack.observations[each.observation] for each in pieces if isinstance(each, Typed)]
        if len(items) == len(pieces) and all(item.reading is not None for item in items):
            readings.append(part)
            continue
        try:
            found = read_machine_line(talk.pack, talk.case.facts, part)
        except FaultFinderError:
            words.append(part)
        else:
            facts |= found.facts
    return "; ".join(words), facts, "; ".join(readings)


def symptoms_meant(talk: Talk, line: str) -> AskSymptoms:
    """The question which of the symptoms that the customer's words seem to name are really complained of."""
    symptoms, current = symptom_list(talk), talk.current
    names = matched(symptoms, line) if line else []
    if not names and not re.search("[0-9]", line):
        names = near(symptoms, line, _titles_shown_in(talk))
    if names and isinstance(current, AskSymptoms) and not current.everything:
        # More words of the same customer: what they said before is still meant.
        names = list(dict.fromkeys([*(name for name, _ in current.offered), *names]))
    offered = [item for name in names for item in symptoms if item.id == name] or symptoms
    pairs = tuple((item.id, answer) for item in offered for answer in nearest_answers(item, line))
    return AskSymptoms(pairs, everything=not names)


SHOWS_IT = 0.5
"""A fault shows in a symptom where it would be complained of this surely; chosen."""


def _titles_shown_in(talk: Talk) -> dict[str, list[str]]:
    """The titles of the faults that show in each symptom: customers name what they think is wrong as well."""
    causes, shown = talk.pack.causes, talk.case.links.told
    return {
        name: [causes[cause].title for cause, chance in by.items() if chance >= SHOWS_IT]
        for name, by in shown.items()
    }


def told(talk: Talk, pairs: Sequence[tuple[str, str]], beside: str = "") -> Reply:
    """The symptoms complained of, as answers, with their danger signs; then the readings typed beside them."""
    events: list[Event] = []
    signs = []
    for name, answer in pairs:
        events.append(happened.Answered(name, answer, access=""))
        if sign := talk.pack.observations[name].danger.get(answer):
            events.append(happened.DangerSeen(sign))
            signs.append(sign)
    dangers_done = talk.dangers_done
    talk = replace(after(talk, events), symptoms_done=True, current=Over(), dangers_done=dangers_done)
    names = ", ".join(_with_answer(talk, name, answer, f"{name_of(name)}:") for name, answer in pairs)
    text = say("complaint_taken", what=names) if pairs else say("complaint_none")
    said: list[Said] = [Line(text), *present.sign_lines(signs)]
    if not beside:
        return talk, events, said
    talk, more, heard_too = take(talk, typed_pieces(talk, beside))
    return talk, [*events, *more], [*said, *heard_too]


def _with_answer(talk: Talk, name: str, answer: str, text: str) -> str:
    """A text of a symptom, with the answer behind it where there is more than one abnormal one."""
    item = talk.pack.observations[name]
    return text.rstrip(":") if len(item.answers) == 2 else f"{text} {present.answer_text(item, answer)}"
