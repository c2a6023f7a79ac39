"""A cause or state that nothing can show."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "nothing-shows",
    WARNING,
    "nothing can show it",
    "A cause that no observation follows from, directly or through what it brings on, keeps its "
    "first chance for ever: no answer can find it or clear it.",
    """
causes:
  cord_ugly:
    title: Cord discoloured
    how_common: rare
    hazard: none
    remedy: Replace the cord
    minutes: 5
    if_missed: 60
    shows: {}
""",
    """
causes:
  cord_ugly:
    title: Cord discoloured
    how_common: rare
    hazard: none
    remedy: Replace the cord
    minutes: 5
    if_missed: 60
    shows: {flex_seen: often}
""",
)


def check(view: View) -> Iterator[Problem]:
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
            yield view.problem(
                CODE,
                mark,
                f"{name}: no observation can show it",
                f'what does a machine with "{item.title}" do?',
            )
