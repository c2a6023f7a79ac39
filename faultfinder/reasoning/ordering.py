"""In which order to sum the variables of a piece out, and how wide that gets, known before any number is.

Greedy orders by the size of the table each step makes, ties by the edges it would add; a trigger comes before
the node it becomes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from faultfinder.reasoning.factors import Piece


@dataclass(frozen=True, slots=True)
class Order:
    """variables: in the order of summing out. largest: entries of the largest table. cost: of all together."""

    variables: tuple[int, ...]
    largest: int
    cost: int


def best_order(piece: Piece) -> Order:
    """The cheapest of a few greedy orders."""
    return min((_greedy(piece, rule) for rule in (_by_size, _by_fill)), key=lambda order: order.cost)


def _by_size(size: int, fill: int, shrink: float) -> tuple[float, float]:
    return size, fill


def _by_fill(size: int, fill: int, shrink: float) -> tuple[float, float]:
    return fill, size


def _greedy(piece: Piece, rule: Callable[[int, int, float], tuple[float, float]]) -> Order:
    sizes = [variable.size for variable in piece.variables]
    near: list[set[int]] = [set() for _ in sizes]
    for table in piece.tables:
        for variable in table.scope:
            near[variable].update(table.scope)
    waits = [0] * len(sizes)
    for index, variable in enumerate(piece.variables):
        near[index].discard(index)
        if variable.becomes >= 0:
            near[index].add(variable.becomes)
            near[variable.becomes].add(index)
            waits[variable.becomes] += 1
    scores: dict[int, tuple[float, float]] = {}

    def score(index: int) -> tuple[float, float]:
        around = near[index]
        size = sizes[index]
        for other in around:
            size *= sizes[other]
        count = len(around)
        joined = sum(len(around & near[other]) for other in around)
        return rule(size, count * (count - 1) - joined, 0.0)

    for index in range(len(sizes)):
        if not waits[index]:
            scores[index] = score(index)
    order: list[int] = []
    largest, cost = 1, 0
    while scores:
        chosen = min(scores, key=scores.__getitem__)
        del scores[chosen]
        around = near[chosen]
        size = sizes[chosen]
        for other in around:
            size *= sizes[other]
        largest = max(largest, size)
        cost += size
        changed = set(around)
        for other in around:
            near[other] |= around
            near[other] -= {chosen, other}
            changed |= near[other]
        order.append(chosen)
        becomes = piece.variables[chosen].becomes
        if becomes >= 0:
            waits[becomes] -= 1
            if not waits[becomes]:
                scores[becomes] = score(becomes)
        for other in changed:
            if other in scores:
                scores[other] = score(other)
    return Order(tuple(order), largest, cost)
