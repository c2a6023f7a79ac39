"""Causes that bring one another on in a ring."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    items = view.bringers
    settled: set[str] = set()
    for start in items:
        ring = _ring(view, start, settled)
        if ring:
            mark = view.mark(ring[0], "brought_on_by", ring[-1])
            shown = " brings on ".join([*ring, ring[0]])
            yield Objection(mark, f"a ring: {shown}", "leave out the weakest of these links")


def _ring(view: View, start: str, settled: set[str]) -> list[str]:
    """A ring reached from `start` that was not told before, each bringing on the next; or nothing."""
    path: list[str] = []
    stack = [(start, iter(view.brought_on.get(start, ())))]
    if start in settled:
        return []
    path.append(start)
    while stack:
        item, onward = stack[-1]
        for effect in onward:
            if effect in path:
                ring = path[path.index(effect) :]
                settled.update(path)
                return ring
            if effect not in settled:
                path.append(effect)
                stack.append((effect, iter(view.brought_on.get(effect, ()))))
                break
        else:
            stack.pop()
            path.pop()
            settled.add(item)
    return []
