"""Faults that can burn a house or kill: whether what was told makes them likely enough to forbid use, together."""

from __future__ import annotations

from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.scope import raised
from faultfinder.reasoning.inference.any_of import chance_of_any
from faultfinder.reasoning.inference.assessment import Assessment
from faultfinder.text.catalogue import say


def grave_titles(case: Assessment) -> list[str]:
    """Titles of the grave faults that stand above even chance now; where none does by itself and the raised ones do
    together, one line that names the likeliest of them. Nothing for a machine outside the pack."""
    if case.outside:
        return []
    now, causes = case.confidence(), case.pack.causes
    grave = [name for name in now if causes[name].hazard.grave]
    alone = [name for name in grave if now[name] > FOUND]
    if alone:
        return [causes[name].title for name in alone]
    group = [name for name in sorted(raised(case).intersection(grave), key=lambda name: -now[name])]
    if len(group) < 2 or sum(now[name] for name in group) <= FOUND:
        return []  # the chance of any is at most the sum
    if chance_of_any(case, {"grave": group})["grave"] <= FOUND:
        return []
    return [say("grave_one_of", titles=", ".join(causes[name].title for name in group[:3]))]
