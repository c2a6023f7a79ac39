"""A `let` name that nothing uses."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.formulas.expression import names_in
from faultfinder.knowledge.problem import WARNING, Problem
from faultfinder.knowledge.schema.keys import OBSERVATION

CODE = Code(
    "idle-let",
    WARNING,
    "a let that nothing uses",
    "A let names a part of the limits. One that no band, expected or other let uses is mostly a limit "
    "that was forgotten, or a key that slipped too far right and is no key any more.",
    """
observations:
  lamp_reading:
    kind: reading
    ask: Resistance of the lamp
    how: Pull one wire off the lamp, probes on its two ends.
    quantity: resistance
    unit: ohm
    let: {healthy: 40}
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
    let: {healthy: 40}
    bands: {whole: [0, 20 * healthy], broken: [20 * healthy, OL]}
    access: open_dead
    minutes: 2
    needs: [multimeter]
states:
  lamp_gone: {title: Lamp gone, brought_on_by: {element_open: rarely}, shows: {lamp_reading: {broken: often}}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        spec = observation.reading
        if spec is None:
            continue
        texts = [limit for band in spec.bands for limit in (band.low, band.high)]
        texts += [spec.expected, spec.one_use_kwh, *(text for _, text in spec.let)]
        used = {name for text in texts for name in names_in(text)}
        for name, _ in spec.let:
            if name in used:
                continue
            hint = "let a limit use it, or leave it out"
            if OBSERVATION.key(name) is not None:
                hint = f"{name} is a key of an observation: line it up with let, if that is meant"
            mark = view.key_mark("observations", observation.id, "let", name)
            yield view.problem(CODE, mark, f"{observation.id}: nothing uses {name} of let", hint)
