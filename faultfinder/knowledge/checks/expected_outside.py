"""An expected value outside its own healthy band."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "expected-outside",
    WARNING,
    "what is shown as healthy is judged ill",
    "expected is what people are told a healthy machine reads. It must lie in the first band, the "
    "healthy one, for every value that a plate can have.",
    """
observations:
  lamp_reading:
    kind: reading
    ask: Resistance of the lamp
    how: Pull one wire off the lamp, probes on its two ends.
    quantity: resistance
    unit: ohm
    expected: 2000
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
            if flaw.kind == "outside":
                mark = view.mark(observation.id, "expected")
                yield view.problem(
                    CODE,
                    mark,
                    f"{observation.id}: {flaw.message}",
                    "put expected or the limits right; the healthy band stands first",
                )
