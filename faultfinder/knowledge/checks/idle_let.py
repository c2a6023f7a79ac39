"""A `let` name that nothing uses."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.formulas.expression import names_in
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.keys import OBSERVATION


def check(view: View) -> Iterator[Objection]:
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
            yield Objection(mark, f"{observation.id}: nothing uses {name} of let", hint)
