"""A fire or shock hazard that no safe observation can rule out."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import CLEARS, best_clearing, is_catch_all
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "grave-not-ruled-out",
    WARNING,
    "a grave hazard cannot be ruled out",
    "A fault that can start a fire or give a shock must be settled before the job ends. That takes "
    "an observation, made with the machine not running, that is seldom healthy while the fault is "
    "there.",
    """
causes:
  wire_chafed:
    title: Wire chafed
    how_common: rare
    hazard: shock
    remedy: Replace the wire
    minutes: 5
    if_missed: 60
    shows: {slow_to_boil: always}
""",
    """
causes:
  wire_chafed:
    title: Wire chafed
    how_common: rare
    hazard: shock
    remedy: Replace the wire
    minutes: 5
    if_missed: 60
    shows: {slow_to_boil: sometimes, wire_seen: always}
observations:
  wire_seen: {kind: look, ask: Is a wire chafed?, answers: yes_no, access: open_dead, how: Look under the cover.}
""",
)


def check(view: View) -> Iterator[Problem]:
    for cause in view.pack.causes.values():
        if not cause.hazard.grave or is_catch_all(cause) or cause.hand_to:
            continue
        best = best_clearing(view, cause)
        if best is not None and best < CLEARS:
            mark = view.mark(cause.id, "shows")
            message = (
                f"{cause.id}: hazard {cause.hazard}, but no observation on a machine at rest can rule it out"
            )
            hint = f"add one that it shows usually or always (now {best:.1f} to one, {CLEARS:g} is enough)"
            yield view.problem(CODE, mark, message, hint)
