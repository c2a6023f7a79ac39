"""Bands of a reading: a band runs backwards."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import ERROR, Problem

CODE = Code(
    "band-turned",
    ERROR,
    "a band runs backwards",
    "A band whose lower limit is above its upper one holds no reading. Write [low, high]; where it "
    "depends on plate values, the limits must not cross for any value that the facts allow.",
    """
observations:
  lamp_resistance:
    kind: reading
    ask: Resistance of the lamp
    quantity: resistance
    unit: kohm
    bands: {whole: [5, 0], broken: [5, OL]}
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
            if flaw.kind == "turned":
                mark = view.mark(observation.id, "bands", flaw.band)
                what = f"{observation.id}: {flaw.band} {flaw.message}"
                yield view.problem(
                    CODE,
                    mark,
                    what,
                    "write [low, high]; where limits can cross, join bands or narrow the range of a fact",
                )
