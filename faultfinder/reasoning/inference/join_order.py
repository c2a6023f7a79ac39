"""In which pairs to join several tables that share a variable.

Joining is associative, its cost is not: two tables with k accumulating variables in common take (3/2)^k products
an entry. Three ways are worked out and the cheapest is taken: the smallest table always first, all into the
largest one by one, and the cheapest pair first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from faultfinder.reasoning.inference.factors import Piece

Pairs = list[tuple[int, int]]
"""Which to join, by index; each result goes to the end of the list."""


class Schedule:
    """Joins over the variables of one piece."""

    def __init__(self, piece: Piece) -> None:
        classes: dict[int, tuple[int, int]] = {}
        for index, variable in enumerate(piece.variables):
            there, gathers = classes.get(variable.size, (0, 0))
            bit = 1 << index
            classes[variable.size] = (there | bit, gathers | bit if variable.accumulates else gathers)
        self._classes = [(size, there, gathers) for size, (there, gathers) in classes.items()]

    def entries(self, scope: int) -> int:
        """Entries of a table over these variables (as bits)."""
        total = 1
        for size, there, _ in self._classes:
            total *= size ** (scope & there).bit_count()
        return total

    def cost(self, one: int, other: int) -> int:
        """Products that joining two tables takes."""
        total = 1
        shared, either = one & other, one | other
        for size, there, gathers in self._classes:
            both = (shared & gathers).bit_count()
            total *= size ** ((either & there).bit_count() - both) * (size * (size + 1) // 2) ** both
        return total

    def of(self, scopes: Sequence[Sequence[int]]) -> Pairs:
        """The pairs for these tables; the last one joins what is left."""
        if len(scopes) == 2:
            return [(0, 1)]
        masks = [sum(1 << variable for variable in scope) for scope in scopes]
        ways: list[Callable[[list[int]], tuple[int, Pairs]]] = [self._smallest_first, self._into_largest]
        if len(scopes) <= 12:
            ways.append(self._cheapest_first)
        return min((way(list(masks)) for way in ways), key=lambda found: found[0])[1]

    def _smallest_first(self, masks: list[int]) -> tuple[int, Pairs]:
        left = {at: self.entries(mask) for at, mask in enumerate(masks)}
        pairs: Pairs = []
        total = 0
        while len(left) > 1:
            first = min(left, key=lambda at: (left[at], at))
            del left[first]
            mask = masks[first]
            second = min(left, key=lambda at: (self.entries(masks[at] | mask), left[at], at))
            del left[second]
            total += self.cost(mask, masks[second])
            pairs.append((first, second))
            masks.append(mask | masks[second])
            left[len(masks) - 1] = self.entries(masks[-1])
        return total, pairs

    def _into_largest(self, masks: list[int]) -> tuple[int, Pairs]:
        left = set(range(len(masks)))
        at = max(left, key=lambda index: (self.entries(masks[index]), -index))
        pairs: Pairs = []
        total = 0
        while True:
            left.discard(at)
            if not left:
                return total, pairs
            mask = masks[at]
            cost, other = min((self.cost(mask, masks[index]), index) for index in left)
            total += cost
            left.discard(other)
            pairs.append((at, other))
            masks.append(mask | masks[other])
            at = len(masks) - 1

    def _cheapest_first(self, masks: list[int]) -> tuple[int, Pairs]:
        left = list(range(len(masks)))
        pairs: Pairs = []
        total = 0
        while len(left) > 1:
            cost, one, other = min(
                (self.cost(masks[a], masks[b]), a, b) for at, a in enumerate(left) for b in left[at + 1 :]
            )
            total += cost
            pairs.append((one, other))
            left = [index for index in left if index not in (one, other)]
            masks.append(masks[one] | masks[other])
            left.append(len(masks) - 1)
        return total, pairs
