"""Usual causes that push one reading in opposite directions."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.pushes import opposite_pair
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "opposite-pushes",
    WARNING,
    "two usual causes push a reading opposite ways",
    "Where one fault makes a reading low and another makes it high, both together give something "
    "between, but the rules let the later band win. Split the reading in two, or confirm with "
    "both_ways: yes that the later band is what is seen.",
    """
observations:
  lamp_current:
    kind: reading
    ask: Current of the lamp
    quantity: current
    unit: mA
    bands: {normal: [4, 9], low: [0, 4], high: [9, OL]}
    access: in_use
    minutes: 2
states:
  lamp_weak: {title: Lamp weak, brought_on_by: {scale_thick: often}, shows: {lamp_current: {low: usually}}}
  lamp_strong: {title: Lamp strong, brought_on_by: {boiled_dry: often}, shows: {lamp_current: {high: usually}}}
""",
    """
observations:
  lamp_current:
    kind: reading
    ask: Current of the lamp
    quantity: current
    unit: mA
    bands: {normal: [4, 9], low: [0, 4], high: [9, OL]}
    both_ways: yes
    access: in_use
    minutes: 2
states:
  lamp_weak: {title: Lamp weak, brought_on_by: {scale_thick: often}, shows: {lamp_current: {low: usually}}}
  lamp_strong: {title: Lamp strong, brought_on_by: {boiled_dry: often}, shows: {lamp_current: {high: usually}}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        pair = opposite_pair(view, observation)
        if pair is not None:
            (below, low), (above, high) = pair
            message = f'{observation.id}: {below} pushes it to "{low}" and {above} to "{high}"'
            winner = max((low, high), key=observation.index)
            hint = f'confirm with both_ways: yes that with both one reads "{winner}", or split the reading'
            yield view.problem(CODE, view.mark(observation.id, "bands"), message, hint)
