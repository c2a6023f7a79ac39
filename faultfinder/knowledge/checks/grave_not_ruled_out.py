"""A fire or shock hazard that no safe observation can rule out."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import CLEARS, best_clearing, is_catch_all
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        if not cause.hazard.grave or is_catch_all(cause) or cause.hand_to:
            continue
        best = best_clearing(view, cause)
        if best is not None and best < CLEARS:
            mark = view.mark(cause.id, "shows")
            message = (
                f"{cause.id}: hazard {cause.hazard}, but no observation on a machine at rest can rule it out"
            )
            hint = f"add one that it shows usually or always (now {best:.1f} to one, {CLEARS:g} is enough)"
            yield Objection(mark, message, hint)
