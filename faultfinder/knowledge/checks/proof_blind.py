"""A proof that the fault does not touch."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.pushes import shown_through
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "proof-blind",
    WARNING,
    "the proof does not depend on the fault",
    "An observation that is healthy with and without the fault proves nothing. Name one that the "
    "cause shows, itself or through what it brings on.",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: none
    remedy: Replace the knob
    minutes: 5
    if_missed: 60
    shows: {lid_sticks: often}
    proof: [scale_seen]
""",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: none
    remedy: Replace the knob
    minutes: 5
    if_missed: 60
    shows: {lid_sticks: often}
    proof: [lid_sticks]
""",
)


def check(view: View) -> Iterator[Problem]:
    for cause in view.pack.causes.values():
        shown = shown_through(view, cause.id)
        for observation in cause.proof:
            if shown and observation not in shown:
                mark = view.mark(cause.id, "proof")
                message = f"{cause.id}: {observation} does not depend on the fault, so it proves nothing"
                yield view.problem(CODE, mark, message, "name an observation that it shows")
