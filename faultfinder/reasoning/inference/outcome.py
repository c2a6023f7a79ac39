"""What one possible answer would do: its probability, and every node after it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple, overload

if TYPE_CHECKING:
    from faultfinder.reasoning.inference.engine import Engine


class After(Sequence[float]):
    """P(present) of every node after an answer."""

    __slots__ = ()

    @overload
    def __getitem__(self, index: int) -> float: ...

    @overload
    def __getitem__(self, index: slice) -> list[float]: ...

    def __getitem__(self, index: int | slice) -> float | list[float]:
        if isinstance(index, slice):
            return [self._at(i) for i in range(*index.indices(len(self)))]
        if not -len(self) <= index < len(self):
            raise IndexError(index)
        return self._at(index % len(self))

    def __iter__(self) -> Iterator[float]:
        return (self._at(index) for index in range(len(self)))

    def _at(self, index: int) -> float:
        raise NotImplementedError

    def changed(self) -> dict[int, float]:
        """Only the nodes that the answer bears on."""
        raise NotImplementedError


class Posterior(After):
    """What stands now, with what the answer changes laid over it.

    A node that the engine was not asked to report raises LookupError.
    """

    __slots__ = ("_base", "_engine", "_own", "_rows")

    def __init__(
        self,
        engine: Engine,
        base: Sequence[float],
        own: Mapping[int, float],
        rows: Mapping[int, Sequence[float]],
    ) -> None:
        self._engine = engine
        self._base = base
        self._own = own
        self._rows = rows

    def __len__(self) -> int:
        return len(self._base)

    def _at(self, index: int) -> float:
        if index in self._own:
            return self._own[index]
        place = self._engine.row_place.get(index)
        if place is None:
            if index not in self._engine.report:
                raise LookupError(f"node {index} was not to be reported")
            return self._base[index]
        row = self._rows.get(place[0])
        return self._base[index] if row is None else row[place[1]]

    def changed(self) -> dict[int, float]:
        """Only the nodes that the answer bears on."""
        rows = self._rows
        found = {node: rows[n][at] for node, (n, at) in self._engine.row_place.items() if n in rows}
        return found | dict(self._own)


class Outcome(NamedTuple):
    """What one possible answer would do.

    probability: of that answer, given the evidence so far; for a likelihood, sum over levels l(k) P(k).
    posterior: P(present) of every node after it; where probability is 0, what it is now.
    """

    probability: float
    posterior: After
