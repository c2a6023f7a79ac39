"""A pack that no machine is left for."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    if view.pack.outside and not view.machines:
        mark = view.pack.outside[0].mark
        yield Objection(mark, "outside leaves no machine that the pack is for", "name fewer choices")
