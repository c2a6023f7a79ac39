"""How many faults a job has by the rules."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import faults_a_job, machine_words
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "totals",
    WARNING,
    "the implied totals are out of proportion",
    "how_common and brought_on_by together say how many faults a job has. It must lie between 1 and "
    "2.5: under 1 the tool doubts that anything is wrong, over 2.5 it sees faults everywhere.",
    """
pack: {title: Lamp, version: 1}
causes:
  bulb_dead:
    title: Bulb dead
    how_common: common
    hazard: none
    remedy: Replace the bulb
    minutes: 5
    if_missed: 60
    shows: {dark: always}
observations:
  dark: {kind: look, ask: Is it dark?, answers: yes_no}
""",
    """
pack: {title: Lamp, version: 1}
causes:
  bulb_dead:
    title: Bulb dead
    how_common: 0.9
    hazard: none
    remedy: Replace the bulb
    minutes: 5
    if_missed: 60
    shows: {dark: always}
  switch_worn:
    title: Switch worn
    how_common: 0.3
    hazard: none
    remedy: Replace the switch
    minutes: 5
    if_missed: 60
    shows: {dark: often}
observations:
  dark: {kind: look, ask: Is it dark?, answers: yes_no}
""",
    alone=True,
)


def check(view: View) -> Iterator[Problem]:
    if not view.pack.causes:
        return
    for machine in view.machines:
        total = faults_a_job(view.pack, machine)
        if not LEAST <= total <= MOST:
            direction = "lower" if total > MOST else "raise"
            expected = f"{total:.2f} faults a job on {machine_words(machine)}"
            message = f"the rules expect {expected}; {LEAST:g} to {MOST:g} is sane"
            yield view.problem(CODE, view.pack_mark(), message, f"{direction} how_common or brought_on_by")


LEAST, MOST = 1.0, 2.5
"""Faults a job, by the sum of the implied totals. Chosen."""
