"""Causes that no observation tells apart, speaks for, or rules out."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import (
    CLEARS,
    FIVE,
    best_clearing,
    is_catch_all,
    look_alike_groups,
    weakest_against,
)
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.registry import warning
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.text.format import listed


@warning("look-alikes", "add one that does, or write the same group under each of them", whole=True)
def no_observation_tells_them_apart(view: View) -> Iterator[Objection]:
    for first, *others in look_alike_groups(view):
        says = f"no observation tells it from {listed(others)} {FIVE:g} to one"
        yield view.objection(first, "shows", says=says)


@warning("weak-speaker", whole=True)
def nothing_speaks_strongly_for_it(view: View) -> Iterator[Objection]:
    grouped = {name for group in look_alike_groups(view) for name in group}
    for cause in view.pack.causes.values():
        if cause.id in grouped or is_catch_all(cause):
            continue
        weak = weakest_against(view, cause.id)
        if weak is not None:
            other, ratio, where = weak
            best = f"the best, {where}, does {ratio:.1f} to one" if where else "none does at all"
            says = f"no observation speaks for it {FIVE:g} to one against {other}"
            hint = f"{best}; add one, or write the same group under both"
            yield view.objection(cause.id, "shows", says=says, hint=hint)


@warning("lonely-group", whole=True)
def group_has_a_single_member(view: View) -> Iterator[Objection]:
    members: dict[str, list[str]] = {}
    for cause in view.pack.causes.values():
        if cause.group:
            members.setdefault(cause.group, []).append(cause.id)
    for group, causes in members.items():
        if len(causes) == 1:
            hint = did_you_mean(group, [g for g in members if g != group])
            says = f'the group "{group}" has no other member'
            yield view.objection(causes[0], "group", says=says, hint=hint)


@warning("grave-not-ruled-out", whole=True)
def nothing_safe_rules_out_fire_or_shock(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        if not cause.hazard.grave or is_catch_all(cause) or cause.hand_to:
            continue
        best = best_clearing(view, cause)
        if best is not None and best < CLEARS:
            says = f"hazard {cause.hazard}, but no observation on a machine at rest can rule it out"
            hint = f"add one that it shows usually or always (now {best:.1f} to one, {CLEARS:g} is enough)"
            yield view.objection(cause.id, "shows", says=says, hint=hint)
