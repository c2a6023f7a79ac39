"""A healthy limit so near to the expected value that a healthy machine fails."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "limit-too-near",
    WARNING,
    "a limit that fails a healthy machine",
    "A reading is as good as the meter: what lies nearer to a limit than twice its uncertainty is "
    "judged one way today and the other tomorrow. A healthy band must leave that much room round what "
    "a healthy machine reads.",
    """
observations:
  lamp_reading:
    kind: reading
    ask: Resistance of the lamp
    how: Pull one wire off the lamp, probes on its two ends.
    quantity: resistance
    unit: ohm
    expected: 899
    bands: {whole: [0, 900], broken: [900, OL]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
states:
  lamp_gone: {title: Lamp gone, brought_on_by: {element_open: rarely}, shows: {lamp_reading: {broken: often}}}
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
    bands: {whole: [0, 900], broken: [900, OL]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
states:
  lamp_gone: {title: Lamp gone, brought_on_by: {element_open: rarely}, shows: {lamp_reading: {broken: often}}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        for flaw in view.band_flaws(observation):
            if flaw.kind == "near":
                mark = view.mark(observation.id, "expected")
                yield view.problem(
                    CODE,
                    mark,
                    f"{observation.id}: {flaw.message}",
                    "give the healthy band more room round it",
                )
