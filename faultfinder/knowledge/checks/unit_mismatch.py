"""An expression that comes out in another quantity or unit than the one wanted, with no number to put it right."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.formulas.sizes import misfits
from faultfinder.knowledge.problem import ERROR, Problem

CODE = Code(
    "unit-mismatch",
    ERROR,
    "units that do not fit",
    "Facts, trade formulas and readings have units, and expressions work with the bare numbers: watts where "
    "ohms belong, or kilowatts where a formula wants watts, judge every machine wrongly. Numbers fit any unit.",
    """
observations:
  lamp_resistance:
    kind: reading
    ask: Resistance of the lamp
    quantity: resistance
    unit: ohm
    expected: "current_of(watts, volts)"
    bands: {whole: [0, 900], broken: [900, OL]}
    access: open_dead
    minutes: 2
    how: Pull one wire off the lamp, probes on its two ends.
    needs: [multimeter]
causes:
  lamp_broken:
    title: Lamp broken
    how_common: rare
    hazard: none
    remedy: Replace the lamp
    minutes: 5
    if_missed: 60
    shows: {lamp_resistance: {broken: always}}
    proof: [lamp_resistance]
""",
    """
observations:
  lamp_resistance:
    kind: reading
    ask: Resistance of the lamp
    quantity: resistance
    unit: ohm
    expected: "resistance_of(60, volts)"
    bands: {whole: [0, 9000], broken: [9000, OL]}
    access: open_dead
    minutes: 2
    how: Pull one wire off the lamp, probes on its two ends.
    needs: [multimeter]
causes:
  lamp_broken:
    title: Lamp broken
    how_common: rare
    hazard: none
    remedy: Replace the lamp
    minutes: 5
    if_missed: 60
    shows: {lamp_resistance: {broken: always}}
    proof: [lamp_resistance]
""",
)


def check(view: View) -> Iterator[Problem]:
    for each in misfits(view):
        if each.slip.sure:
            yield view.problem(CODE, each.mark, f"{each.what}: {each.slip.message}", each.slip.hint)
