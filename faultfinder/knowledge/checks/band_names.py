"""Bands whose names say another order than their limits."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.errors import BadFact
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.formulas.bands import fact_values, limits
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if observation.reading is None:
            continue
        try:
            bounds = limits(observation, fact_values(view.pack, {}))
        except BadFact:
            continue
        names = ORDERS["resistance"] if observation.reading.quantity == "resistance" else ()
        low_of = {answer.id: low for answer, (low, _) in zip(observation.answers, bounds, strict=False)}
        for lower, higher in (*names, *ORDERS[""]):
            if lower in low_of and higher in low_of and low_of[lower] > low_of[higher]:
                message = f"{observation.id}: {lower} lies above {higher}"
                mark = view.limit_mark(observation.id, higher, 0)
                yield Objection(mark, message, "put the limits, or the names, the other way round")
                break


_LOW = ("shorted", "short", "closed", "earthed", "low", "too_low")
_HIGH = ("high", "too_high", "open", "broken")
ORDERS = {
    "": tuple((low, high) for low in ("low", "too_low") for high in ("high", "too_high")),
    "resistance": tuple((low, high) for low in (*_LOW, "high") for high in _HIGH if low != high),
}
"""Quantity (or any) -> pairs of band names of which the first is the lower one."""
