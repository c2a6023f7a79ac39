"""A cause or state that nothing can show."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    shown = {name for name, item in view.bringers.items() if item.shows}
    waiting = list(shown)
    while waiting:
        for bringer in view.bringers[waiting.pop()].brought_on_by:
            if bringer in view.bringers and bringer not in shown:
                shown.add(bringer)
                waiting.append(bringer)
    for name, item in view.bringers.items():
        if name not in shown:
            mark = view.mark(name, "shows")
            yield Objection(
                mark,
                f"{name}: no observation can show it",
                f'what does a machine with "{item.title}" do?',
            )
