"""A remedy that is said to mend more than it can."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.model import Cause, Need
from faultfinder.knowledge.problem import ERROR, Problem

CODE = Code(
    "also-mends",
    ERROR,
    "a remedy that cannot mend that as well",
    "What also_mends names counts as put right once the remedy is done. So the remedy has to ask for the access that "
    "mending it asks for, and work for a licensed person is not done by the way. A cause mends itself.",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: none
    remedy: Replace the knob
    minutes: 5
    also_mends: [knob_loose]
    if_missed: 60
    shows: {lid_sticks: often}
    proof: [lid_sticks]
""",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: none
    remedy: Replace the knob
    minutes: 5
    also_mends: [element_open]
    if_missed: 60
    shows: {lid_sticks: often}
    proof: [lid_sticks]
""",
)


def check(view: View) -> Iterator[Problem]:
    causes = view.pack.causes
    for cause in causes.values():
        for name in cause.also_mends:
            if name in causes and (why := _why_not(cause, causes[name])):
                mark = view.mark(cause.id, "also_mends")
                yield view.problem(CODE, mark, f"{cause.id}: {name} {why}", "leave it out")


def _why_not(cause: Cause, other: Cause) -> str:
    if other.id == cause.id:
        return "is the cause itself"
    if other.hand_to and not cause.hand_to:
        return "is mended by a licensed person only"
    if other.remedy_need is Need.OPEN_DEAD is not cause.remedy_need:
        return "is mended inside, and this remedy leaves the covers on"
    if other.touches_electrics and not (cause.touches_electrics or cause.remedy_need is Need.OPEN_DEAD):
        return "touches an electrical part, and this remedy does not"
    return ""
