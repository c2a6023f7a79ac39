"""An observation whose answers are guesses."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if observation.reliability < LEAST:
            sure = f"{observation.id}: with reliability {observation.reliability:g}"
            message = f"{sure} its answers tell next to nothing"
            hint = "people are right nine times in ten; leave it out where you do not know better"
            yield Objection(view.mark(observation.id, "reliability"), message, hint)


LEAST = 0.65
"""Chosen."""
