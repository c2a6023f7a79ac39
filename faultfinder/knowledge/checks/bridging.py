"""A text that tells to get round a protective device."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.instructions.unsafe_text import bridging
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.value_types import quoted


def check(view: View) -> Iterator[Objection]:
    for said in view.said():
        sentence = bridging(said.text, said.subject)
        if sentence is not None:
            message = f"{said.item}: {quoted(sentence)} gets round a protective device"
            hint = "no protective device is ever bridged, as a test or a remedy; measure across it"
            yield Objection(said.mark, message, hint)
