"""A cause that nothing speaks for strongly against a look-alike."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import (
    FIVE,
    is_catch_all,
    look_alike_groups,
    weakest_against,
)
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    grouped = {name for group in look_alike_groups(view) for name in group}
    for cause in view.pack.causes.values():
        if cause.id in grouped or is_catch_all(cause):
            continue
        weak = weakest_against(view, cause.id)
        if weak is not None:
            other, ratio, where = weak
            best = f"the best, {where}, does {ratio:.1f} to one" if where else "none does at all"
            message = f"{cause.id}: no observation speaks for it {FIVE:g} to one against {other}"
            yield Objection(
                view.mark(cause.id, "shows"),
                message,
                f"{best}; add one, or write the same group under both",
            )
