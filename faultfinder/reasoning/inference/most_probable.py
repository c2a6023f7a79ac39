"""Which sets of nodes are most probably present together, all other nodes summed out.

Best first over partly decided sets. What bounds a set from above is exact: P(decided so far | evidence), got from
the tapes with the decided nodes' own weights set to 0 on the other side. A set that contains a node is at most as
probable as that node, so against the k-th best set known, nodes that are too improbable (or too sure) are decided
without branching: of a hundred causes mostly a dozen is left. When what stands first is fully decided, nothing
left can beat it. The first k sets to compare with are the nodes above one half, and that set with one node
turned.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, overload

from faultfinder.reasoning.inference.forward_backward import backward, forward, weights_back

if TYPE_CHECKING:
    from faultfinder.reasoning.inference.engine import Engine

TURNED = 12
"""Nodes turned one by one for the first sets to compare with, at most (chosen)."""

SLACK = 1e-9
"""How much below the k-th best (in logarithms) a set must be to be left out: far above rounding (chosen)."""


@dataclass(frozen=True)
class Ranking(Sequence[tuple[frozenset[int], float]]):
    """(nodes present, P(exactly these of the nodes asked | evidence)), most probable first.

    certified: no other set is more probable than the last one listed. covered: their probabilities summed.
    """

    sets: tuple[tuple[frozenset[int], float], ...]
    certified: bool
    covered: float

    def __len__(self) -> int:
        return len(self.sets)

    @overload
    def __getitem__(self, index: int) -> tuple[frozenset[int], float]: ...

    @overload
    def __getitem__(self, index: slice) -> tuple[tuple[frozenset[int], float], ...]: ...

    def __getitem__(
        self, index: int | slice
    ) -> tuple[frozenset[int], float] | tuple[tuple[frozenset[int], float], ...]:
        return self.sets[index]


def most_probable(engine: Engine, which: Sequence[int], k: int, budget: int = 2000) -> Ranking:
    """The k most probable sets over the nodes `which`; fewer where fewer are possible.

    budget: how many runs of a tape the search may take; when it is used up the best sets so far are given, not
    certified.
    """
    nodes = list(dict.fromkeys(which))
    worlds = _Worlds(engine.keeping(nodes), nodes, budget)
    known = _first_sets(worlds, nodes, k)
    queue: list[tuple[float, int, dict[int, bool]]] = [(0.0, 0, {})]
    pushed = 0
    found: dict[frozenset[int], float] = {}
    while queue and len(found) < k and worlds.budget > 0:
        floor = -math.inf
        if len(known) >= k:
            floor = heapq.nlargest(k, {**known, **found}.values())[-1] - SLACK
        _, _, decided = heapq.heappop(queue)
        bound, chances = worlds.of(decided)
        open_nodes = [node for node in nodes if node not in decided]
        settled = {}
        for node in open_nodes:
            p = chances[node]
            if p <= 0.0 or bound + math.log(p) < floor:
                settled[node] = False
            elif p >= 1.0 or bound + math.log1p(-p) < floor:
                settled[node] = True
        if settled:
            branches = [{**decided, **settled}]
        elif open_nodes:
            node = max(open_nodes, key=lambda index: min(chances[index], 1.0 - chances[index]))
            branches = [{**decided, node: False}, {**decided, node: True}]
        else:
            found[frozenset(node for node, present in decided.items() if present)] = bound
            continue
        for branch in branches:
            bound = worlds.of(branch)[0]
            if bound > -math.inf and bound >= floor:
                pushed += 1
                heapq.heappush(queue, (-bound, pushed, branch))
    certified = len(found) == k or not queue
    best = found if certified else {**known, **found}
    ranked = sorted(best.items(), key=lambda item: -item[1])[:k]
    sets = tuple([(chosen, math.exp(log)) for chosen, log in ranked])
    return Ranking(sets, certified, math.fsum(probability for _, probability in sets))


def _first_sets(worlds: _Worlds, nodes: Sequence[int], k: int) -> dict[frozenset[int], float]:
    """Some fully decided sets with their log probabilities."""
    _, chances = worlds.of({})
    likely = {node: chances[node] > 0.5 for node in nodes}
    unsure = sorted(nodes, key=lambda node: -min(chances[node], 1.0 - chances[node]))
    known: dict[frozenset[int], float] = {}
    for turned in [None, *unsure[: max(k, TURNED)]]:
        decided = likely if turned is None else {**likely, turned: not likely[turned]}
        bound = worlds.of(decided)[0]
        if bound > -math.inf:
            known[frozenset(node for node, present in decided.items() if present)] = bound
    return known


class _Worlds:
    """P(decided | evidence), and every node given both; pieces are run only for what is decided in them."""

    def __init__(self, engine: Engine, nodes: Sequence[int], budget: int) -> None:
        self.engine = engine
        self.budget = budget
        self._by_piece: dict[int, list[int]] = {}
        self._alone: list[int] = []
        for node in nodes:
            place = engine.place.get(node)
            if place is None:
                self._alone.append(node)
            else:
                self._by_piece.setdefault(place[0], []).append(node)
        self._runs: dict[tuple[int, tuple[tuple[int, bool], ...]], tuple[float, dict[int, float]]] = {}

    def of(self, decided: Mapping[int, bool]) -> tuple[float, dict[int, float]]:
        """ln P(decided | evidence), -inf if impossible; and P(present | decided, evidence) of every node."""
        log, chances = 0.0, {}
        for number, nodes in self._by_piece.items():
            key = tuple([(node, decided[node]) for node in nodes if node in decided])
            if (number, key) not in self._runs:
                self._runs[number, key] = self._run(number, nodes, key)
            more, here = self._runs[number, key]
            log += more
            chances.update(here)
        for node in self._alone:
            p = self.engine.alone[node]
            if node in decided:
                chance = p if decided[node] else 1.0 - p
                log += math.log(chance) if chance > 0.0 else -math.inf
                p = float(decided[node])
            chances[node] = p
        return log, chances

    def _run(
        self, number: int, nodes: Sequence[int], decided: tuple[tuple[int, bool], ...]
    ) -> tuple[float, dict[int, float]]:
        solved = self.engine.pieces[number]
        own = list(solved.piece.own)
        for node, present in decided:
            position = self.engine.place[node][1]
            own[position] = (0.0, own[position][1]) if present else (own[position][0], 0.0)
        self.budget -= 1
        run = forward(solved.tape, own, solved.piece.log_scale)
        if run.log_total == -math.inf:
            return -math.inf, dict.fromkeys(nodes, 0.0)
        if len(decided) == len(nodes):
            chances = {node: float(present) for node, present in decided}
        else:
            present_at = backward(solved.tape, run, weights_back(solved.tape, run))
            chances = {node: present_at[self.engine.place[node][1]] for node in nodes}
        return run.log_total - solved.run.log_total, chances
