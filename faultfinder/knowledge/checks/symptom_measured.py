"""A measurement, or a find inside the machine, that is called a symptom."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Kind, Need
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for item in view.asked:
        inside = item.need in (Need.ISOLATED, Need.OPEN_DEAD)
        if item.symptom and (inside or item.kind is Kind.READING):
            what = "measured" if item.kind is Kind.READING else f"found with access {item.need}"
            message = f"{item.id}: symptom: yes, but it is {what}, and no customer tells it"
            hint = "leave symptom out; what the customer notices is an observation of kind told"
            yield Objection(view.mark(item.id, "symptom"), message, hint)
