"""Two causes of the same title."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    first: dict[str, str] = {}
    for cause in view.pack.causes.values():
        title = cause.title.casefold()
        if title and title in first:
            mark = view.mark(cause.id, "title")
            yield Objection(mark, f"{cause.id}: {first[title]} has the same title", "say what is different")
        first.setdefault(title, cause.id)
