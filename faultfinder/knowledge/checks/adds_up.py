"""An answer that faults add up to, which the strongest-wins rule cannot reach."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.pushes import adds_up_only, only_pair
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if adds_up_only(view, observation):
            last = observation.answers[-1].id
            mark = view.answer_mark(observation, last)
            message = f'{observation.id}: no single cause leads to "{last}", but several may add up to it'
            yield Objection(
                mark, message, "ask with asks: what each fault does by itself, or add the missing link"
            )
            continue
        pair = only_pair(view, observation)
        if pair is not None:
            first, second = pair
            mark = view.answer_mark(observation, second)
            message = (
                f'{observation.id}: with the faults behind "{first}" and behind "{second}" at once neither is seen, '
                f'but the rules would expect "{second}"'
            )
            yield Objection(mark, message, "ask with asks: what each fault does by itself")
