"""An observation whose answers are guesses."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "worthless-answer",
    WARNING,
    "an answer that tells nothing",
    "reliability is the chance that an answer is the true one. Near pure guessing no answer changes "
    "anything, and the question is a waste.",
    """
observations:
  hinge_seen: {kind: look, ask: Is the hinge worn?, answers: yes_no, reliability: 0.5}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {hinge_seen: always}}
""",
    """
observations:
  hinge_seen: {kind: look, ask: Is the hinge worn?, answers: yes_no, reliability: 0.9}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {hinge_seen: always}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        if observation.reliability < LEAST:
            sure = f"{observation.id}: with reliability {observation.reliability:g}"
            message = f"{sure} its answers tell next to nothing"
            hint = "people are right nine times in ten; leave it out where you do not know better"
            yield view.problem(CODE, view.mark(observation.id, "reliability"), message, hint)


LEAST = 0.65
"""Chosen."""
