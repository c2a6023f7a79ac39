"""An open machine, or a meter, without a word how."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Need, Observation
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for item in view.asked:
        reading = isinstance(item, Observation) and item.reading is not None
        if item.how or not (reading or item.need is Need.OPEN_DEAD):
            continue
        if isinstance(item, Observation) and item.probes is not None and item.probes.words:
            continue
        what = "it is measured" if reading else "it is done behind the cover"
        hint = "add how: with steps of one action each"
        yield Objection(view.mark(item.id), f"{item.id}: nothing says how {what}", hint)
