"""Nodes that no evidence bears on: which are computed with the rest, and which are left *loose*.

A node without evidence at or below it changes nothing, but it can be asked for, or be a parent of a finding that
is to be asked. Taken into the tables it may tie distant parents together and make everything dearer; loose, it
is summed out where it is needed: a reweighting of its present weight by r is
    r * (as things are)  +  (1 - r) * (it is absent),
and its absence is a reweighting of its own parents: (1 - leak) * product of (1 - weight) over the present ones.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from faultfinder.reasoning.inference.elimination_order import burden, graph_of
from faultfinder.reasoning.inference.factors import Folded, build_piece
from faultfinder.reasoning.inference.network import Network

if TYPE_CHECKING:
    from faultfinder.reasoning.inference.engine import Engine

DEAR = 0.4
"""Share of all table entries from which on a reported node that no evidence bears on is left loose (chosen)."""

MOST_DEAR = 4
"""Such nodes at most (chosen: each costs the totals of all columns once more)."""

SMALL = 1000
"""Table entries up to which leaving a node out is not worth the thought (chosen)."""


class Term(NamedTuple):
    """One non-negative part of P(finding <= level): coefficient, and factors on the present weights of nodes by
    piece number and position, or by node for nodes that stand alone."""

    level: int
    coefficient: float
    pieces: dict[int, dict[int, float]]
    alone: dict[int, float]


def hangs_on(engine: Engine, nodes: Iterable[int]) -> tuple[set[int], set[int]]:
    """What nodes hang on by way of loose ones: pieces, by number, and nodes that are loose or stand alone; themselves
    among them."""
    pieces: set[int] = set()
    outside: set[int] = set()
    waiting = list(nodes)
    while waiting:
        node = waiting.pop()
        if node in engine.place:
            pieces.add(engine.place[node][0])
        elif node not in outside:
            outside.add(node)
            if node not in engine.alone:
                waiting += [parent for parent, _ in engine.network.nodes[node].parents]
    return pieces, outside


def dear_nodes(
    network: Network, touched: Collection[int], report: Collection[int], coupling: Sequence[Folded]
) -> list[int]:
    """The reported nodes that are better left loose: no evidence or other reported node needs them, and the
    tables would be much smaller without them."""
    needed = with_ancestors(network, touched)
    spare = [
        node
        for node in report
        if node not in needed and sum(1 for _, weight in network.nodes[node].parents if weight) > 1
    ]
    if not spare:
        return []
    core = with_ancestors(network, {*touched, *report})
    brings = {parent for node in core for parent, _ in network.nodes[node].parents}
    spare = [node for node in spare if node not in brings]
    dear: list[tuple[float, int]] = []
    total = 0.0
    for part in split(network, core, coupling):
        inside = set(part)
        here = [folded for folded in coupling if folded.coupled[0][0] in inside]
        mine = [node for node in spare if node in inside]
        if not mine:
            continue
        rest = with_ancestors(network, ({*touched, *report} & inside).difference(mine))
        place = {node: at for at, node in enumerate(part)}
        piece = build_piece(network, part, {}, here)
        trigger = {law.becomes: at for at, law in enumerate(piece.variables) if law.becomes >= 0}
        groups = []
        for node in mine:
            own = [place[other] for other in with_ancestors(network, [node]) - rest]
            groups.append(tuple(sorted([*own, *(trigger[at] for at in own if at in trigger)])))
        entries, burdens = burden(graph_of(piece), tuple(groups))
        total += entries
        dear += [(entries_of, node) for node, entries_of in zip(mine, burdens, strict=True)]
    chosen = sorted([(share, node) for share, node in dear if share > DEAR * max(total, SMALL)], reverse=True)
    return [node for _, node in chosen[:MOST_DEAR]]


def ranks(network: Network) -> list[int]:
    """For every node the length of the longest way down to it. Raises ValueError where links go in a circle."""
    waiting = [len(node.parents) for node in network.nodes]
    children: list[list[int]] = [[] for _ in network.nodes]
    for index, node in enumerate(network.nodes):
        for parent, _ in node.parents:
            children[parent].append(index)
    found = [0] * len(network.nodes)
    ready = [index for index, count in enumerate(waiting) if not count]
    done = 0
    while ready:
        index = ready.pop()
        done += 1
        for child in children[index]:
            found[child] = max(found[child], found[index] + 1)
            waiting[child] -= 1
            if not waiting[child]:
                ready.append(child)
    if done < len(network.nodes):
        raise ValueError("the links between nodes go in a circle")
    return found


def with_ancestors(network: Network, nodes: Collection[int]) -> set[int]:
    """The nodes and all that may bring them on."""
    core: set[int] = set()
    waiting = list(nodes)
    while waiting:
        node = waiting.pop()
        if node not in core:
            core.add(node)
            waiting += [parent for parent, _ in network.nodes[node].parents]
    return core


def split(network: Network, core: Collection[int], coupling: Iterable[Folded]) -> list[list[int]]:
    """The connected parts of the core, sorted, in order of first member."""
    leader = {node: node for node in sorted(core)}

    def find(node: int) -> int:
        while leader[node] != node:
            leader[node] = leader[leader[node]]
            node = leader[node]
        return node

    groups = [
        [node, *(parent for parent, weight in network.nodes[node].parents if weight)] for node in leader
    ]
    groups += [[node for node, _ in folded.coupled] for folded in coupling]
    for first, *others in groups:
        for other in others:
            leader[find(other)] = find(first)
    parts: dict[int, list[int]] = {}
    for node in leader:
        parts.setdefault(find(node), []).append(node)
    return list(parts.values())


def expand(
    engine: Engine, level: int, coefficient: float, weights: Mapping[int, float], most: int
) -> list[Term] | None:
    """A reweighting (node -> factor on its present weight) with the loose nodes summed out; None where that takes
    more than `most` parts."""
    place, alone = engine.place, engine.alone
    parts = [(coefficient, dict(weights))]
    while True:
        loose = {n for _, those in parts for n in those if n not in place and n not in alone}
        if not loose:
            break
        node = max(loose, key=engine.rank.__getitem__)
        law = engine.network.nodes[node]
        made = []
        for weight, those in parts:
            if node not in those:
                made.append((weight, those))
                continue
            factor = those.pop(node)
            if factor < 1.0 and law.leak < 1.0:
                away = dict(those)
                for parent, link in law.parents:
                    away[parent] = away.get(parent, 1.0) * (1.0 - link)
                made.append((weight * (1.0 - factor) * (1.0 - law.leak), away))
            if weight * factor > 0.0:
                made.append((weight * factor, those))
        if len(made) > most:
            return None
        parts = made
    terms = []
    for weight, those in parts:
        pieces: dict[int, dict[int, float]] = {}
        single: dict[int, float] = {}
        for node, factor in those.items():
            if factor == 1.0:
                continue
            if node in place:
                number, position = place[node]
                pieces.setdefault(number, {})[position] = factor
            else:
                single[node] = factor
        terms.append(Term(level, weight, pieces, single))
    return terms
