"""A reading that names no instrument."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "no-instrument",
    WARNING,
    "a reading names no instrument",
    "Which instruments are there is asked before the first screw. A reading that does not say what "
    "it takes is offered to people who cannot take it. A watch needs no naming; needs: [] says that none is needed.",
    """
observations:
  lamp_voltage:
    kind: reading
    ask: Voltage at the lamp
    quantity: voltage
    unit: V
    bands: {right: [0, 5], wrong: [5, OL]}
    access: open_dead
    minutes: 2
""",
    """
observations:
  lamp_voltage:
    kind: reading
    ask: Voltage at the lamp
    quantity: voltage
    unit: V
    bands: {right: [0, 5], wrong: [5, OL]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        if observation.reading is None or observation.reading.quantity == "time":
            continue
        if observation.instruments or view.given(observation.id, "needs"):
            continue
        mark = view.mark(observation.id)
        yield view.problem(
            CODE,
            mark,
            f"{observation.id}: the reading names no instrument",
            "add needs: (needs: [] where it takes none)",
        )
