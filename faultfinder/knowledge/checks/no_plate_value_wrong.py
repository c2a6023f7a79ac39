"""Class values without the cause plate_value_wrong."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    if "plate_value_wrong" in view.pack.causes:
        return
    for observation in view.pack.observations.values():
        if observation.reading is None:
            continue
        for fact in view.facts_behind(observation):
            if view.pack.facts[fact].spread > 0:
                mark = view.fact_mark(fact, "class_value")
                message = (
                    f"{fact} may be assumed in {observation.id}, but there is no cause plate_value_wrong"
                )
                yield Objection(mark, message, "add it, with the readings that it shows off")
                return
