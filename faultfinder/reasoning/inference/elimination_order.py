"""In which order to sum the variables of a piece out, and how wide that gets, known before any number is.

Greedy orders: next comes the variable whose table would be smallest, or the one that would tie the fewest new
pairs together; a trigger comes before the node it becomes.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
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

HOPELESS = 1e12
"""Entries of all tables beyond which an order is not gone through with; chosen: 10 TB."""


@lru_cache(maxsize=256)
def greedy_order(graph: Graph, most: int) -> Order:
    """The cheaper one of two greedy orders; the second one is not gone through with where it comes to more than the
    first, or than `most` entries."""
    order = by_fewest_ties(graph)
    if order.cost <= CHEAP:
        return order
    return min(order, _greedy(graph, False, min(order.cost, most)), key=lambda each: each.cost)


@lru_cache(maxsize=32)
def by_fewest_ties(graph: Graph) -> Order:
    """The order in which the fewest new pairs are tied together, as far as it is not HOPELESS."""
    return _greedy(graph, True, HOPELESS)


def burden(graph: Graph, groups: Sequence[Collection[int]]) -> tuple[int, list[int]]:
    """Table entries of a greedy order, and how many of them stand in tables with a variable of each group."""
    order = by_fewest_ties(graph)
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


def _greedy(graph: Graph, fill: bool, most: float) -> Order:
    """Next comes what ties the fewest new pairs together (`fill`), or else whose table is smallest."""
    variables = graph[0]
    near = _neighbours(graph)
    # The neighbours once more, one by one: bits are quick to count, sets to go through.
    each_near = [set(_members(bits)) for bits in near]
    waits = [0] * len(near)
    for _, becomes in variables:
        if becomes >= 0:
            waits[becomes] += 1
    entries = counter([size for size, _ in variables])

    def score(index: int) -> tuple[int, int, int]:
        around = near[index]
        size = entries(around)
        if not fill:
            return size, 0, index
        count = len(each_near[index])
        joined = sum([(around & near[other]).bit_count() for other in each_near[index]])
        return count * (count - 1) - joined, size, index

    scores = {index: score(index) for index in range(len(near)) if not waits[index]}
    order: list[int] = []
    tables: list[tuple[int, int]] = []
    cost = 0
    while scores:
        chosen = min(scores.values())[2]
        del scores[chosen]
        around, members = near[chosen], each_near[chosen]
        size = entries(around | 1 << chosen)
        cost += size
        if cost > most:
            break
        changed = set(members)
        tied: list[tuple[int, int]] = []
        for other in members:
            new = around & ~near[other] & ~(1 << other)
            near[other] = (near[other] | new) & ~(1 << chosen)
            each_near[other].discard(chosen)
            if new:
                each_near[other] |= members
                each_near[other].discard(other)
                tied += [(other, one) for one in members if new >> one & 1 and one < other]
        if fill:
            # A new pair changes the score of what sees both.
            for other, one in tied:
                changed |= each_near[other] & each_near[one]
        order.append(chosen)
        tables.append((around | 1 << chosen, size))
        becomes = variables[chosen][1]
        if becomes >= 0:
            waits[becomes] -= 1
            if not waits[becomes]:
                scores[becomes] = score(becomes)
        for other in changed:
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
