"""A proof that the fault does not touch."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.pushes import shown_through
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        shown = shown_through(view, cause.id)
        for observation in cause.proof:
            if shown and observation not in shown:
                mark = view.mark(cause.id, "proof")
                message = f"{cause.id}: {observation} does not depend on the fault, so it proves nothing"
                yield Objection(mark, message, "name an observation that it shows")
