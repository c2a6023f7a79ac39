"""Bands of a reading: a limit has no value."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import ERROR, Problem

CODE = Code(
    "band-value",
    ERROR,
    "a limit has no value",
    "A limit that divides by zero or takes the root of a negative number for some allowed plate "
    "value leaves the reading without bands on that machine.",
    """
observations:
  lamp_resistance:
    kind: reading
    ask: Resistance of the lamp
    quantity: resistance
    unit: kohm
    bands: {whole: [0, 5 / (230 - volts)], broken: [5 / (230 - volts), OL]}
    access: open_dead
    minutes: 2
""",
    """
observations:
  lamp_resistance:
    kind: reading
    ask: Resistance of the lamp
    quantity: resistance
    unit: kohm
    bands: {whole: [0, 5], broken: [5, OL]}
    access: open_dead
    minutes: 2
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        for flaw in view.band_flaws(observation):
            if flaw.kind == "value":
                mark = view.mark(observation.id, "bands", flaw.band)
                what = flaw.message
                yield view.problem(
                    CODE,
                    mark,
                    what,
                    "narrow the range of a fact, or write the limit otherwise",
                )
