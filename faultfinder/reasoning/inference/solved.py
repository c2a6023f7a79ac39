"""A piece with its results: made when asked for, kept for the engines that come after."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

from faultfinder.reasoning.inference.columns import carry
from faultfinder.reasoning.inference.compiled_elimination import Tape
from faultfinder.reasoning.inference.factors import Piece
from faultfinder.reasoning.inference.forward_backward import Run, backward

Key = tuple[tuple[int, float], ...]
"""A column: (position, factor on its present weight), positions rising; empty: the present state."""

PLAIN: Key = ()


class Solved:
    """report: positions to tell of."""

    def __init__(self, piece: Piece, tape: Tape, run: Run, report: Sequence[int]) -> None:
        self.piece, self.tape, self.run, self.report = piece, tape, run, tuple(report)
        self.totals: dict[Key, float] = {PLAIN: 1.0}
        """Share of the present total that each column leaves."""
        self._rows: dict[Key, Sequence[float]] = {}

    @cached_property
    def present(self) -> list[float]:
        """P(present | evidence) by position."""
        return backward(self.tape, self.run)

    def row(self, key: Key) -> Sequence[float]:
        """P(present and column | evidence) of what is to be told of; `need` must have had the column."""
        return self._rows[key]

    def need(self, keys: Iterable[Key]) -> None:
        """Carry those columns that were not carried before."""
        if PLAIN not in self._rows:
            self._rows[PLAIN] = [self.present[position] for position in self.report]
        new = sorted({key for key in keys if key not in self._rows})
        if new:
            totals, made = carry(self.tape, self.run, [dict(key) for key in new], self.report)
            self.totals.update(zip(new, totals, strict=True))
            self._rows.update(zip(new, made, strict=True))

    def need_totals(self, keys: Iterable[Key]) -> None:
        """Have the totals of these columns."""
        new = []
        for key in sorted({key for key in keys if key not in self.totals}):
            if len(key) == 1:
                ((position, factor),) = key
                self.totals[key] = max(0.0, 1.0 - (1.0 - factor) * self.present[position])
            else:
                new.append(key)
        if new:
            totals, _ = carry(self.tape, self.run, [dict(key) for key in new], ())
            self.totals.update(zip(new, totals, strict=True))
