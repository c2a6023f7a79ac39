"""An answer that no cause leads to."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.pushes import adds_up_only, unreached
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if adds_up_only(view, observation):
            continue
        for answer in unreached(view, observation):
            mark = view.answer_mark(observation, answer)
            hint = "add the link that is missing, or leave the answer out"
            yield Objection(mark, f'{observation.id}: no cause leads to "{answer}"', hint)
