"""How many faults a job has by the rules."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import faults_a_job, machine_words
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    if not view.pack.causes:
        return
    for machine in view.machines:
        total = faults_a_job(view.pack, machine)
        if not LEAST <= total <= MOST:
            direction = "lower" if total > MOST else "raise"
            expected = f"{total:.2f} faults a job on {machine_words(machine)}"
            message = f"the rules expect {expected}; {LEAST:g} to {MOST:g} is sane"
            yield Objection(view.pack_mark(), message, f"{direction} how_common or brought_on_by")


LEAST, MOST = 1.0, 2.5
"""Faults a job, by the sum of the implied totals. Chosen."""
