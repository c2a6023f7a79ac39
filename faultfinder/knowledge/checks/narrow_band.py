"""A band that the meter cannot resolve."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "narrow-band",
    WARNING,
    "a band narrower than the meter",
    "A reading cannot be told to lie in a band that is narrower than the doubt of the meter it is "
    "read with: no reading ever speaks for it.",
    """
observations:
  lamp_reading:
    kind: reading
    ask: Resistance of the lamp
    how: Pull one wire off the lamp, probes on its two ends.
    quantity: resistance
    unit: ohm
    bands: {whole: [0, 900], poor: [900, 905], broken: [905, OL]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
    background: {poor: 0.01}
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
    bands: {whole: [0, 900], poor: [900, 2000], broken: [2000, OL]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
    background: {poor: 0.01}
states:
  lamp_gone: {title: Lamp gone, brought_on_by: {element_open: rarely}, shows: {lamp_reading: {broken: often}}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        for flaw in view.band_flaws(observation):
            if flaw.kind == "narrow":
                mark = view.answer_mark(observation, flaw.band)
                yield view.problem(
                    CODE, mark, f"{observation.id}: {flaw.message}", "widen it, or join it with its neighbour"
                )
