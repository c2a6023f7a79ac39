"""A remedy on a refrigerant circuit or gas part that is not handed on."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.instructions.unsafe_text import licensed_work
from faultfinder.knowledge.problem import ERROR, Problem
from faultfinder.knowledge.schema.value_types import quoted

CODE = Code(
    "licensed-work",
    ERROR,
    "licensed work is not handed to a licensed person",
    "Work on a sealed refrigerant circuit or on a gas part belongs to licensed people: such a cause "
    "says hand_to: licensed, and its remedy is to call one.",
    """
causes:
  charge_lost:
    title: Refrigerant lost
    how_common: rare
    hazard: none
    remedy: Recharge the refrigerant
    minutes: 60
    if_missed: 90
    shows: {stays_cold: always}
""",
    """
causes:
  charge_lost:
    title: Refrigerant lost
    how_common: rare
    hazard: none
    remedy: Recharge the refrigerant
    hand_to: licensed
    minutes: 60
    if_missed: 90
    shows: {stays_cold: always}
""",
)


def check(view: View) -> Iterator[Problem]:
    for cause in view.pack.causes.values():
        if cause.hand_to:
            continue
        for path, text in view.texts(cause):
            sentence = licensed_work(text) if path[0].startswith("remedy") else None
            if sentence is not None:
                mark = view.mark(cause.id, *path)
                yield view.problem(
                    CODE, mark, f"{cause.id}: {quoted(sentence)} is licensed work", "add hand_to: licensed"
                )
