"""Class values without the cause plate_value_wrong."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "no-plate-value-wrong",
    WARNING,
    "no cause plate_value_wrong",
    "Where a reading is judged by a plate value that may be assumed, three readings that agree "
    "through one wrong assumption convict a rare part. The cause plate_value_wrong, which shows such "
    "readings off, takes the blame.",
    """
pack: {title: Lamp, version: 1}
facts:
  watts: {ask: Power, kind: number, unit: W, range: [10, 100], class_value: 60, spread: 0.1}
observations:
  bulb_resistance:
    kind: reading
    ask: Resistance
    quantity: resistance
    unit: ohm
    bands: {whole: [0, 90 * watts], broken: [90 * watts, OL]}
    access: open_dead
    minutes: 1
""",
    """
pack: {title: Lamp, version: 1}
observations:
  bulb_resistance:
    kind: reading
    ask: Resistance
    quantity: resistance
    unit: ohm
    bands: {whole: [0, 5400], broken: [5400, OL]}
    access: open_dead
    minutes: 1
""",
    alone=True,
)


def check(view: View) -> Iterator[Problem]:
    if "plate_value_wrong" in view.pack.causes:
        return
    for observation in view.pack.observations.values():
        if observation.reading is None:
            continue
        for fact in view.facts_behind(observation):
            if view.pack.facts[fact].spread > 0:
                mark = view.fact_mark(fact, "class_value")
                message = (
                    f"{fact} may be assumed in {observation.id}, but there is no cause plate_value_wrong"
                )
                yield view.problem(CODE, mark, message, "add it, with the readings that it shows off")
                return
