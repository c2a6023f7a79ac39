"""A fact that safety rests on, with choices that safety does not know."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import ERROR, Problem
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.strength_words import SAFETY_CHOICES

CODE = Code(
    "safety-fact",
    ERROR,
    "a fact that safety rests on has other choices",
    "How a machine is cut off hangs on `connection`, its tests on `protection`, the cautions on `refrigerant`. The "
    "program reads these facts by the ids of their choices; another id says nothing to it, and the machine could "
    "not be isolated. The texts of the choices are yours.",
    """
facts:
  connection:
    ask: How is it connected?
    kind: choice
    choices: {plug: By a plug, hardwired: Wired in}
""",
    """
facts:
  connection:
    ask: How is it connected?
    kind: choice
    choices: {plug: By a plug, fixed: Wired in}
""",
)


def check(view: View) -> Iterator[Problem]:
    for name, known in SAFETY_CHOICES.items():
        fact = view.pack.facts.get(name)
        if fact is None:
            continue
        allowed = ", ".join(known)
        if fact.kind != "choice":
            yield view.problem(CODE, view.fact_mark(name), f"{name}: a choice of {allowed}, no number")
        for choice in fact.choices:
            if choice not in known:
                message = f'{name}: "{choice}" says nothing to the safety rules'
                mark = view.fact_mark(name, "choices", choice)
                yield view.problem(CODE, mark, message, did_you_mean(choice, known))
