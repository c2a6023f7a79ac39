"""A reading that names no instrument."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if observation.reading is None or observation.reading.quantity == "time":
            continue
        if observation.instruments or view.given(observation.id, "needs"):
            continue
        mark = view.mark(observation.id)
        yield Objection(
            mark,
            f"{observation.id}: the reading names no instrument",
            "add needs: (needs: [] where it takes none)",
        )
