"""In which pairs to join several tables that share a variable.

Joining is associative, its cost is not: two tables with k accumulating variables in common take (3/2)^k products
an entry. Three ways are worked out and the cheapest is taken: the smallest table always first, all into the
largest one by one, and the cheapest pair first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import combinations

from faultfinder.reasoning.inference.elimination_order import counter

Pairs = list[tuple[int, int]]
"""Which to join, by index; each result goes to the end of the list."""


@lru_cache(maxsize=8)
def schedule(laws: tuple[tuple[int, bool], ...]) -> Schedule:
    """The joins over variables of these sizes, and whether each accumulates; kept: at every rate of errors
    they are the same."""
    return Schedule(laws)


class Schedule:
    """Joins over the variables of one piece; see `schedule`."""

    def __init__(self, laws: Sequence[tuple[int, bool]]) -> None:
        self.entries = counter([size for size, _ in laws])
        """Entries of a table over some variables (as bits)."""
        self.gathers: dict[int, int] = {}
        """Size -> the accumulating variables (as bits) of that size."""
        for index, (size, accumulates) in enumerate(laws):
            if accumulates:
                self.gathers[size] = self.gathers.get(size, 0) | 1 << index
        self._found: dict[tuple[int, ...], Pairs] = {}

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
        masks = tuple([sum([1 << variable for variable in scope]) for scope in scopes])
        if masks not in self._found:
            ways = [self._smallest_first, self._into_largest]
            if len(scopes) <= 12:
                ways.append(self._cheapest_first)
            found = [self._follow(way, list(masks)) for way in ways]
            self._found[masks] = min(found, key=lambda each: each[0])[1]
        return self._found[masks]

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
