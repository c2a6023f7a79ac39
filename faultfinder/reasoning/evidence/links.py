"""The links of a pack as a case needs them: what pushes an observation, what can bring what on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from faultfinder.knowledge.model import Cause, Pack, State


@dataclass(frozen=True, slots=True)
class Links:
    """The links of a pack turned round.

    pushed_by: observation -> what pushes it, with its pushes. order: causes and states, whatever brings another on
    first. ancestors: each of them with all that can bring it on. behind: observation -> the causes and states that
    can show in it, near or far. reach: state -> how surely each cause, alone, brings it about. shown: observation ->
    how surely each cause, alone, shows in it, itself or by way of states; told: the same of the symptoms that are a
    reason to call.
    """

    pushed_by: Mapping[str, tuple[tuple[str, tuple[float, ...]], ...]]
    order: tuple[str, ...]
    ancestors: Mapping[str, frozenset[str]]
    behind: Mapping[str, frozenset[str]]
    reach: Mapping[str, Mapping[str, float]]
    shown: Mapping[str, Mapping[str, float]]
    told: Mapping[str, Mapping[str, float]]


def turn_round(pack: Pack) -> Links:
    """Work out the links of a checked pack (no cycles) once; every case shares them."""
    pushed: dict[str, list[tuple[str, tuple[float, ...]]]] = {name: [] for name in pack.observations}
    items: dict[str, Cause | State] = {**pack.causes, **pack.states}
    for name, item in items.items():
        for link in item.shows.values():
            pushed[link.observation].append((name, link.pushes))
    ancestors: dict[str, frozenset[str]] = {}

    def visit(name: str) -> frozenset[str]:
        if name not in ancestors:
            found = frozenset[str]().union(*map(visit, items[name].brought_on_by))
            ancestors[name] = found | {name}
        return ancestors[name]

    for name in items:
        visit(name)
    reach: dict[str, dict[str, float]] = {}
    for name in ancestors:
        if name in pack.states:
            reach[name] = _by_any_way(pack.states[name].brought_on_by.items(), reach)
    shown = {
        name: _by_any_way([(by, 1.0 - pushes[0]) for by, pushes in pairs], reach)
        for name, pairs in pushed.items()
    }
    told = {
        name: shown[name]
        for name, item in pack.observations.items()
        if item.symptom and not item.sets_the_scene
    }
    return Links(
        {name: tuple(pairs) for name, pairs in pushed.items()},
        tuple(ancestors),
        ancestors,
        {name: frozenset[str]().union(*(ancestors[by] for by, _ in pairs)) for name, pairs in pushed.items()},
        reach,
        shown,
        told,
    )


def _by_any_way(
    links: Iterable[tuple[str, float]], reach: Mapping[str, Mapping[str, float]]
) -> dict[str, float]:
    """Cause -> the chance that it, present alone, comes through one of these links from itself or from states."""
    missed: dict[str, float] = {}
    for by, weight in links:
        for cause, chance in reach.get(by, {by: 1.0}).items():
            missed[cause] = missed.get(cause, 1.0) * (1.0 - chance * weight)
    return {cause: 1.0 - left for cause, left in missed.items()}
