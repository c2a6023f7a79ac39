"""A background that calls the abnormal answer usual."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "high-background",
    WARNING,
    "sound machines show it more often than not",
    "background is how often a sound machine gives an abnormal answer. Where that is half of them or "
    "more, the answers are mostly the wrong way round, or the chance of the healthy answer was "
    "written.",
    """
observations:
  hinge_seen: {kind: look, ask: Is the hinge worn?, answers: yes_no, background: {yes: 0.97}}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {hinge_seen: always}}
""",
    """
observations:
  hinge_seen: {kind: look, ask: Is the hinge worn?, answers: yes_no, background: {yes: 0.03}}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {hinge_seen: always}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        total = max(observation.background[1:], default=0.0)
        if total > MOST and view.given(observation.id, "background"):
            largest = max(range(1, len(observation.background)), key=lambda at: observation.background[at])
            mark = view.mark(observation.id, "background", observation.answers[largest].id)
            message = f"{observation.id}: {total:.2g} of all sound machines give this abnormal answer"
            hint = (
                "write the chance of the abnormal answer; if it is so, turn the answers round: healthy first"
            )
            yield view.problem(CODE, mark, message, hint)


MOST = 0.6
"""Chosen: above it is hardly the trouble that is asked for."""
