"""An instrument that no observation needs."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    needed = {name for item in view.asked for name in item.instruments}
    for name, _ in view.gathered.instruments:
        if name.text not in needed:
            hint = "name it under needs of what is done with it, or leave it out"
            yield Objection(name.mark, f"{name.text}: no observation needs this instrument", hint)
