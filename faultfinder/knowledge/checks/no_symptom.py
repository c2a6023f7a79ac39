"""A pack without a single symptom."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    if len(view.pack.causes) >= A_PACK and not any(item.symptom for item in view.asked):
        hint = "write symptom: yes where customers complain of it"
        yield Objection(view.start, "no observation is a symptom, so no complaint can be told", hint)


A_PACK = 4
"""Causes. Chosen: fewer are a beginning."""
