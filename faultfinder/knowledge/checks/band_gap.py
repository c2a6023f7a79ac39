"""Bands of a reading: bands leave a gap."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import ERROR, Problem

CODE = Code(
    "band-gap",
    ERROR,
    "bands leave a gap",
    "A reading that falls into no band says nothing. The bands must cover everything from 0 (from "
    "-OL where the quantity can be negative) to OL, for every plate value that the facts allow.",
    """
observations:
  lamp_resistance:
    kind: reading
    ask: Resistance of the lamp
    quantity: resistance
    unit: kohm
    bands: {whole: [0, 4], broken: [5, OL]}
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
            if flaw.kind == "gap":
                mark = view.mark(observation.id, "bands", flaw.band)
                what = f"{observation.id}: {flaw.message}"
                yield view.problem(
                    CODE,
                    mark,
                    what,
                    "let one band end where the next begins, with the same words",
                )
