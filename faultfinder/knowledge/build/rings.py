"""Rings in what leans on one another: causes that bring one another on, class values that need one another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter


def rings(before: Mapping[str, Iterable[str]]) -> Iterator[list[str]]:
    """Each ring, every member coming before the next and the last before the first, which stands first in `before`.

    before: name -> what comes before it; other names are passed over. A name is told in one ring only.
    """
    left = {name: {each for each in others if each in before} for name, others in before.items()}
    order = list(before)
    while True:
        try:
            TopologicalSorter(left).prepare()
            return
        except CycleError as found:
            ring: list[str] = found.args[1][:-1]
        first = ring.index(min(ring, key=order.index))
        yield ring[first:] + ring[:first]
        left = {name: others.difference(ring) for name, others in left.items() if name not in ring}
