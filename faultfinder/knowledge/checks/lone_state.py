"""A state that nothing brings about."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "lone-state",
    WARNING,
    "nothing brings a state about",
    "A state is no fault and never arises by itself. Without brought_on_by it is never there, and "
    "what it shows is never explained by it.",
    """
states:
  damp: {title: Damp, brought_on_by: {}, shows: {leaks_seen: often}}
""",
    """
states:
  damp: {title: Damp, brought_on_by: {scale_thick: often}, shows: {leaks_seen: often}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for state in view.pack.states.values():
        if not state.brought_on_by:
            mark = view.mark(state.id, "brought_on_by")
            yield view.problem(CODE, mark, f"{state.id}: nothing brings it about", "name the causes that do")
