"""A spread without a class value."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for fact in view.pack.facts.values():
        if fact.spread and fact.class_value is None:
            message = f"{fact.id}: spread is of the class value, and there is none"
            yield Objection(
                view.fact_mark(fact.id, "spread"), message, "give it a class_value, or leave spread out"
            )
