"""A cause that nothing speaks for strongly against a look-alike."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import (
    FIVE,
    is_catch_all,
    look_alike_groups,
    weakest_against,
)
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "weak-speaker",
    WARNING,
    "nothing speaks for it strongly enough",
    "Every cause needs an observation with an answer that is at least five times as likely with it "
    "as with its nearest look-alike; otherwise it is found only by ruling the other out.",
    """
causes:
  spring_weak:
    title: Spring of the switch weak
    how_common: rare
    hazard: none
    remedy: Replace the switch
    minutes: 5
    if_missed: 60
    shows: {slow_to_boil: rarely}
""",
    """
causes:
  spring_weak:
    title: Spring of the switch weak
    how_common: rare
    hazard: none
    remedy: Replace the switch
    minutes: 5
    if_missed: 60
    shows: {slow_to_boil: rarely, lever_limp: usually}
observations:
  lever_limp: {kind: look, ask: Does the lever feel limp?, answers: yes_no}
""",
)


def check(view: View) -> Iterator[Problem]:
    grouped = {name for group in look_alike_groups(view) for name in group}
    for cause in view.pack.causes.values():
        if cause.id in grouped or is_catch_all(cause):
            continue
        weak = weakest_against(view, cause.id)
        if weak is not None:
            other, ratio, where = weak
            best = f"the best, {where}, does {ratio:.1f} to one" if where else "none does at all"
            message = f"{cause.id}: no observation speaks for it {FIVE:g} to one against {other}"
            yield view.problem(
                CODE,
                view.mark(cause.id, "shows"),
                message,
                f"{best}; add one, or write the same group under both",
            )
