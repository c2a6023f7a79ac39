"""Minutes or costs that can only be a slip."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for item in view.asked:
        if item.minutes > MOST_ASKED:
            yield _told(view, item.id, "minutes", item.minutes, "what a person stands by, in minutes")
    for cause in view.pack.causes.values():
        if cause.minutes > MOST_WORK:
            yield _told(view, cause.id, "minutes", cause.minutes, "the work alone, in minutes")
        if cause.part_costs > MOST_PARTS:
            yield _told(view, cause.id, "part_costs", cause.part_costs, "in minutes of labour, not in money")
        if cause.if_missed > MOST_MISSED:
            yield _told(
                view, cause.id, "if_missed", cause.if_missed, "the second journey and the work, in minutes"
            )


MOST_ASKED, MOST_WORK, MOST_PARTS, MOST_MISSED = 120.0, 480.0, 600.0, 1200.0
"""Minutes. Chosen: two hours for a look, a day for a repair, a new machine for its parts."""


def _told(view: View, item: str, key: str, value: float, hint: str) -> Objection:
    return Objection(view.mark(item, key), f"{item}: {key} is {value:g}, beyond all sense", hint)
