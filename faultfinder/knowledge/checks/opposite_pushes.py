"""Usual causes that push one reading in opposite directions."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.pushes import opposite_pair
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        pair = opposite_pair(view, observation)
        if pair is not None:
            (below, low), (above, high) = pair
            message = f'{observation.id}: {below} pushes it to "{low}" and {above} to "{high}"'
            winner = max((low, high), key=observation.index)
            hint = f'confirm with both_ways: yes that with both one reads "{winner}", or split the reading'
            yield Objection(view.mark(observation.id, "bands"), message, hint)
