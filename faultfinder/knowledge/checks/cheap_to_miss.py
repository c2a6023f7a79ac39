"""A fault that costs less to miss than to mend."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "cheap-to-miss",
    WARNING,
    "to miss it costs less than to mend it",
    "if_missed is the second journey and the work done again, so it is more than minutes and "
    "part_costs together. Where it is less, to leave the fault is the better bargain, and nobody is "
    "asked about it.",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: none
    remedy: Replace the knob
    minutes: 5
    if_missed: 30
    shows: {lid_sticks: often}
    proof: [lid_sticks]
    part_costs: moderate
    parts: [knob]
""",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: none
    remedy: Replace the knob
    minutes: 5
    if_missed: 60
    shows: {lid_sticks: often}
    proof: [lid_sticks]
    part_costs: moderate
    parts: [knob]
""",
)


def check(view: View) -> Iterator[Problem]:
    for cause in view.pack.causes.values():
        work = cause.minutes + cause.part_costs
        if cause.if_missed < work <= 1000:
            message = f"{cause.id}: if_missed is {cause.if_missed:g}, and minutes and parts come to {work:g}"
            hint = f"a return visit does that work again: more than {work:g}"
            yield view.problem(CODE, view.mark(cause.id, "if_missed"), message, hint)
