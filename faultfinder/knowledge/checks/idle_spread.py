"""A spread without a class value."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "idle-spread",
    WARNING,
    "a spread of nothing",
    "spread says how far the class value may be off. Without a class value it does nothing; and a "
    "class value that is a mere guess, without a spread, is taken to be exact.",
    """
facts:
  flex_metres: {ask: Length of the flex, kind: number, unit: m, range: [0.5, 3], spread: 0.2}
""",
    """
facts:
  flex_metres: {ask: Length of the flex, kind: number, unit: m, range: [0.5, 3], class_value: 1, spread: 0.2}
""",
)


def check(view: View) -> Iterator[Problem]:
    for fact in view.pack.facts.values():
        if fact.spread and fact.class_value is None:
            message = f"{fact.id}: spread is of the class value, and there is none"
            yield view.problem(
                CODE, view.fact_mark(fact.id, "spread"), message, "give it a class_value, or leave spread out"
            )
