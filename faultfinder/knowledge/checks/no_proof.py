"""A remedy without proof."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import is_catch_all
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        excused = cause.hand_to or is_catch_all(cause) or not cause.remedy
        if (
            excused
            or cause.proof
            or (view.given(cause.id, "proof") and not view.empty_list(cause.id, "proof"))
        ):
            continue
        hint = "add proof: with the observations that were abnormal because of it"
        at = "proof" if view.given(cause.id, "proof") else "remedy"
        yield Objection(view.mark(cause.id, at), f"{cause.id}: nothing proves its remedy", hint)
