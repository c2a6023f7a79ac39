"""Answers or choices that a person cannot tell apart."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        yield from _twice(
            view,
            observation.id,
            [
                (answer.text, answer.id, view.answer_text_mark(observation, answer.id))
                for answer in observation.answers
            ],
        )
    for fact in view.pack.facts.values():
        choices = [
            (text, name, view.fact_mark(fact.id, "choices", name)) for name, text in fact.choices.items()
        ]
        yield from _twice(view, fact.id, choices)
    for question in view.pack.questions.values():
        marks = {each.id: view.mark(question.id, "choices", each.id) for each in question.choices}
        yield from _twice(
            view, question.id, [(each.text, each.id, marks[each.id]) for each in question.choices]
        )
        first: dict[tuple[tuple[str, str], ...], str] = {}
        for each in question.choices:
            sets = tuple(sorted(each.sets.items()))
            if sets and sets in first:
                message = f"{question.id}: {each.id} sets the same as {first[sets]}"
                yield Objection(marks[each.id], message, "one of them says the other's answers")
            first.setdefault(sets, each.id)


def _twice(view: View, item: str, rows: list[tuple[str, str, Mark]]) -> Iterator[Objection]:
    first: dict[str, str] = {}
    for text, name, mark in rows:
        words = " ".join(text.casefold().split())
        if words in first:
            message = f"{item}: {name} has the same words as {first[words]}"
            yield Objection(mark, message, "say what is different")
        first.setdefault(words, name)
