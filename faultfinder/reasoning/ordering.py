"""In which order to sum the variables of a piece out, and how wide that gets, known before any number is.

Greedy orders: next comes the variable whose table would be smallest, or the one that would tie the fewest new
pairs together; a trigger comes before the node it becomes. Where that gets wide, more orders are tried with
ties broken by a fixed pseudo-random sequence (no randomness of its own: the same piece, the same order).
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from faultfinder.reasoning.factors import Piece

Graph = tuple[tuple[tuple[int, int], ...], tuple[tuple[int, ...], ...]]
"""For each variable its size and the node variable it becomes (-1: none); for each node the variables it is
linked to."""

_Rule = Callable[[int, int, float], tuple[float, float, float]]


MANY = 20_000
"""Entries from which on more orders are tried (chosen: a run then costs more than finding a better order)."""

TRIES = 8


@dataclass(frozen=True, slots=True)
class Order:
    """variables: in the order of summing out. cliques: for each the set (as bits) of variables in its table, and
    its entries. largest: entries of the largest table. cost: of all together."""

    variables: tuple[int, ...]
    cliques: tuple[tuple[int, int], ...]
    largest: int
    cost: int


def graph_of(piece: Piece) -> Graph:
    """What of a piece its orders depend on."""
    return (
        tuple([(variable.size, variable.becomes) for variable in piece.variables]),
        tuple([tuple([variable for variable, _ in links]) for links in piece.links]),
    )


def greedy_orders(graph: Graph) -> list[Order]:
    """A few greedy orders, cheapest first; more of them where they come out wide."""
    near = _neighbours(graph)
    orders = [_greedy(graph, near, rule, None) for rule in (_by_size, _by_fill)]
    if min(order.cost for order in orders) > MANY:
        shuffle = random.Random(1)
        for attempt in range(TRIES):
            rule = _by_fill if attempt % 2 else _by_size
            orders.append(_greedy(graph, near, rule, shuffle))
    return sorted(orders, key=lambda order: order.cost)


def burden(graph: Graph, groups: Sequence[Sequence[int]]) -> tuple[int, list[int]]:
    """Table entries of a greedy order, and how many of them stand in tables with a variable of each group."""
    order = _greedy(graph, _neighbours(graph), _by_fill, None)
    found = []
    for group in groups:
        mask = sum(1 << variable for variable in group)
        found.append(sum([size for clique, size in order.cliques if clique & mask]))
    return order.cost, found


def _by_size(size: int, fill: int, tie: float) -> tuple[float, float, float]:
    return size, fill, tie


def _by_fill(size: int, fill: int, tie: float) -> tuple[float, float, float]:
    return fill, size, tie


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


def _greedy(graph: Graph, start: list[int], rule: _Rule, shuffle: random.Random | None) -> Order:
    variables = graph[0]
    near = list(start)
    masks: dict[int, int] = {}
    waits = [0] * len(near)
    for index, (size, becomes) in enumerate(variables):
        masks[size] = masks.get(size, 0) | 1 << index
        if becomes >= 0:
            waits[becomes] += 1
    by_size = list(masks.items())

    def entries(around: int) -> int:
        size = 1
        for values, mask in by_size:
            size *= values ** (around & mask).bit_count()
        return size

    def score(index: int) -> tuple[float, float, float]:
        around = near[index]
        joined = sum((around & near[other]).bit_count() for other in _members(around))
        count = around.bit_count()
        tie = shuffle.random() if shuffle else float(index)
        return rule(entries(around), count * (count - 1) - joined, tie)

    scores = {index: score(index) for index in range(len(near)) if not waits[index]}
    order: list[int] = []
    tables: list[tuple[int, int]] = []
    largest, cost = 1, 0
    while scores:
        chosen = min(scores, key=scores.__getitem__)
        del scores[chosen]
        around = near[chosen]
        size = entries(around | 1 << chosen)
        largest = max(largest, size)
        cost += size
        changed = around
        for other in _members(around):
            grown = (near[other] | around) & ~(1 << chosen | 1 << other)
            if grown | 1 << chosen != near[other]:
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
    return Order(tuple(order), tuple(tables), largest, cost)


def _members(bits: int) -> list[int]:
    found = []
    while bits:
        low = bits & -bits
        found.append(low.bit_length() - 1)
        bits ^= low
    return found
