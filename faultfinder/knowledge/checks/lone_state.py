"""A state that nothing brings about."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for state in view.pack.states.values():
        if not state.brought_on_by:
            mark = view.mark(state.id, "brought_on_by")
            yield Objection(mark, f"{state.id}: nothing brings it about", "name the causes that do")
