"""Hands-on work that is said to take no time."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Kind, Need
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for item in view.asked:
        hands_on = item.need in (Need.ISOLATED, Need.OPEN_DEAD) or item.kind is Kind.READING
        if hands_on and item.minutes < LEAST and _written(view, item.id):
            yield _told(view, item.id, item.minutes, "say how long it takes once the machine stands ready")
    for cause in view.pack.causes.values():
        if (
            cause.minutes < LEAST
            and _written(view, cause.id)
            and cause.remedy_need in (Need.ISOLATED, Need.OPEN_DEAD)
        ):
            yield _told(view, cause.id, cause.minutes, "say how long the work takes")


LEAST = 0.25
"""Minutes; chosen."""


def _written(view: View, item: str) -> bool:
    """Whether the minutes could be read."""
    return re.fullmatch(r"[0-9.]+", view.written(item, "minutes") or "") is not None


def _told(view: View, item: str, minutes: float, hint: str) -> Objection:
    what = f"{item}: {minutes:g} minutes, and the machine is isolated or opened or measured for it"
    return Objection(view.mark(item, "minutes"), what, hint)
