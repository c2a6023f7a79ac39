"""An observation that asks for an open machine without need."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.checks.act_against_words import contradiction
from faultfinder.knowledge.checks.unsafe_access import told_otherwise
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.instructions.acts import allowed
from faultfinder.knowledge.instructions.unsafe_text import stays_outside
from faultfinder.knowledge.model import Need, Observation, Step
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "access-strict",
    WARNING,
    "the access is stricter than the instruction",
    "Taking covers off costs the most time of a job. An instruction that speaks of nothing inside "
    "the machine can be followed with covers on.",
    """
observations:
  label_seen:
    kind: look
    ask: Is the label legible?
    how: Read the label on the underside.
    answers: {legible: Yes, worn: No}
    access: open_dead
""",
    """
observations:
  label_seen:
    kind: look
    ask: Is the label legible?
    how: Read the label on the underside.
    answers: {legible: Yes, worn: No}
    access: covers_on
""",
)


def check(view: View) -> Iterator[Problem]:
    for item in view.asked:
        probes = isinstance(item, Observation) and item.probes is not None
        if (
            item.need is not Need.OPEN_DEAD
            or not item.how
            or probes
            or not all(map(_outside, item.how_steps))
        ):
            continue
        if stays_outside(f"{item.ask} {item.how} {item.why}"):
            mark = view.mark(item.id, "access")
            message = f"{item.id}: its instruction stays outside the machine"
            yield view.problem(CODE, mark, message, "access: covers_on; or say what is opened")


def _outside(step: Step) -> bool:
    """Whether a step could stand with covers on; what is wrong anywhere is no reason for an easier access."""
    need = Need.COVERS_ON
    if step.stated and not allowed(step.act, need):
        return False
    return not told_otherwise(step.text, need) and contradiction(step, need) is None
