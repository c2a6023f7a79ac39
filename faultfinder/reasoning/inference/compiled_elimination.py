"""A piece compiled into a tape: which small tables are joined in which order, all index work done beforehand.

A *register* is one table, entries in a flat list. A *leaf* is what one node says by itself: its own weights
times its tables over the variables it bears on. A *join* combines two registers and sums one variable out where
it was the last table with it:
    spread:  h[b] = sum of weight * right[c]          (once; much smaller than the join)
    join:    out[o] = sum of left[a] * h[b]
For an accumulating variable with values 0..L-1 the spread holds the running sums G[k] = right[0..k] beside
right[k], because  out[k] = left[k] * G[k] + (sum over m < k of left[m]) * right[k]:  products of non-negative
numbers only, L(L+1)/2 of them. The entries of a join are cut into a *rest* (variables that only `left` has) and
the few combinations of the others, so that the lists stay short however large the table is:
    out[o * len(rest) + i] = sum over (a, b) in groups[o] of left[a + rest[i]] * h[b]
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from faultfinder.reasoning.inference.elimination_order import Order
from faultfinder.reasoning.inference.factors import Piece, Variable
from faultfinder.reasoning.inference.join_order import Schedule

Stage = tuple[tuple[tuple[int, float], ...], ...]
"""For each entry made, the entries it is a sum of, each with its weight."""


@dataclass(slots=True)
class Leaf:
    """The table of one node: own absent weight * absent + own present weight * present.

    keeps: the node's own variable is the register's first one (absent entries, then present ones); else it is
    summed out and both lists are added. position: the node's position in the piece.
    """

    register: int
    position: int
    absent: list[float]
    present: list[float]
    keeps: bool = True


@dataclass(frozen=True, slots=True)
class Join:
    """See the theory of this file. spread: stages from `right` to h, a variable each; slots: entries of h."""

    out: int
    left: int
    right: int
    spread: tuple[Stage, ...]
    slots: int
    groups: tuple[tuple[tuple[int, int], ...], ...]
    rest: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Close:
    """out[o * len(rest) + i] = sum of weight * source[a + rest[i]] over (a, weight) in groups[o]."""

    out: int
    source: int
    groups: tuple[tuple[tuple[int, float], ...], ...]
    rest: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Tape:
    """leaves by position in the piece; constants: register -> fixed values; `top` holds the total.

    sizes: entries of every register. terms: products of one run forward. The nodes' own weights are no part of
    it: evidence that only changes them is run on the same tape.
    """

    leaves: tuple[Leaf, ...]
    constants: dict[int, list[float]]
    steps: tuple[Join | Close, ...]
    sizes: tuple[int, ...]
    top: int
    terms: int


def compile_piece(piece: Piece, order: Order) -> Tape:
    """The tape that sums the variables out in this order."""
    return _Compiler(piece, order).run()


class _Compiler:
    """dry: only the scopes and the number of products are worked out, no index lists."""

    def __init__(self, piece: Piece, order: Order, dry: bool = False) -> None:
        self.piece = piece
        self.order = order
        self.dry = dry
        self.schedule = Schedule(piece)
        self.sizes = [variable.size for variable in piece.variables]
        self.scopes: list[tuple[int, ...]] = []
        self.entries: list[int] = []
        self.live: list[set[int]] = [set() for _ in piece.variables]
        self.steps: list[Join | Close] = []
        self.constants: dict[int, list[float]] = {}
        self.leaves: list[Leaf] = []
        self.terms = 0
        # The same places with the same weights come again and again: one of each is kept, for the memory.
        self.placed: dict[tuple[tuple[int, float], ...], tuple[tuple[int, float], ...]] = {}
        self.pairs: dict[tuple[int, float], tuple[int, float]] = {}

    def run(self) -> Tape:
        self._plant()
        tops: list[int] = []
        for chosen in self.order.variables:
            bucket = self._bucket(chosen)
            if len(bucket) == 1 and chosen < len(self.leaves) and self.leaves[chosen].register == bucket[0]:
                self.leaves[chosen].keeps = False
                out = bucket[0]
                self.scopes[out] = self.scopes[out][1:]
                self.entries[out] //= 2
            elif len(bucket) == 1:
                out = self._close(bucket[0], chosen)
            else:
                pairs = self.schedule.of([self.scopes[register] for register in bucket])
                for first, second in pairs[:-1]:
                    bucket.append(self._join(bucket[first], bucket[second], -1))
                out = self._join(bucket[pairs[-1][0]], bucket[pairs[-1][1]], chosen)
            if self.scopes[out]:
                for variable in self.scopes[out]:
                    self.live[variable].add(out)
            else:
                tops.append(out)
        while len(tops) > 1:
            tops.append(self._join(tops.pop(0), tops.pop(0), -1))
        return Tape(
            tuple(self.leaves), self.constants, tuple(self.steps), tuple(self.entries), tops[0], self.terms
        )

    def _new(self, scope: tuple[int, ...]) -> int:
        self.scopes.append(scope)
        self.entries.append(math.prod([self.sizes[variable] for variable in scope]))
        return len(self.scopes) - 1

    def _bucket(self, chosen: int) -> list[int]:
        bucket = sorted(self.live[chosen])
        for register in bucket:
            for variable in self.scopes[register]:
                self.live[variable].discard(register)
        return bucket

    def _plant(self) -> None:
        """Make the leaves and the fixed tables; each start goes into a table that has its variable anyway."""
        piece = self.piece
        rank = {variable: place for place, variable in enumerate(self.order.variables)}
        waiting = dict(piece.starts)
        absorbs: dict[int, int] = {}
        by_breadth = sorted(range(len(piece.links)), key=lambda position: len(piece.links[position]))
        for position in by_breadth:
            for variable, _ in piece.links[position]:
                if rank[variable] > rank[position]:
                    absorbs.setdefault(variable, position)
        for position, links in enumerate(piece.links):
            late = [link for link in links if rank[link[0]] > rank[position]]
            absent, present = [1.0], [1.0]
            for variable, push in late:
                start = waiting.pop(variable) if absorbs[variable] == position else None
                if not self.dry:
                    row, other = _rows(piece.variables[variable], push, start)
                    absent = [x * y for x in absent for y in row]
                    present = [x * y for x in present for y in other]
            register = self._new((position, *(variable for variable, _ in late)))
            self.leaves.append(Leaf(register, position, absent, present))
            for variable in self.scopes[register]:
                self.live[variable].add(register)
            for variable, push in links:
                if rank[variable] < rank[position]:
                    start = None if variable in absorbs else waiting.pop(variable, None)
                    row, other = _rows(piece.variables[variable], push, start)
                    self._constant((position, variable), [*row, *other])
        for variable, start in waiting.items():
            self._constant((variable,), list(start))

    def _constant(self, scope: tuple[int, ...], values: list[float]) -> None:
        register = self._new(scope)
        self.constants[register] = values
        for variable in scope:
            self.live[variable].add(register)

    def _close(self, source: int, chosen: int) -> int:
        """Sum a variable out of the only table that has it."""
        scope = self.scopes[source]
        law = self.piece.variables[chosen]
        becomes = law.becomes
        if becomes >= 0 and becomes not in scope:
            self.scopes[source] = tuple(becomes if variable == chosen else variable for variable in scope)
            return source
        rest_scope = tuple(variable for variable in scope if variable not in (chosen, becomes))
        out = self._new((becomes, *rest_scope) if becomes >= 0 else rest_scope)
        self.terms += self.entries[out] * (1 if becomes >= 0 else law.size)
        if self.dry:
            return out
        stride = _strides(self.piece, scope)
        rest = _offsets(self.piece, rest_scope, stride)
        groups: list[tuple[tuple[int, float], ...]]
        if becomes >= 0:
            groups = [((m * (stride[chosen] + stride[becomes]), 1.0),) for m in (0, 1)]
        else:
            closing = law.closing or (1.0,) * law.size
            groups = [tuple((m * stride[chosen], weight) for m, weight in enumerate(closing))]
        self.steps.append(Close(out, source, tuple(groups), rest))
        return out

    def _join(self, one: int, other: int, chosen: int) -> int:
        """Combine two registers; sum `chosen` out (-1: nothing)."""
        piece = self.piece
        left, right = (one, other) if self.entries[one] >= self.entries[other] else (other, one)
        left_scope, right_scope = self.scopes[left], self.scopes[right]
        becomes = piece.variables[chosen].becomes if chosen >= 0 else -1
        ties = becomes >= 0 and (becomes in left_scope or becomes in right_scope)
        few = [*right_scope, *((becomes,) if ties and becomes not in right_scope else ())]
        rest_scope = tuple(variable for variable in left_scope if variable not in few)
        if ties:
            out_few = [becomes, *(v for v in few if v not in (chosen, becomes))]
        elif becomes >= 0:
            out_few = [becomes if v == chosen else v for v in few]
        else:
            out_few = [v for v in few if v != chosen]
        out = self._new((*out_few, *rest_scope))
        moves, slots, spread = 1, self.entries[right], 0
        for variable in right_scope:
            law = piece.variables[variable]
            size = law.size
            if not (law.accumulates and variable in left_scope):
                moves *= size
            elif variable == chosen and becomes < 0:
                moves *= size
                spread += slots * size
            else:
                moves *= size * (size + 1) // 2
                spread += slots * (size + 1) // 2
                slots = slots // size * (2 * size - 1)
        if ties and becomes in right_scope:
            moves //= 2
        self.terms += moves * math.prod([self.sizes[v] for v in rest_scope])
        self.terms += spread
        if not self.dry:
            self._index(left, right, out, chosen, ties, few, out_few, rest_scope)
        return out

    def _index(
        self,
        left: int,
        right: int,
        out: int,
        chosen: int,
        ties: bool,
        few: Sequence[int],
        out_few: Sequence[int],
        rest_scope: Sequence[int],
    ) -> None:
        """The index lists of a join."""
        piece = self.piece
        left_scope, right_scope = self.scopes[left], self.scopes[right]
        becomes = piece.variables[chosen].becomes if chosen >= 0 else -1
        left_stride = _strides(piece, left_scope)
        rest = _offsets(piece, rest_scope, left_stride)
        axes = [self._axis(variable, chosen, variable in left_scope) for variable in right_scope]
        spread: list[Stage] = []
        outer, inner = 1, self.entries[right]
        for variable, (slots, _) in zip(right_scope, axes, strict=True):
            size = self.sizes[variable]
            inner //= size
            if any(slot != [(m, 1.0)] for m, slot in enumerate(slots)):
                spread.append(
                    tuple(
                        self._kept([((x * size + n) * inner + y, weight) for n, weight in slot])
                        for x in range(outer)
                        for slot in slots
                        for y in range(inner)
                    )
                )
            outer *= len(slots)
        slot_stride: dict[int, int] = {}
        step = 1
        for variable, (slots, _) in zip(reversed(right_scope), reversed(axes), strict=True):
            slot_stride[variable] = step
            step *= len(slots)
        out_stride = _strides(piece, out_few)
        if becomes >= 0 and not ties:
            out_stride[chosen] = out_stride[becomes]
        moves_of = {v: moves for v, (_, moves) in zip(right_scope, axes, strict=True)}
        combined = [(0, 0, 0)]
        if ties:
            combined = self._tied(chosen, becomes, moves_of, out_stride, left_stride, slot_stride)
        for variable in few:
            if ties and variable in (chosen, becomes):
                continue
            o, a, b = out_stride.get(variable, 0), left_stride.get(variable, 0), slot_stride[variable]
            moves = [(k * o, m * a, n * b) for k, m, n in moves_of[variable]]
            combined = [(x + i, y + j, z + k) for x, y, z in combined for i, j, k in moves]
        groups: list[list[tuple[int, int]]] = [[] for _ in range(self.entries[out] // len(rest))]
        for x, y, z in combined:
            groups[x].append((y, z))
        self.steps.append(Join(out, left, right, tuple(spread), outer, tuple(map(tuple, groups)), rest))

    def _kept(self, places: list[tuple[int, float]]) -> tuple[tuple[int, float], ...]:
        """The places as they were met first."""
        key = tuple(places)
        found = self.placed.get(key)
        if found is None:
            keep = self.pairs.setdefault
            found = self.placed[key] = tuple([keep(pair, pair) for pair in places])
        return found

    def _tied(
        self,
        trigger: int,
        node: int,
        moves_of: dict[int, list[tuple[int, int, int]]],
        out_stride: dict[int, int],
        left_stride: dict[int, int],
        slot_stride: dict[int, int],
    ) -> list[tuple[int, int, int]]:
        """Moves of a trigger whose node is in the tables already: only those where both agree."""
        o = out_stride[node]
        a, b = left_stride[trigger], slot_stride[trigger]
        c, d = left_stride.get(node, 0), slot_stride.get(node, 0)
        return [(k * o, m * a + k * c, n * b + k * d) for k, m, n in moves_of[trigger]]

    def _axis(
        self, variable: int, chosen: int, shared: bool
    ) -> tuple[list[list[tuple[int, float]]], list[tuple[int, int, int]]]:
        """How one variable of the right table is spread, and its moves (out value, left value, slot)."""
        law = self.piece.variables[variable]
        size = law.size
        closes = variable == chosen and law.becomes < 0
        if not law.accumulates or not shared:
            slots = [[(m, 1.0)] for m in range(size)]
            return slots, [(0 if closes else m, m if shared else 0, m) for m in range(size)]
        if closes:
            slots = [
                [(n, law.closing[max(m, n)]) for n in range(size) if law.closing[max(m, n)]]
                for m in range(size)
            ]
            return slots, [(0, m, m) for m in range(size) if slots[m]]
        slots = [[(n, 1.0) for n in range(k + 1)] for k in range(size)] + [[(k, 1.0)] for k in range(1, size)]
        moves = [(k, k, k) for k in range(size)]
        moves += [(k, m, size - 1 + k) for k in range(1, size) for m in range(k)]
        return slots, moves


def _rows(
    law: Variable, push: Sequence[float], start: Sequence[float] | None
) -> tuple[Sequence[float], Sequence[float]]:
    """A node's table over one variable, absent and present, with the variable's start taken in if given."""
    if start is None:
        return ((1.0,) + (0.0,) * (law.size - 1) if law.accumulates else (1.0,) * law.size), push
    if not law.accumulates:
        return start, [x * y for x, y in zip(push, start, strict=True)]
    joined = [0.0] * law.size
    for m, x in enumerate(push):
        for n, y in enumerate(start):
            joined[max(m, n)] += x * y
    return start, joined


def _strides(piece: Piece, scope: Sequence[int]) -> dict[int, int]:
    strides: dict[int, int] = {}
    step = 1
    for variable in reversed(scope):
        strides[variable] = step
        step *= piece.variables[variable].size
    return strides


def _offsets(piece: Piece, scope: Sequence[int], stride: dict[int, int]) -> tuple[int, ...]:
    """Offsets, in a table with these strides, of all combinations of the variables in `scope`."""
    offsets = [0]
    for variable in scope:
        step = stride[variable]
        offsets = [x + m * step for x in offsets for m in range(piece.variables[variable].size)]
    return tuple(offsets)
