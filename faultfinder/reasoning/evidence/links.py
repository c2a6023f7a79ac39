"""The links of a pack as a case needs them: what pushes an observation, what can bring what on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from faultfinder.knowledge.model import Cause, Pack, State


@dataclass(frozen=True, slots=True)
class Links:
    """The links of a pack turned round, observation -> what pushes it; causes and states in an order in which
    whatever brings another on comes first; for each state how surely each cause reaches it, alone; and for each
    symptom that is a reason to call how surely each cause shows in it, alone."""

    pushed_by: Mapping[str, tuple[tuple[str, tuple[float, ...]], ...]]
    order: tuple[str, ...]
    ancestors: Mapping[str, frozenset[str]]
    reach: Mapping[str, Mapping[str, float]]
    told: Mapping[str, Mapping[str, float]]


def turn_round(pack: Pack) -> Links:
    """Work out the links of a checked pack (no cycles) once; every case shares them."""
    pushed: dict[str, list[tuple[str, tuple[float, ...]]]] = {name: [] for name in pack.observations}
    items: dict[str, Cause | State] = {**pack.causes, **pack.states}
    for name, item in items.items():
        for link in item.shows.values():
            pushed[link.observation].append((name, link.pushes))
    order: list[str] = []
    ancestors: dict[str, frozenset[str]] = {}

    def visit(name: str) -> frozenset[str]:
        if name not in ancestors:
            found: set[str] = {name}
            for bringer in items[name].brought_on_by:
                found |= visit(bringer)
            ancestors[name] = frozenset(found)
            order.append(name)
        return ancestors[name]

    for name in items:
        visit(name)
    reach = _reaches(pack, order)
    told = {
        name: _shown(pushed[name], reach)
        for name, item in pack.observations.items()
        if item.symptom and not item.sets_the_scene
    }
    return Links({name: tuple(pairs) for name, pairs in pushed.items()}, tuple(order), ancestors, reach, told)


def _reaches(pack: Pack, order: Sequence[str]) -> dict[str, dict[str, float]]:
    """State -> cause -> the chance that the cause, when present, brings the state about, by any way."""
    reach: dict[str, dict[str, float]] = {}
    for name in order:
        if name not in pack.states:
            continue
        missed: dict[str, float] = {}
        for bringer, weight in pack.states[name].brought_on_by.items():
            for cause, chance in reach.get(bringer, {bringer: 1.0}).items():
                missed[cause] = missed.get(cause, 1.0) * (1.0 - chance * weight)
        reach[name] = {cause: 1.0 - left for cause, left in missed.items()}
    return reach


def _shown(
    pushing: Sequence[tuple[str, tuple[float, ...]]], reach: Mapping[str, Mapping[str, float]]
) -> dict[str, float]:
    """Cause -> the chance that it shows in an observation, when present, itself or by way of states."""
    missed: dict[str, float] = {}
    for by, pushes in pushing:
        for cause, chance in reach.get(by, {by: 1.0}).items():
            missed[cause] = missed.get(cause, 1.0) * (1.0 - chance * (1.0 - pushes[0]))
    return {cause: 1.0 - left for cause, left in missed.items()}
