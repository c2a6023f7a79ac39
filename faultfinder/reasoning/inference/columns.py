"""Many reweightings of a piece carried through its tape at once.

A *column* multiplies the present weight of a few nodes by a factor each (what P(finding <= level) does to its
parents). Wanted: its total, and P(node present and column) for every node. All of it is sums of products of
non-negative numbers, made list by list (algebra.py), so many columns cost little more than one.

Up, a column differs from the plain run only in registers above a node that it touches: elsewhere the plain numbers
stand for it. Down, the weight of every entry in the column's own total is carried to all leaves.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any

from faultfinder.reasoning.inference.algebra import Floats, blend, gather, weave
from faultfinder.reasoning.inference.compiled_elimination import Leaf, Step, Tape
from faultfinder.reasoning.inference.factors import Piece
from faultfinder.reasoning.inference.forward_backward import Run, backward, forward

Column = Mapping[int, float]
"""Position of a node in the piece -> factor on its present weight, 0..1."""

Entries = list[Any]
"""One list for each entry of a register, over some columns."""

ROOM = 400_000
"""Numbers that one batch of columns may take for each direction (chosen: about 13 MB)."""
MANY = 5
"""Columns from which on they are carried together where only their totals are wanted: about as many runs take as long
(chosen)."""
FEWEST = 24
"""Columns of a batch at least: with fewer the interpreter's overhead is most of the work (chosen)."""


def carry(
    tape: Tape, run: Run, columns: Sequence[Column], report: Sequence[int]
) -> tuple[list[float], list[list[float]]]:
    """What each column makes of a possible piece: its total as a share of the plain total (0..1), and P(present and
    column | evidence) of the positions in `report`. Every column must touch some node."""
    totals: list[float] = []
    rows: list[list[float]] = []
    plain = run.values[tape.top][0]
    step = max(FEWEST, ROOM // sum(tape.sizes))
    for at in range(0, len(columns), step):
        carrier = _Carrier(tape, run, columns[at : at + step])
        carrier.up()
        totals += [value / plain for value in carrier.whole(tape.top)[0]]
        rows += carrier.down(report) if report else [[] for _ in carrier.columns]
    return totals, rows


class _Carrier:
    """ids: for each register the columns that touch a node below it; values: its entries for those."""

    def __init__(self, tape: Tape, run: Run, columns: Sequence[Column]) -> None:
        self.tape, self.run, self.columns = tape, run, columns
        self.ids: list[list[int]] = [[] for _ in tape.sizes]
        self.values: list[Entries] = [[] for _ in tape.sizes]
        self.touching: list[list[tuple[int, float]]] = [[] for _ in tape.leaves]
        for index, column in enumerate(columns):
            for position, factor in column.items():
                self.touching[position].append((index, factor))

    def up(self) -> None:
        for leaf in self.tape.leaves:
            if here := self.touching[leaf.position]:
                self.ids[leaf.register] = [index for index, _ in here]
                factors = [factor for _, factor in here]
                self.values[leaf.register] = _leaf_values(leaf, self.run.own[leaf.position], factors)
        for number, step in enumerate(self.tape.steps):
            if self.ids[step.left] or self.ids[step.right]:
                out = self._up_join(number, step)
                scale = self.run.scales.get(number)
                self.values[step.out] = (
                    out if scale is None else [[v * scale for v in entry] for entry in out]
                )

    def _up_join(self, number: int, step: Step) -> Entries:
        left_ids, right_ids = self.ids[step.left], self.ids[step.right]
        left: Any = self.values[step.left] if left_ids else self.run.values[step.left]
        right: Any = self.spread(step) if right_ids else self.run.spread[number]
        self.ids[step.out] = ids = left_ids or right_ids
        combine: Any = blend
        if left_ids and right_ids:
            combine = weave
            self.ids[step.out] = ids = sorted({*left_ids, *right_ids})
            left = _padded(left, left_ids, self.run.values[step.left], ids)
            right = _padded(right, right_ids, self.run.spread[number], ids)
        # Numbers come first where one of the two is the same for all columns.
        parts = (
            ([left[a + x] for a, _ in group], [right[b] for _, b in group])
            for group in step.join.groups
            for x in step.join.rest
        )
        if left_ids and not right_ids:
            return [combine(numbers, lists) for lists, numbers in parts]
        return [combine(numbers, lists) for numbers, lists in parts]

    def spread(self, step: Step) -> Entries:
        """The right table of a join, as the join wants it, for the columns that differ there."""
        values = self.values[step.right]
        for stage in step.join.spread:
            values = [gather(part, values) for part in stage]
        return values

    def whole(self, register: int) -> Entries:
        """The entries of a register for all columns."""
        everything = list(range(len(self.columns)))
        return _padded(self.values[register], self.ids[register], self.run.values[register], everything)

    def down(self, report: Sequence[int]) -> list[list[float]]:
        """P(present and column | evidence) for each column of the positions to report."""
        tape, run, width = self.tape, self.run, len(self.columns)
        back: list[Entries] = [[] for _ in tape.sizes]
        back[tape.top] = [[1.0 / run.values[tape.top][0]] * width]
        for number in range(len(tape.steps) - 1, -1, -1):
            step = tape.steps[number]
            onward, back[step.out] = back[step.out], []
            scale = run.scales.get(number)
            if scale is not None:
                onward = [[v * scale for v in entry] for entry in onward]
            back[step.left] = self._to_left(step, onward, number)
            back[step.right] = self._to_right(step, onward)
            self.values[step.out] = []
        found = [self._arrive(leaf, back[leaf.register]) for leaf in (tape.leaves[at] for at in report)]
        return [list(row) for row in zip(*found, strict=True)]

    def _to_left(self, step: Step, onward: Entries, number: int) -> Entries:
        count, width = len(step.join.rest), len(self.columns)
        plain = self.run.spread[number]
        differs = bool(self.ids[step.right])
        right: Any = plain
        if differs:
            right = _padded(self.spread(step), self.ids[step.right], plain, list(range(width)))
        back: Entries = [[0.0] * width] * self.tape.sizes[step.left]
        combine: Any = weave if differs else blend
        for a, pairs in step.join.users.items():
            weights = [right[b] for _, b in pairs]
            for at, x in enumerate(step.join.rest):
                back[a + x] = combine(weights, [onward[o * count + at] for o, _ in pairs])
        return back

    def _to_right(self, step: Step, onward: Entries) -> Entries:
        count, width = len(step.join.rest), len(self.columns)
        differs = bool(self.ids[step.left])
        left: Any = self.whole(step.left) if differs else self.run.values[step.left]
        users: list[list[tuple[int, int]]] = [[] for _ in range(step.join.slots)]
        for o, group in enumerate(step.join.groups):
            for a, b in group:
                users[b].append((o * count, a))
        combine: Any = weave if differs else blend
        made: Entries = []
        for pairs in users:
            weights = [left[a + x] for _, a in pairs for x in step.join.rest]
            lists = [onward[o + at] for o, _ in pairs for at in range(count)]
            made.append(combine(weights, lists) if pairs else [0.0] * width)
        sizes = [self.tape.sizes[step.right], *map(len, step.join.spread)]
        for size, stage in zip(reversed(sizes[:-1]), reversed(step.join.spread), strict=True):
            made = _unspread(made, stage, size, width)
        return made

    def _arrive(self, leaf: Leaf, back: Entries) -> Floats:
        """What the columns say of the one node of a leaf."""
        present = self.run.own[leaf.position][1]
        lists = back[-len(leaf.present) :]
        row = list(blend([present * share for share in leaf.present], lists))
        for index, factor in self.touching[leaf.position]:
            row[index] *= factor
        return row


def _leaf_values(leaf: Leaf, own: tuple[float, float], factors: list[float]) -> Entries:
    absent, present = own
    if leaf.keeps:
        away: Entries = [[absent * v] * len(factors) for v in leaf.absent]
        return away + [[present * v * factor for factor in factors] for v in leaf.present]
    return [
        [absent * v + present * w * factor for factor in factors]
        for v, w in zip(leaf.absent, leaf.present, strict=True)
    ]


def _padded(entries: Entries, ids: Sequence[int], plain: Floats, wanted: Sequence[int]) -> Entries:
    """The entries for the columns wanted, those that do not differ by the plain number."""
    if len(ids) == len(wanted):
        return entries
    place = {index: at for at, index in enumerate(wanted)}
    at = [place[index] for index in ids]
    out: Entries = []
    for number, value in enumerate(plain):
        entry = [value] * len(wanted)
        if at:
            for here, own in zip(at, entries[number], strict=True):
                entry[here] = own
        out.append(entry)
    return out


def _unspread(made: Entries, stage: Sequence[Sequence[tuple[int, float]]], size: int, width: int) -> Entries:
    users: list[list[tuple[int, float]]] = [[] for _ in range(size)]
    for b, part in enumerate(stage):
        for c, weight in part:
            users[c].append((b, weight))
    return [gather(pairs, made) if pairs else [0.0] * width for pairs in users]


Key = tuple[tuple[int, float], ...]
"""A column that can be looked up: (position, factor on its present weight), positions rising; empty: the present
state."""

PLAIN: Key = ()


class Solved:
    """A piece with its results, each made when asked for. report: positions to tell of."""

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
        """Have the rows and the totals of these columns."""
        if PLAIN not in self._rows:
            self._rows[PLAIN] = [self.present[position] for position in self.report]
        new = sorted({key for key in keys if key not in self._rows})
        self._rows.update(zip(new, self._carry(new, self.report), strict=True))

    def need_totals(self, keys: Iterable[Key]) -> None:
        """Have the totals of these columns."""
        new = sorted({key for key in keys if key not in self.totals})
        for key in new:
            if len(key) == 1:
                ((position, factor),) = key
                self.totals[key] = max(0.0, 1.0 - (1.0 - factor) * self.present[position])
        several = [key for key in new if len(key) > 1]
        if len(several) < MANY:
            self.totals.update((key, self._total(dict(key))) for key in several)
        else:
            self._carry(several, ())

    def _total(self, column: Column) -> float:
        """The total of one column, run by itself."""
        own = [
            (absent, present * column.get(position, 1.0))
            for position, (absent, present) in enumerate(self.run.own)
        ]
        return math.exp(forward(self.tape, own, self.piece.log_scale).log_total - self.run.log_total)

    def _carry(self, keys: Sequence[Key], report: Sequence[int]) -> list[list[float]]:
        totals, rows = carry(self.tape, self.run, [dict(key) for key in keys], report)
        self.totals.update(zip(keys, totals, strict=True))
        return rows
