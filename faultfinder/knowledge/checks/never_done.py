"""A text that tells what nobody may do, whatever the access."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.instructions.deeds import never_right
from faultfinder.knowledge.instructions.unsafe_text import bridging
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.value_types import quoted


def check(view: View) -> Iterator[Objection]:
    for said in view.said():
        found = never_right(said.text, said.subject)
        if found is None or bridging(said.text, said.subject) is not None:
            continue
        message = f"{said.item}: {quoted(found.sentence)} {found.deed.says}"
        yield Objection(said.mark, message, "it is never done, as a test or a remedy; look, or measure dead")
