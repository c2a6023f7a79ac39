"""An observation whose healthy answer is the id `yes`."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "yes-first",
    WARNING,
    "yes stands first and so is healthy",
    "The first answer is the healthy one. With yes in front every strength means no, which is easily not what was "
    "meant. Ask for the trouble with answers: yes_no, or call the answers by what is seen.",
    """
observations:
  lid_shuts: {kind: look, ask: Does the lid shut?, answers: {yes: Yes, no: No}}
states:
  lid_bent: {title: Lid bent, brought_on_by: {boiled_dry: rarely}, shows: {lid_shuts: often}}
""",
    """
observations:
  lid_gapes: {kind: look, ask: Does the lid gape?, answers: yes_no}
states:
  lid_bent: {title: Lid bent, brought_on_by: {boiled_dry: rarely}, shows: {lid_gapes: often}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        if observation.answers and observation.answers[0].id == "yes":
            mark = view.answer_mark(observation, "yes")
            message = f'{observation.id}: "yes" stands first, so yes is the healthy answer'
            hint = "ask for the trouble with answers: yes_no, or call the answers by what is seen"
            yield view.problem(CODE, mark, message, hint)
