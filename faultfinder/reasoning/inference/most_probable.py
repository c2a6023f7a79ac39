"""Which sets of nodes are most probably present together, all other nodes summed out.

Sets that come up on machines drawn from the posterior are candidates, and the most frequent one with single nodes
turned. The probability of each is then worked out from the tables: only which sets are looked at rests on a draw.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence

from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.forward_backward import forward


def frequent_sets(which: Sequence[int], masks: Sequence[int], count: int) -> list[frozenset[int]]:
    """The `count` sets over the nodes `which` that come up on most machines. masks: for each node of a network the
    machines on which it is present; those of a mask not in any other have the empty set."""
    on: dict[int, list[int]] = {}
    for node in which:
        mask = masks[node]
        while mask:
            low = mask & -mask
            on.setdefault(low.bit_length(), []).append(node)
            mask ^= low
    found = Counter(map(frozenset, on.values()))
    found[frozenset()] += 1
    ranked = sorted(found.items(), key=lambda pair: (-pair[1], sorted(pair[0])))
    return [nodes for nodes, _ in ranked[:count]]


def subsets(which: Sequence[int]) -> list[frozenset[int]]:
    """All sets over the nodes `which`."""
    out = [frozenset[int]()]
    for node in which:
        out += [nodes | {node} for nodes in out]
    return out


def turned(nodes: frozenset[int], chances: Mapping[int, float], count: int) -> list[frozenset[int]]:
    """A set with one node turned: those nodes about which least is known."""
    unsure = sorted(chances, key=lambda node: (-min(chances[node], 1.0 - chances[node]), node))
    return [nodes ^ {node} for node in unsure[:count]]


def chances_of_sets(engine: Engine, which: Sequence[int], sets: Sequence[frozenset[int]]) -> list[float]:
    """P(exactly these of the nodes `which` | evidence) of each set; the engine has those nodes in its tables."""
    pieces: dict[int, list[int]] = {}
    alone = []
    for node in which:
        if node in engine.place:
            pieces.setdefault(engine.place[node][0], []).append(node)
        else:
            alone.append(node)
    known: dict[tuple[int, frozenset[int]], float] = {}
    out = []
    for present in sets:
        chance = 1.0
        for node in alone:
            chance *= engine.alone[node] if node in present else 1.0 - engine.alone[node]
        for number, nodes in pieces.items():
            key = number, present.intersection(nodes)
            if key not in known:
                known[key] = _chance_in_piece(engine, number, nodes, present)
            chance *= known[key]
        out.append(chance)
    return out


def _chance_in_piece(engine: Engine, number: int, nodes: Sequence[int], present: frozenset[int]) -> float:
    solved = engine.pieces[number]
    own = list(solved.piece.own)
    for node in nodes:
        at = engine.place[node][1]
        own[at] = (0.0, own[at][1]) if node in present else (own[at][0], 0.0)
    run = forward(solved.tape, own, solved.piece.log_scale)
    return math.exp(run.log_total - solved.run.log_total)
