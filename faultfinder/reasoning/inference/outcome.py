"""What one possible answer would do: its probability, and every node after it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple


class Posterior:
    """What stands now, with what the answer changes laid over it.

    A node that the engine was not asked to report raises LookupError.
    """

    __slots__ = ("_base", "_changed")

    def __init__(self, base: Sequence[float], changed: Mapping[int, float]) -> None:
        self._base, self._changed = base, changed

    def __getitem__(self, node: int) -> float:
        found = self._changed.get(node, self._base[node])
        if math.isnan(found):
            raise LookupError(f"node {node} was not to be reported")
        return found

    def __len__(self) -> int:
        return len(self._base)

    def changed(self) -> Mapping[int, float]:
        """Only the nodes that the answer bears on."""
        return self._changed


class Outcome(NamedTuple):
    """What one possible answer would do.

    probability: of that answer, given the evidence so far; for a likelihood, sum over levels l(k) P(k).
    posterior: P(present) of every node after it; where probability is 0, what it is now.
    """

    probability: float
    posterior: Posterior
