"""A text that tells to run or feed an open machine."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.instructions.unsafe_text import open_and_running
from faultfinder.knowledge.problem import ERROR, Problem
from faultfinder.knowledge.schema.value_types import quoted

CODE = Code(
    "live-work",
    ERROR,
    "work on an open, live machine",
    "There is no 'covers off and live' to work in. What shows only when the machine runs is looked "
    "at with covers on; what is inside is measured dead.",
    """
observations:
  element_glow:
    kind: look
    ask: Does the element glow?
    how: With the base cover off, switch it on for a moment.
    answers: {glows: Yes, dark: No}
    access: open_dead
""",
    """
observations:
  element_glow:
    kind: look
    ask: Is the element discoloured at one place?
    how: Take the base cover off and look along the element.
    answers: {even: No, spot: Yes}
    access: open_dead
""",
)


def check(view: View) -> Iterator[Problem]:
    for said in view.said():
        sentence = open_and_running(said.text)
        if sentence is not None:
            message = f"{said.item}: {quoted(sentence)} works on an open, live machine"
            hint = "look with covers on while it runs, or measure with covers off and dead"
            yield view.problem(CODE, said.mark, message, hint)
