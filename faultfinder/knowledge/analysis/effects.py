"""What one fault alone makes an observation answer: through its own links and through what it brings on.

Used by the checks only. Consequences of one fault are taken as independent of one another, which is exact for
a tree and close enough to judge a rule base by; the engine itself makes no such step.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property, lru_cache
from itertools import accumulate

from faultfinder.knowledge.analysis.machines import Machine, in_order_of_bringing, possible
from faultfinder.knowledge.model import Cause, Observation, Pack, State


class Effects:
    """Consequences and answer chances of single faults on one sort of machine."""

    def __init__(self, pack: Pack, machine: Machine) -> None:
        self.pack = pack
        self.machine = machine

    @cached_property
    def _items(self) -> dict[str, Cause | State]:
        causes = {name: c for name, c in self.pack.causes.items() if possible(c.applies, self.machine)}
        return {**causes, **self.pack.states}

    @cached_property
    def _order(self) -> list[str]:
        return [name for name in in_order_of_bringing(self.pack) if name in self._items]

    @cached_property
    def _consequences(self) -> dict[str, dict[str, float]]:
        return {name: self.consequences(name) for name in self._items}

    def brings_on(self, name: str, other: str) -> bool:
        """Whether `other` can be there because `name` is."""
        return other in self._consequences[name]

    def consequences(self, name: str) -> dict[str, float]:
        """Cause or state id -> chance that it is there because `name` is; `name` itself with 1."""
        present = {name: 1.0}
        started = False
        for item in self._order:
            if item == name:
                started = True
                continue
            if not started:
                continue
            absent = 1.0
            for bringer, chance in self._items[item].brought_on_by.items():
                absent *= 1.0 - chance * present.get(bringer, 0.0)
            if absent < 1.0:
                present[item] = 1.0 - absent
        return present

    @cached_property
    def _links(self) -> dict[str, dict[str, tuple[float, ...]]]:
        """Observation -> {cause or state: pushes}."""
        links: dict[str, dict[str, tuple[float, ...]]] = {}
        for name, item in self._items.items():
            for observation, link in item.shows.items():
                links.setdefault(observation, {})[name] = link.pushes
        return links

    @cached_property
    def _shown(self) -> dict[str, dict[str, tuple[float, ...]]]:
        return {name: self._chances_of(name) for name in self._items}

    def shown_by(self, name: str) -> Mapping[str, tuple[float, ...]]:
        """Observation -> chance of each true answer with this fault alone; only the observations it moves, and none
        where it cannot be on the machine."""
        return self._shown.get(name, {})

    def _chances_of(self, name: str) -> dict[str, tuple[float, ...]]:
        present = self._consequences[name]
        moved = {o for item in present for o in self._items[item].shows if o in self.pack.observations}
        found = {}
        for observation in self.pack.observations:
            if observation in moved and possible(self.pack.observations[observation].applies, self.machine):
                found[observation] = self._mixed(self.pack.observations[observation], present)
        return found

    def _mixed(self, observation: Observation, present: Mapping[str, float]) -> tuple[float, ...]:
        at_most = list(_sums(observation.background))
        links = self._links.get(observation.id, {})
        for name, chance in present.items():
            if chance and name in links:
                sums = _sums(links[name])
                at_most = [q * (1.0 - chance * (1.0 - s)) for q, s in zip(at_most, sums, strict=True)]
        return tuple(high - low for low, high in zip([0.0, *at_most], at_most, strict=False))


@lru_cache(maxsize=4096)
def _sums(chances: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(accumulate(chances, initial=0.0))[1:]


def as_said(chances: tuple[float, ...], reliability: float) -> tuple[float, ...]:
    """Chance of each answer as people give it: r for the true one, the rest shared among the others."""
    share = (1.0 - reliability) / max(1, len(chances) - 1)
    return tuple(reliability * p + share * (1.0 - p) for p in chances)
