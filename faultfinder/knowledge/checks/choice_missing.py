"""A question of several choices that leaves out something that could be wrong with what it asks for."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for question in view.pack.questions.values():
        if not question.several:
            continue
        for name in question.observations:
            item = view.pack.observations.get(name)
            missing = " or ".join(question.left_out(item)) if item is not None else ""
            if not missing:
                continue
            yield Objection(
                view.mark(question.id, "choices"),
                f'{question.id}: no choice stands for {name}: {missing}, so "none of the others" says nothing of it',
                "add a choice for it",
            )
