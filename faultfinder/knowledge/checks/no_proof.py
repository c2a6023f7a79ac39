"""A remedy without proof."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import is_catch_all
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "no-proof",
    WARNING,
    "a remedy is not proved",
    "A repair is done when a measurement or a look shows it, not when the part is in. proof: names "
    "observations that were abnormal because of the fault.",
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
""",
)


def check(view: View) -> Iterator[Problem]:
    for cause in view.pack.causes.values():
        excused = cause.hand_to or is_catch_all(cause) or not cause.remedy
        if not excused and not view.given(cause.id, "proof"):
            hint = "add proof: with the observations that were abnormal because of it"
            yield view.problem(
                CODE, view.mark(cause.id, "remedy"), f"{cause.id}: nothing proves its remedy", hint
            )
