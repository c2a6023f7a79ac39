"""A choice of several that sets a healthy answer."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for question in view.pack.questions.values():
        if not question.several:
            continue
        for choice in question.choices:
            for observation, answer in choice.sets.items():
                if answer == view.pack.observations[observation].healthy:
                    mark = view.mark(question.id, "choices", choice.id, "sets", observation)
                    message = (
                        f'{question.id}: the tick "{choice.id}" sets {observation} to its healthy answer'
                    )
                    yield Objection(mark, message, "leave it out; what is not ticked can become healthy")
