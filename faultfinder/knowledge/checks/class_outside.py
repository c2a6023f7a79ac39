"""A class value that comes out outside the fact's own range."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.errors import BadFact
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.formulas.bands import fact_values
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
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
                yield Objection(mark, message, "put the expression or the range right")
