"""An answer that no cause leads to."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.pushes import adds_up_only, unreached
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "unreached-answer",
    WARNING,
    "no cause leads to this answer",
    "An answer that only chance can give tells nothing when it comes. Either a link is missing, or "
    "the answer is not needed.",
    """
observations:
  lever_feel: {kind: look, ask: How does the lever feel?, answers: {crisp: Crisp, limp: Limp, stuck: Stuck}}
states:
  lever_worn: {title: Lever worn, brought_on_by: {scale_thick: often}, shows: {lever_feel: {limp: often}}}
""",
    """
observations:
  lever_feel: {kind: look, ask: How does the lever feel?, answers: {crisp: Crisp, limp: Limp, stuck: Stuck}}
states:
  lever_worn:
    title: Lever worn
    brought_on_by: {scale_thick: often}
    shows: {lever_feel: {limp: often, stuck: rarely}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        if adds_up_only(view, observation):
            continue
        for answer in unreached(view, observation):
            mark = view.answer_mark(observation, answer)
            hint = "add the link that is missing, or leave the answer out"
            yield view.problem(CODE, mark, f'{observation.id}: no cause leads to "{answer}"', hint)
