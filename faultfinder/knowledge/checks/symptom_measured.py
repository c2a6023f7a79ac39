"""A measurement, or a find inside the machine, that is called a symptom."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.model import Kind, Need
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "symptom-measured",
    WARNING,
    "a symptom that no customer can have",
    "symptom: yes offers the observation when the job begins, as something the customer complains of. "
    "Nobody complains of a measurement, or of what is seen only on an isolated or open machine.",
    """
observations:
  lamp_reading:
    kind: reading
    ask: Resistance of the lamp
    how: Pull one wire off the lamp, probes on its two ends.
    quantity: resistance
    unit: ohm
    bands: {whole: [0, 900], broken: [900, OL]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
    symptom: yes
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
    bands: {whole: [0, 900], broken: [900, OL]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
states:
  lamp_gone: {title: Lamp gone, brought_on_by: {element_open: rarely}, shows: {lamp_reading: {broken: often}}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for item in view.asked:
        inside = item.need in (Need.ISOLATED, Need.OPEN_DEAD)
        if item.symptom and (inside or item.kind is Kind.READING):
            what = "measured" if item.kind is Kind.READING else f"found with access {item.need}"
            message = f"{item.id}: symptom: yes, but it is {what}, and no customer tells it"
            hint = "leave symptom out; what the customer notices is an observation of kind told"
            yield view.problem(CODE, view.mark(item.id, "symptom"), message, hint)
