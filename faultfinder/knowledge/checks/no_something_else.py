"""A sub-system without its something_else cause."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    firsts: dict[str, str] = {}
    for cause in view.pack.causes.values():
        firsts.setdefault(cause.sub_system, cause.id)
    for sub_system, first in firsts.items():
        wanted = f"something_else_{sub_system}"
        if wanted not in view.pack.causes:
            mark = view.section_mark("causes", first)
            message = f"the sub-system {sub_system} has no cause {wanted}"
            yield Objection(mark, message, "add it: its remedy is to stop guessing")
