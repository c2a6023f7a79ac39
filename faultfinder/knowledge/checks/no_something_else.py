"""A sub-system without its something_else cause."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "no-something-else",
    WARNING,
    "a sub-system has no something_else",
    "No rule base knows every fault. Each file with causes needs a cause something_else_<file>, so "
    "that the tool can say: stop guessing and go to the maker's diagram.",
    """
pack: {title: Lamp, version: 1}
causes:
  bulb_dead:
    title: Bulb dead
    how_common: 0.9
    hazard: none
    remedy: Replace the bulb
    minutes: 5
    if_missed: 60
    shows: {dark: always}
observations:
  dark: {kind: look, ask: Is it dark?, answers: yes_no}
""",
    """
pack: {title: Lamp, version: 1}
causes:
  something_else_lamp:
    title: Something else
    how_common: 0.9
    hazard: none
    remedy: Stop guessing
    minutes: 5
    if_missed: 60
    shows: {dark: always}
observations:
  dark: {kind: look, ask: Is it dark?, answers: yes_no}
""",
    alone=True,
)


def check(view: View) -> Iterator[Problem]:
    firsts: dict[str, str] = {}
    for cause in view.pack.causes.values():
        firsts.setdefault(cause.sub_system, cause.id)
    for sub_system, first in firsts.items():
        wanted = f"something_else_{sub_system}"
        if wanted not in view.pack.causes:
            mark = view.section_mark("causes", first)
            message = f"the sub-system {sub_system} has no cause {wanted}"
            yield view.problem(CODE, mark, message, "add it: its remedy is to stop guessing")
