"""A healthy band that a dead machine reads."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "dead-passes",
    WARNING,
    "a dead machine passes for healthy",
    "Where a healthy machine gives volts, amps, watts or speed, a healthy band that begins at 0 lets "
    "a dead one pass; where it has a resistance, one that reaches OL lets an open part pass.",
    """
observations:
  lamp_reading:
    kind: reading
    ask: Resistance of the lamp
    how: Pull one wire off the lamp, probes on its two ends.
    quantity: resistance
    unit: ohm
    expected: 40
    bands: {whole: [30, OL], shorted: [0, 30]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
states:
  lamp_gone: {title: Lamp gone, brought_on_by: {element_open: rarely}, shows: {lamp_reading: {shorted: often}}}
""",
    """
observations:
  lamp_reading:
    kind: reading
    ask: Resistance of the lamp
    how: Pull one wire off the lamp, probes on its two ends.
    quantity: resistance
    unit: ohm
    expected: 40
    bands: {whole: [30, 900], shorted: [0, 30], broken: [900, OL]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
    background: {broken: 0.01}
states:
  lamp_gone: {title: Lamp gone, brought_on_by: {element_open: rarely}, shows: {lamp_reading: {shorted: often}}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        for flaw in view.band_flaws(observation):
            if flaw.kind == "dead":
                mark = view.answer_mark(observation, flaw.band)
                yield view.problem(
                    CODE, mark, f"{observation.id}: {flaw.message}", "give the healthy band its other limit"
                )
