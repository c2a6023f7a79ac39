"""A class value that comes out outside the fact's own range."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.errors import BadFact
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.formulas.bands import fact_values
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "class-outside",
    WARNING,
    "a class value outside its own range",
    "What is assumed for a machine without its plate should be a value that a plate can have. Where "
    "an expression comes out outside the fact's own range, it or the range is wrong.",
    """
facts:
  lamp_watts: {ask: Power of the lamp, kind: number, unit: W, range: [5, 100], class_value: 0.5 * watts, spread: 0.1}
""",
    """
facts:
  lamp_watts: {ask: Power of the lamp, kind: number, unit: W, range: [5, 100], class_value: 0.02 * watts, spread: 0.1}
""",
)


def check(view: View) -> Iterator[Problem]:
    try:
        values = fact_values(view.pack, {})
    except BadFact:
        return
    for fact in view.pack.facts.values():
        value = values.get(fact.id)
        if isinstance(fact.class_value, str) and isinstance(value, float) and fact.low < fact.high:
            if not fact.low <= value <= fact.high:
                comes_out = f"{fact.id}: its class value comes out as {value:.4g} {fact.unit}"
                message = f"{comes_out}, outside {fact.low:g} to {fact.high:g}"
                mark = view.fact_mark(fact.id, "class_value")
                yield view.problem(CODE, mark, message, "put the expression or the range right")
