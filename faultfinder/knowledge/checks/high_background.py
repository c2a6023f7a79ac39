"""A background that calls the abnormal answer usual."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        total = max(observation.background[1:], default=0.0)
        if total > MOST and view.given(observation.id, "background"):
            largest = max(range(1, len(observation.background)), key=lambda at: observation.background[at])
            mark = view.mark(observation.id, "background", observation.answers[largest].id)
            message = f"{observation.id}: {total:.2g} of all sound machines give this abnormal answer"
            hint = (
                "write the chance of the abnormal answer; if it is so, turn the answers round: healthy first"
            )
            yield Objection(mark, message, hint)


MOST = 0.6
"""Chosen: above it is hardly the trouble that is asked for."""
