"""An observation that asks for an open machine without need."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.act_against_words import contradiction
from faultfinder.knowledge.checks.unsafe_access import told_otherwise
from faultfinder.knowledge.instructions.acts import allowed
from faultfinder.knowledge.instructions.unsafe_text import stays_outside
from faultfinder.knowledge.model import Need, Observation, Step
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
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
            yield Objection(mark, message, "access: covers_on; or say what is opened")


def _outside(step: Step) -> bool:
    """Whether a step could stand with covers on; what is wrong anywhere is no reason for an easier access."""
    need = Need.COVERS_ON
    if step.stated and not allowed(step.act, need):
        return False
    return not told_otherwise(step.text, need) and contradiction(step, need) is None
