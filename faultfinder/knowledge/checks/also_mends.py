"""A remedy that is said to mend more than it can."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Cause, Need
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    causes = view.pack.causes
    for cause in causes.values():
        for name in cause.also_mends:
            if name in causes and (why := _why_not(cause, causes[name])):
                mark = view.mark(cause.id, "also_mends")
                yield Objection(mark, f"{cause.id}: {name} {why}", "leave it out")


def _why_not(cause: Cause, other: Cause) -> str:
    if other.id == cause.id:
        return "is the cause itself"
    if other.hand_to and not cause.hand_to:
        return "is mended by a licensed person only"
    if other.remedy_need is Need.OPEN_DEAD is not cause.remedy_need:
        return "is mended inside, and this remedy leaves the covers on"
    if other.touches_electrics and not (cause.touches_electrics or cause.remedy_need is Need.OPEN_DEAD):
        return "touches an electrical part, and this remedy does not"
    return ""
