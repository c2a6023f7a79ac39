"""An instrument that no observation needs."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "idle-instrument",
    WARNING,
    "an instrument that nothing needs",
    "What is listed under instruments is packed for the job. One that no observation needs is either "
    "left over, or an observation forgot to say that it needs it.",
    """
instruments: {mirror: Small mirror on a handle}
""",
    """
instruments: {mirror: Small mirror on a handle}
observations:
  hinge_worn: {kind: look, ask: Is the hinge worn?, answers: yes_no, needs: [mirror]}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {hinge_worn: often}}
""",
)


def check(view: View) -> Iterator[Problem]:
    needed = {name for item in view.asked for name in item.instruments}
    for name, _ in view.gathered.instruments:
        if name.text not in needed:
            hint = "name it under needs of what is done with it, or leave it out"
            yield view.problem(CODE, name.mark, f"{name.text}: no observation needs this instrument", hint)
