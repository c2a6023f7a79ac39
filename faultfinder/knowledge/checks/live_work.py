"""A text that tells to run or feed an open machine."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.instructions.unsafe_text import open_and_running
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.value_types import quoted


def check(view: View) -> Iterator[Objection]:
    for said in view.said():
        sentence = open_and_running(said.text)
        if sentence is not None:
            message = f"{said.item}: {quoted(sentence)} works on an open, live machine"
            hint = "look with covers on while it runs, or measure with covers off and dead"
            yield Objection(said.mark, message, hint)
