"""A fault that costs less to miss than to mend."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        work = cause.minutes + cause.part_costs
        if cause.if_missed < work <= 1000:
            message = f"{cause.id}: if_missed is {cause.if_missed:g}, and minutes and parts come to {work:g}"
            hint = f"a return visit does that work again: more than {work:g}"
            yield Objection(view.mark(cause.id, "if_missed"), message, hint)
