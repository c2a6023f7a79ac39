"""Two causes of the same title."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "same-title",
    WARNING,
    "two causes have the same title",
    "The person sees titles, not ids. Two causes with one title cannot be told apart on the screen "
    "or in the record.",
    """
causes:
  element_burnt:
    title: Element open
    how_common: rare
    hazard: none
    remedy: Replace the element
    minutes: 5
    if_missed: 60
    shows: {stays_cold: always}
""",
    """
causes:
  element_burnt:
    title: Element burnt through at its end
    how_common: rare
    hazard: none
    remedy: Replace the element
    minutes: 5
    if_missed: 60
    shows: {stays_cold: always}
""",
)


def check(view: View) -> Iterator[Problem]:
    first: dict[str, str] = {}
    for cause in view.pack.causes.values():
        title = cause.title.casefold()
        if title and title in first:
            mark = view.mark(cause.id, "title")
            yield view.problem(
                CODE, mark, f"{cause.id}: {first[title]} has the same title", "say what is different"
            )
        first.setdefault(title, cause.id)
