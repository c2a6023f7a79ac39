"""A remedy that cannot fail, or a grave one of which it is not said how often it works."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.model import Cause, Need
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "takes-unsaid",
    WARNING,
    "whether the remedy takes is not said",
    "A repair that did not take is found by its proof: takes says how often it works. With 1 a proof "
    "that reads wrong blames the plate or the meter. Where a fault can burn or shock, and is cleaned "
    "or set or mended and no part replaced, say how often that works.",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: fire
    remedy: Tighten the knob
    minutes: 5
    if_missed: 60
    shows: {lid_sticks: usually, scale_seen: {thick: usually}}
    proof: [lid_sticks]
""",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: fire
    remedy: Tighten the knob
    minutes: 5
    if_missed: 60
    shows: {lid_sticks: usually, scale_seen: {thick: usually}}
    proof: [lid_sticks]
    takes: 0.9
""",
)


def check(view: View) -> Iterator[Problem]:
    for cause in view.pack.causes.values():
        if not cause.proof:
            continue
        if cause.takes == 1.0:
            message = f"{cause.id}: takes is 1: a proof that reads wrong would blame the plate or the meter"
            yield view.problem(CODE, view.mark(cause.id, "takes"), message, "write 0.98, or leave it out")
        elif cause.takes == 0.0:
            message = f"{cause.id}: takes is 0: a remedy that never works is none"
            yield view.problem(
                CODE, view.mark(cause.id, "takes"), message, "say how often it works, or leave it out"
            )
        elif cause.hazard.grave and view.written(cause.id, "takes") is None and _mended(cause):
            message = f"{cause.id}: {cause.hazard} is proved away, and takes does not say how often the remedy works"
            yield view.problem(
                CODE, cause.mark, message, f"write takes: {cause.takes:g}, or what you know better"
            )


def _mended(cause: Cause) -> bool:
    """Whether it is put right here and no part replaced."""
    others = cause.hand_to or cause.remedy_need is Need.ANYWHERE
    return not (others or cause.parts or _PART.match(cause.remedy))


_PART = re.compile(r"(?:replace|renew|fit|exchange|new)\b", re.IGNORECASE)
