"""A pack without a single symptom."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem
from faultfinder.knowledge.view import View

CODE = Code(
    "no-symptom",
    WARNING,
    "nothing to complain of",
    "A job begins with what the customer says: the observations with symptom: yes are offered there. "
    "A pack without any begins every job blind.",
    """
pack: {title: Lamp, version: 1}
observations:
  lamp_dark: {kind: told, ask: Is it dark?, answers: yes_no}
states:
  lamp_off: {title: Lamp off, brought_on_by: {lamp_broken: always}, shows: {lamp_dark: always}}
""",
    """
pack: {title: Lamp, version: 1}
observations:
  lamp_dark: {kind: told, ask: Is it dark?, answers: yes_no, symptom: yes}
""",
)


def check(view: View) -> Iterator[Problem]:
    if view.asked and view.pack.causes and not any(item.symptom for item in view.asked):
        hint = "write symptom: yes where customers complain of it"
        yield view.problem(CODE, view.start, "no observation is a symptom, so no complaint can be told", hint)
