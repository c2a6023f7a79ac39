"""How things are asked: questions, answers, choices, titles and drawings that a person reads and tells apart."""

from __future__ import annotations

import re
import textwrap
import unicodedata
from collections.abc import Hashable, Iterable, Iterator
from typing import TypeVar

from faultfinder.knowledge.analysis.machines import together
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.registry import warning
from faultfinder.knowledge.formulas.expression import names_in
from faultfinder.knowledge.model import Kind, Mark, Need, Observation, Question
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.keys import FACT, FILE, OBSERVATION, QUESTION, TABLES
from faultfinder.knowledge.schema.read import inner_names
from faultfinder.knowledge.schema.value_types import quoted

Thing = TypeVar("Thing")


@warning("yes-first", "ask for the trouble with answers: yes_no, or call the answers by what is seen")
def yes_is_the_healthy_answer(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if observation.answers and observation.answers[0].id == "yes":
            message = f'{observation.id}: "yes" stands first, so yes is the healthy answer'
            yield Objection(view.answer_mark(observation, "yes"), message)


COLUMNS = 38
"""Columns of text on a screen of 40. Chosen: one free on either side."""
LINES = {"ask": 3, "answers": 2, "title": 2, "remedy": 2, "choices": 2}
"""Most lines of a text by its key. Chosen."""


@warning("too-wide")
def does_not_fit_a_narrow_screen(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        drawing = observation.probes.drawing if observation.probes is not None else ""
        widest = max(map(_width, drawing.split("\n")))
        if widest > COLUMNS:
            says = f"the drawing is {widest} columns wide; {COLUMNS} fit"
            yield view.objection(observation.id, "probes", "drawing", says=says, hint="draw it narrower")
    for said in view.said:
        longest = max(said.text.split(), key=_width, default="")
        if _width(longest) > COLUMNS:
            message = f"{said.item}: the word {quoted(longest)} has {_width(longest)} columns; {COLUMNS} fit"
            yield Objection(said.mark, message, "split it")
        elif said.key in LINES:
            most, lines = LINES[said.key], len(textwrap.wrap(" ".join(said.text.split()), COLUMNS))
            if lines > most:
                message = f"{said.item}: {said.key} takes {lines} lines of {COLUMNS} columns; {most} at most"
                yield Objection(said.mark, message, "shorten it; the rest can go under how or why")


def _width(text: str) -> int:
    """Columns a text takes on a terminal: wide letters two, marks that stand on others none."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(letter) else 2 if unicodedata.east_asian_width(letter) in "WF" else 1
        for letter in text
    )


@warning("several-healthy", "leave it out; what is not ticked can become healthy")
def tick_sets_a_healthy_answer(view: View) -> Iterator[Objection]:
    for question in view.pack.questions.values():
        for choice in question.choices if question.several else ():
            for name, answer in choice.sets.items():
                if answer == view.pack.observations[name].healthy:
                    says = f'the tick "{choice.id}" sets {name} to its healthy answer'
                    yield view.objection(question.id, "choices", choice.id, "sets", name, says=says)


@warning("choice-missing", "add a choice for it")
def choices_leave_out_what_could_be_wrong(view: View) -> Iterator[Objection]:
    for question in view.pack.questions.values():
        for name in question.observations if question.several else ():
            item = view.pack.observations.get(name)
            missing = " or ".join(question.left_out(item)) if item is not None else ""
            if missing:
                says = f'no choice stands for {name}: {missing}, so "none of the others" says nothing of it'
                yield view.objection(question.id, "choices", says=says)


def _again(rows: Iterable[tuple[Hashable, Thing]]) -> Iterator[tuple[Thing, Thing]]:
    """Things whose words an earlier one has, each with that one. rows: (words, thing)."""
    first: dict[Hashable, Thing] = {}
    for words, thing in rows:
        if words and words in first:
            yield thing, first[words]
        first.setdefault(words, thing)


@warning("same-title", "say what is different")
def two_causes_have_the_same_title(view: View) -> Iterator[Objection]:
    causes = view.pack.causes.values()
    for cause, other in _again((cause.title.casefold(), cause) for cause in causes):
        yield view.objection(cause.id, "title", says=f"{other.id} has the same title")


@warning("no-instrument", "add needs: (needs: [] where it takes none)")
def reading_names_no_instrument(view: View) -> Iterator[Objection]:
    for item, spec in view.readings:
        if spec.quantity != "time" and not item.instruments and not view.given(item.id, "needs"):
            yield view.objection(item.id, says="the reading names no instrument")


@warning("symptom-measured", "leave symptom out; what the customer notices is an observation of kind told")
def no_customer_tells_it(view: View) -> Iterator[Objection]:
    for item in view.asked:
        inside = item.need in (Need.ISOLATED, Need.OPEN_DEAD)
        if item.symptom and (inside or item.kind is Kind.READING):
            what = "measured" if item.kind is Kind.READING else f"found with access {item.need}"
            says = f"symptom: yes, but it is {what}, and no customer tells it"
            yield view.objection(item.id, "symptom", says=says)


@warning("same-question", "say what is different")
def two_questions_in_the_same_words(view: View) -> Iterator[Objection]:
    seen: dict[str, list[Observation | Question]] = {}
    for item in view.asked:
        words = _plain_words(item.ask)
        for other in seen.get(words, []):
            if words and together(item.applies, other.applies) is not None and not _apart(item, other):
                says = f"{other.id} asks the same in the same words"
                yield view.objection(item.id, "ask", says=says)
                break
        seen.setdefault(words, []).append(item)
    facts = view.pack.facts.values()
    for fact, first in _again((_plain_words(fact.ask), fact) for fact in facts):
        message = f"{fact.id}: {first.id} asks the same in the same words"
        yield Objection(view.fact_mark(fact.id, "ask"), message)


def _plain_words(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold()))


def _apart(one: Observation | Question, other: Observation | Question) -> bool:
    """Whether their gates never open together."""
    shared = one.only_if.keys() & other.only_if.keys()
    return any(not set(one.only_if[name]) & set(other.only_if[name]) for name in shared)


@warning("same-answer", "say what is different")
def answers_a_person_cannot_tell_apart(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        rows = [(a.text, a.id, view.answer_text_mark(observation, a.id)) for a in observation.answers]
        yield from _same_words(observation.id, rows)
    for fact in view.pack.facts.values():
        rows = [(text, name, view.fact_mark(fact.id, "choices", name)) for name, text in fact.choices.items()]
        yield from _same_words(fact.id, rows)
    for question in view.pack.questions.values():
        marks = {each.id: view.mark(question.id, "choices", each.id) for each in question.choices}
        yield from _same_words(
            question.id, [(each.text, each.id, marks[each.id]) for each in question.choices]
        )
        for each, first in _again((tuple(sorted(each.sets.items())), each) for each in question.choices):
            message = f"{question.id}: {each.id} sets the same as {first.id}"
            yield Objection(marks[each.id], message, "one of them says the other's answers")


def _same_words(item: str, rows: list[tuple[str, str, Mark]]) -> Iterator[Objection]:
    by_words = ((" ".join(text.casefold().split()), (name, mark)) for text, name, mark in rows)
    for (name, mark), (first, _) in _again(by_words):
        yield Objection(mark, f"{item}: {name} has the same words as {first}")


_NAMED_INSIDE = (
    ("observations", OBSERVATION, ("answers", "bands", "let")),
    ("facts", FACT, ("choices",)),
    ("asks", QUESTION, ("choices",)),
)


@warning("key-as-name")
def name_is_like_a_key(view: View) -> Iterator[Objection]:
    """An answer, band, choice or `let`: mostly a key that slipped too far right."""
    for section, table, keys in _NAMED_INSIDE:
        for entry in view.gathered.entries(section):
            for key in keys:
                for name in inner_names(entry.values.node, key):
                    if table.key(name.text) is None or (key == "let" and _used(view, entry.id, name.text)):
                        continue
                    message = f"{entry.id}: {name.text} is a name here, under {key}"
                    hint = f"if the key {name.text} is meant, line it up with {key}; else take another name"
                    yield Objection(name.mark, message, hint)
    for section, pairs in (("instruments", view.gathered.instruments), ("glossary", view.gathered.glossary)):
        for word, _ in pairs:
            if FILE.key(word.text) is not None:
                message = f"{word.text} is a name here, under {section}"
                hint = f"if the part {word.text} is meant, begin it at the margin; else take another name"
                yield Objection(word.mark, message, hint)


def _used(view: View, item: str, name: str) -> bool:
    """A let called expected is usual, where a limit uses it."""
    spec = view.pack.observations[item].reading
    texts = [text for text in spec.expressions if text != spec.one_use_kwh] if spec is not None else []
    return any(name in names_in(text) for text in texts)


@warning("key-in-text")
def indentation_has_made_a_key_part_of_a_text(view: View) -> Iterator[Objection]:
    known = {key.name for table in TABLES for key in table.keys} | {
        entry.id for entries in view.gathered.sections.values() for entry in entries if "_" in entry.id
    }
    for key, text in view.gathered.texts():
        for line, mark in text.lines_below() if key.text != "drawing" else ():
            found = _KEY.match(line)
            if found is not None and (found[1] in known or ("_" in found[1] and not found[2])):
                message = f"{found[1]}: stands inside the text of {key.text}, and means nothing there"
                yield Objection(mark, message, f"line it up with {key.text}")
                break


_KEY = re.compile(r"([a-z][a-z0-9_]*):(?: +(\S.*))?$")


@warning("same-words")
def customers_words_stand_under_two_observations(view: View) -> Iterator[Objection]:
    first: dict[str, str] = {}
    for observation in view.pack.observations.values():
        for number, words in enumerate(observation.said):
            plain = " ".join(words.casefold().split())
            other = first.setdefault(plain, "")
            mark = view.mark(observation.id, "said", str(number))
            if other == observation.id:
                yield Objection(mark, f'{observation.id}: said has "{words}" twice', "leave one out")
            elif other:
                if together(observation.applies, view.pack.observations[other].applies) is not None:
                    message = f'{observation.id}: "{words}" is said of {other} as well'
                    yield Objection(mark, message, "leave it with the one that it means")
            else:
                first[plain] = observation.id
