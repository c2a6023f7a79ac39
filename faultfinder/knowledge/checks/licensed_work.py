"""A remedy on a refrigerant circuit or gas part that is not handed on."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.instructions.unsafe_text import licensed_work
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.value_types import quoted


def check(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        if cause.hand_to:
            continue
        for path, text in view.texts(cause):
            sentence = licensed_work(text) if path[0].startswith("remedy") else None
            if sentence is not None:
                mark = view.mark(cause.id, *path)
                yield Objection(
                    mark, f"{cause.id}: {quoted(sentence)} is licensed work", "add hand_to: licensed"
                )
