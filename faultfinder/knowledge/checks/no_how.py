"""An open machine, or a meter, without a word how."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.model import Need, Observation
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "no-how",
    WARNING,
    "nothing says how it is done",
    "An apprentice who has taken the covers off, or holds a meter, must be told what to do: which cover, where to "
    "look, where the probes go. The question alone is what everybody sees; how is shown when the access state is "
    "confirmed.",
    """
observations:
  hinge_seen: {kind: look, ask: Is the hinge of the lid cracked?, answers: yes_no, access: open_dead}
""",
    """
observations:
  hinge_seen:
    kind: look
    ask: Is the hinge of the lid cracked?
    how: Top cover off. Open and shut the lid and look at both ends of the pin.
    answers: yes_no
    access: open_dead
""",
)


def check(view: View) -> Iterator[Problem]:
    for item in view.asked:
        reading = isinstance(item, Observation) and item.reading is not None
        if item.how or not (reading or item.need is Need.OPEN_DEAD):
            continue
        if isinstance(item, Observation) and item.probes is not None and item.probes.words:
            continue
        what = "it is measured" if reading else "it is done behind the cover"
        hint = "add how: with steps of one action each"
        yield view.problem(CODE, view.mark(item.id), f"{item.id}: nothing says how {what}", hint)
