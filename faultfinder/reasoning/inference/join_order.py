"""In which pairs to join several tables that share a variable.

Joining is associative, its cost is not: two tables with k accumulating variables in common take (3/2)^k products
an entry. Three ways are worked out and the cheapest is taken: the smallest table always first, all into the
largest one by one, and the cheapest pair first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations

from faultfinder.reasoning.inference.elimination_order import counter
from faultfinder.reasoning.inference.factors import Piece

Pairs = list[tuple[int, int]]
"""Which to join, by index; each result goes to the end of the list."""


class Schedule:
    """Joins over the variables of one piece."""

    def __init__(self, piece: Piece) -> None:
        self.entries = counter([variable.size for variable in piece.variables])
        """Entries of a table over some variables (as bits)."""
        self.gathers: dict[int, int] = {}
        """Size -> the accumulating variables (as bits) of that size."""
        for index, variable in enumerate(piece.variables):
            if variable.accumulates:
                self.gathers[variable.size] = self.gathers.get(variable.size, 0) | 1 << index

    def cost(self, one: int, other: int) -> int:
        """Products that joining two tables takes: k (k + 1) / 2 for an accumulating variable of k values in both."""
        total = self.entries(one | other)
        for size, mask in self.gathers.items():
            both = (one & other & mask).bit_count()
            total = total * (size + 1) ** both >> both
        return total

    def of(self, scopes: Sequence[Sequence[int]]) -> Pairs:
        """The pairs for these tables; the last one joins what is left."""
        if len(scopes) == 2:
            return [(0, 1)]
        masks = [sum(1 << variable for variable in scope) for scope in scopes]
        ways = [self._smallest_first, self._into_largest]
        if len(scopes) <= 12:
            ways.append(self._cheapest_first)
        return min([self._follow(way, list(masks)) for way in ways], key=lambda found: found[0])[1]

    def _follow(
        self, way: Callable[[list[int], list[int]], tuple[int, int]], masks: list[int]
    ) -> tuple[int, Pairs]:
        """What it costs to go one way, and its pairs. The way picks two of the tables that are left."""
        left = list(range(len(masks)))
        pairs: Pairs = []
        total = 0
        while len(left) > 1:
            one, other = way(masks, left)
            total += self.cost(masks[one], masks[other])
            pairs.append((one, other))
            left = [at for at in left if at not in (one, other)] + [len(masks)]
            masks.append(masks[one] | masks[other])
        return total, pairs

    def _smallest_first(self, masks: list[int], left: list[int]) -> tuple[int, int]:
        size = {at: self.entries(masks[at]) for at in left}
        first = min(left, key=lambda at: (size[at], at))
        others = [at for at in left if at != first]
        return first, min(others, key=lambda at: (self.entries(masks[at] | masks[first]), size[at], at))

    def _into_largest(self, masks: list[int], left: list[int]) -> tuple[int, int]:
        first = left[-1]
        if len(left) == len(masks):
            first = max(left, key=lambda at: (self.entries(masks[at]), -at))
        return first, min(
            [at for at in left if at != first], key=lambda at: (self.cost(masks[first], masks[at]), at)
        )

    def _cheapest_first(self, masks: list[int], left: list[int]) -> tuple[int, int]:
        return min(combinations(left, 2), key=lambda pair: (self.cost(masks[pair[0]], masks[pair[1]]), pair))
