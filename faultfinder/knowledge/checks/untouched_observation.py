"""An observation that no cause touches."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "untouched-observation",
    WARNING,
    "no cause has anything to do with it",
    "An observation that no cause or state shows changes nothing when it is answered: it costs "
    "minutes for nothing. One that opens other questions (only_if) or is a danger sign may stand "
    "alone.",
    """
observations:
  colour_seen: {kind: look, ask: Is it faded?, answers: yes_no}
""",
    """
observations:
  colour_seen: {kind: look, ask: Is it faded?, answers: yes_no}
states:
  old: {title: Old, brought_on_by: {scale_thick: often}, shows: {colour_seen: often}}
""",
)


def check(view: View) -> Iterator[Problem]:
    touched = {observation for item in view.bringers.values() for observation in item.shows}
    gates = {gate for item in view.asked for gate in item.only_if}
    for observation in view.pack.observations.values():
        if observation.id not in touched and observation.id not in gates and not observation.danger:
            mark = view.mark(observation.id)
            hint = "let a cause show it, or leave it out"
            yield view.problem(CODE, mark, f"{observation.id}: no cause or state shows it", hint)
