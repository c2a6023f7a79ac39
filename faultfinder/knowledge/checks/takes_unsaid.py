"""A remedy that cannot fail, or a grave one of which it is not said how often it works."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Cause, Need
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        if not cause.proof:
            continue
        if cause.takes == 1.0:
            message = f"{cause.id}: takes is 1: a proof that reads wrong would blame the plate or the meter"
            yield Objection(view.mark(cause.id, "takes"), message, "write 0.98, or leave it out")
        elif cause.takes == 0.0:
            message = f"{cause.id}: takes is 0: a remedy that never works is none"
            yield Objection(view.mark(cause.id, "takes"), message, "say how often it works, or leave it out")
        elif cause.hazard.grave and view.written(cause.id, "takes") is None and _mended(cause):
            message = f"{cause.id}: {cause.hazard} is proved away, and takes does not say how often the remedy works"
            yield Objection(cause.mark, message, f"write takes: {cause.takes:g}, or what you know better")


def _mended(cause: Cause) -> bool:
    """Whether it is put right here and no part replaced."""
    others = cause.hand_to or cause.remedy_need is Need.ANYWHERE
    return not (others or cause.parts or _PART.match(cause.remedy))


_PART = re.compile(r"(?:replace|renew|fit|exchange|new)\b", re.IGNORECASE)
