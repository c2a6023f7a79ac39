"""A fact that safety rests on, with choices that safety does not know."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.strength_words import SAFETY_CHOICES


def check(view: View) -> Iterator[Objection]:
    for name, known in SAFETY_CHOICES.items():
        fact = view.pack.facts.get(name)
        if fact is None:
            continue
        allowed = ", ".join(known)
        if fact.kind != "choice":
            yield Objection(view.fact_mark(name), f"{name}: a choice of {allowed}, no number")
        for choice in fact.choices:
            if choice not in known:
                message = f'{name}: "{choice}" says nothing to the safety rules'
                mark = view.fact_mark(name, "choices", choice)
                yield Objection(mark, message, did_you_mean(choice, known))
