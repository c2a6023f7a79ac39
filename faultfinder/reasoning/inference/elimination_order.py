"""In which order to sum the variables of a piece out, and how wide that gets, known before any number is.

Greedy orders: next comes the variable whose table would be smallest, or the one that would tie the fewest new
pairs together; a trigger comes before the node it becomes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from faultfinder.reasoning.inference.factors import Piece

Graph = tuple[tuple[tuple[int, int], ...], tuple[tuple[int, ...], ...]]
"""For each variable its size and the node variable it becomes (-1: none); for each node the variables it is
linked to."""


@dataclass(frozen=True, slots=True)
class Order:
    """variables: in the order of summing out. cliques: for each the set (as bits) of variables in its table, and
    its entries. cost: entries of all together."""

    variables: tuple[int, ...]
    cliques: tuple[tuple[int, int], ...]
    cost: int


def graph_of(piece: Piece) -> Graph:
    """What of a piece its orders depend on."""
    return (
        tuple([(variable.size, variable.becomes) for variable in piece.variables]),
        tuple([tuple([variable for variable, _ in links]) for links in piece.links]),
    )


CHEAP = 4_000
"""Entries of all tables up to which a second order is not looked for: it takes longer than it saves; chosen."""


def greedy_order(graph: Graph, most: int) -> Order:
    """The cheaper one of two greedy orders; one that comes to more than `most` entries is not gone through with."""
    order = _greedy(graph, True, most)
    if order.cost <= CHEAP:
        return order
    return min(order, _greedy(graph, False, most), key=lambda each: each.cost)


@lru_cache(maxsize=32)
def burden(graph: Graph, groups: tuple[tuple[int, ...], ...]) -> tuple[int, list[int]]:
    """Table entries of a greedy order, and how many of them stand in tables with a variable of each group."""
    order = _greedy(graph, True)
    masks = [sum(1 << variable for variable in group) for group in groups]
    return order.cost, [sum([size for clique, size in order.cliques if clique & mask]) for mask in masks]


def counter(sizes: Sequence[int]) -> Callable[[int], int]:
    """How many entries a table over a set of variables (as bits) has."""
    masks: dict[int, int] = {}
    for index, size in enumerate(sizes):
        masks[size] = masks.get(size, 0) | 1 << index
    by_size = list(masks.items())

    def entries(scope: int) -> int:
        total = 1
        for size, mask in by_size:
            total *= size ** (scope & mask).bit_count()
        return total

    return entries


def _neighbours(graph: Graph) -> list[int]:
    """For each variable the set (as bits) of those it shares a table with."""
    variables, links = graph
    near = [0] * len(variables)
    for position, others in enumerate(links):
        for other in others:
            near[position] |= 1 << other
            near[other] |= 1 << position
    for index, (_, becomes) in enumerate(variables):
        if becomes >= 0:
            near[index] |= 1 << becomes
            near[becomes] |= 1 << index
    return near


def _greedy(graph: Graph, fill: bool, most: float = math.inf) -> Order:
    """Next comes what ties the fewest new pairs together (`fill`), or else whose table is smallest."""
    variables = graph[0]
    near = _neighbours(graph)
    waits = [0] * len(near)
    for _, becomes in variables:
        if becomes >= 0:
            waits[becomes] += 1
    entries = counter([size for size, _ in variables])

    def score(index: int) -> tuple[int, int, float]:
        around = near[index]
        size, tie = entries(around), float(index)
        if not fill:
            return size, 0, tie
        count = around.bit_count()
        joined = 0
        for other in _members(around):
            joined += (around & near[other]).bit_count()
        return count * (count - 1) - joined, size, tie

    scores = {index: score(index) for index in range(len(near)) if not waits[index]}
    order: list[int] = []
    tables: list[tuple[int, int]] = []
    cost = 0
    while scores:
        chosen = min(scores, key=scores.__getitem__)
        del scores[chosen]
        around = near[chosen]
        size = entries(around | 1 << chosen)
        cost += size
        if cost > most:
            break
        changed = around
        for other in _members(around):
            grown = (near[other] | around) & ~(1 << chosen | 1 << other)
            if fill and grown | 1 << chosen != near[other]:
                changed |= grown
            near[other] = grown
        order.append(chosen)
        tables.append((around | 1 << chosen, size))
        becomes = variables[chosen][1]
        if becomes >= 0:
            waits[becomes] -= 1
            if not waits[becomes]:
                scores[becomes] = score(becomes)
        for other in _members(changed):
            if other in scores:
                scores[other] = score(other)
    return Order(tuple(order), tuple(tables), cost)


def _members(bits: int) -> list[int]:
    found = []
    while bits:
        low = bits & -bits
        found.append(low.bit_length() - 1)
        bits ^= low
    return found
