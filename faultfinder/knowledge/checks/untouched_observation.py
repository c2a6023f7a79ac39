"""An observation that no cause touches."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    touched = {observation for item in view.bringers.values() for observation in item.shows}
    gates = {gate for item in view.asked for gate in item.only_if}
    for observation in view.pack.observations.values():
        if observation.id not in touched and observation.id not in gates and not observation.danger:
            mark = view.mark(observation.id)
            hint = "let a cause show it, or leave it out"
            yield Objection(mark, f"{observation.id}: no cause or state shows it", hint)
