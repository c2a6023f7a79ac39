"""An observation whose healthy answer is the id `yes`."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if observation.answers and observation.answers[0].id == "yes":
            mark = view.answer_mark(observation, "yes")
            message = f'{observation.id}: "yes" stands first, so yes is the healthy answer'
            hint = "ask for the trouble with answers: yes_no, or call the answers by what is seen"
            yield Objection(mark, message, hint)
