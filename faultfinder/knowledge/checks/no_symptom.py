"""A pack without a single symptom."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "no-symptom",
    WARNING,
    "nothing to complain of",
    "A job begins with what the customer says: the observations with symptom: yes are offered there. "
    "A pack without any begins every job blind.",
    such_as="a pack whose observation stays_cold says nothing of symptom; write symptom: yes there.",
)


def check(view: View) -> Iterator[Problem]:
    if len(view.pack.causes) >= A_PACK and not any(item.symptom for item in view.asked):
        hint = "write symptom: yes where customers complain of it"
        yield view.problem(CODE, view.start, "no observation is a symptom, so no complaint can be told", hint)


A_PACK = 4
"""Causes. Chosen: fewer are a beginning."""
