"""Which sets of nodes are most probably present together, all other nodes summed out.

Best first: a partial set (some nodes decided) is at most as probable as the evidence with it, which the
engine gives exactly; when a fully decided set stands first, nothing left can beat it.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, overload

from faultfinder.reasoning.clash import ImpossibleEvidence

if TYPE_CHECKING:
    from faultfinder.reasoning.engine import Engine


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
    """The k most probable sets over the nodes `which`. budget: how many partial sets may be opened."""
    queue: list[tuple[float, int, dict[int, bool], Engine]] = [(-1.0, 0, {}, engine)]
    found: list[tuple[frozenset[int], float]] = []
    made = 0
    while queue and len(found) < k and budget > 0:
        bound, _, decided, here = heapq.heappop(queue)
        posterior = here.posterior()
        open_nodes = [node for node in which if node not in decided]
        if not open_nodes:
            found.append((frozenset(node for node, present in decided.items() if present), -bound))
            continue
        budget -= 1
        node = max(open_nodes, key=lambda index: min(posterior[index], 1.0 - posterior[index]))
        for present in (False, True):
            chance = posterior[node] if present else 1.0 - posterior[node]
            if chance <= 0.0:
                continue
            fixed = {**here.fixed, node: present}
            try:
                below = here.fixing(fixed)
            except ImpossibleEvidence:
                continue
            made += 1
            probability = math.exp(below.log_probability - engine.log_probability)
            heapq.heappush(queue, (-probability, made, {**decided, node: present}, below))
    certified = len(found) == k or not queue
    return Ranking(tuple(found), certified, sum(probability for _, probability in found))
