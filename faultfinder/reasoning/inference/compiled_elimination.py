"""A piece compiled into a tape: which small tables are joined in which order, all index work done beforehand.

A *register* is one table, entries in a flat list. A *leaf* is what one node says by itself: its own weights
times its tables over the variables it bears on. A *join* combines two registers and sums one variable out where
it was the last table with it (a variable that one table alone has is joined with the weights of its final values):
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
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import NamedTuple

from faultfinder.reasoning.inference.elimination_order import Order
from faultfinder.reasoning.inference.factors import Piece, Variable
from faultfinder.reasoning.inference.join_order import schedule

JOINS = 256
"""Joins that are kept. Chosen for the memory: with 1,024 a long job takes 13 MB more and is little faster."""

Scope = tuple[int, ...]
"""Variables of a table, the first of the widest stride."""
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


@dataclass(frozen=True)
class Join:
    """How two tables are joined; see the theory of this file. spread: stages from the right table to h, a variable
    each; slots: entries of h. scope: the variables that are left, as they are numbered in the join. entries: of the
    table made. terms: products that it takes."""

    spread: tuple[Stage, ...]
    slots: int
    groups: tuple[tuple[tuple[int, int], ...], ...]
    rest: tuple[int, ...]
    scope: tuple[int, ...]
    entries: int
    terms: int

    @cached_property
    def users(self) -> dict[int, list[tuple[int, int]]]:
        """Place in the left table -> the groups, by number, and the entries of h that it is joined for."""
        found: dict[int, list[tuple[int, int]]] = {}
        for o, group in enumerate(self.groups):
            for a, b in group:
                found.setdefault(a, []).append((o, b))
        return found


class Step(NamedTuple):
    """A join at its place: the registers of its left and its right table, and that of the table made."""

    out: int
    left: int
    right: int
    join: Join


@dataclass(frozen=True, slots=True)
class Tape:
    """leaves by position in the piece; constants: register -> fixed values; `top` holds the total.

    sizes: entries of every register. terms: products of one run forward. The nodes' own weights are no part of
    it: evidence that only changes them is run on the same tape.
    """

    leaves: tuple[Leaf, ...]
    constants: dict[int, list[float]]
    steps: tuple[Step, ...]
    sizes: tuple[int, ...]
    top: int
    terms: int


def compile_piece(piece: Piece, order: Order) -> Tape:
    """The tape that sums the variables out in this order."""
    return _Compiler(piece, order).run()


class _Compiler:
    def __init__(self, piece: Piece, order: Order) -> None:
        self.piece = piece
        self.order = order
        self.schedule = schedule(tuple([(law.size, law.accumulates) for law in piece.variables]))
        self.sizes = [variable.size for variable in piece.variables]
        self.scopes: list[Scope] = []
        self.entries: list[int] = []
        self.live: list[set[int]] = [set() for _ in piece.variables]
        self.steps: list[Step] = []
        self.constants: dict[int, list[float]] = {}
        self.leaves: list[Leaf] = []
        self.terms = 0

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
            self._wait(out)
            if not self.scopes[out]:
                tops.append(out)
        while len(tops) > 1:
            tops.append(self._join(tops.pop(0), tops.pop(0), -1))
        return Tape(
            tuple(self.leaves), self.constants, tuple(self.steps), tuple(self.entries), tops[0], self.terms
        )

    def _new(self, scope: Scope) -> int:
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
                row, other = _rows(piece.variables[variable], push, start)
                absent = [x * y for x in absent for y in row]
                present = [x * y for x in present for y in other]
            register = self._new((position, *(variable for variable, _ in late)))
            self.leaves.append(Leaf(register, position, absent, present))
            self._wait(register)
            for variable, push in links:
                if rank[variable] < rank[position]:
                    start = None if variable in absorbs else waiting.pop(variable, None)
                    row, other = _rows(piece.variables[variable], push, start)
                    self._wait(self._constant((position, variable), [*row, *other]))
        for variable, start in waiting.items():
            self._wait(self._constant((variable,), list(start)))

    def _constant(self, scope: tuple[int, ...], values: list[float]) -> int:
        register = self._new(scope)
        self.constants[register] = values
        return register

    def _wait(self, register: int) -> None:
        """Let a table wait for the variables it has."""
        for variable in self.scopes[register]:
            self.live[variable].add(register)

    def _close(self, source: int, chosen: int) -> int:
        """Sum a variable out of the only table that has it."""
        scope, law = self.scopes[source], self.piece.variables[chosen]
        if law.becomes >= 0 and law.becomes not in scope:
            self.scopes[source] = tuple(law.becomes if variable == chosen else variable for variable in scope)
            return source
        weights = self._constant((chosen,), list(law.closing or (1.0,) * law.size))
        return self._join(source, weights, chosen, closing=True)

    def _join(self, one: int, other: int, chosen: int, closing: bool = False) -> int:
        """Combine two registers; sum `chosen` out (-1: nothing). closing: the other one weighs its final values."""
        laws = self.piece.variables
        left, right = (one, other) if self.entries[one] >= self.entries[other] else (other, one)
        left_scope, right_scope = self.scopes[left], self.scopes[right]
        given = chosen if closing else -1
        number: dict[int, int] = {}
        for variable in (*left_scope, *right_scope):
            number.setdefault(variable, len(number))
        becomes = laws[chosen].becomes if chosen >= 0 else -1
        if becomes >= 0:
            number.setdefault(becomes, len(number))
        join = _join(
            tuple([number[variable] for variable in left_scope]),
            tuple([number[variable] for variable in right_scope]),
            tuple([laws[variable].size for variable in number]),
            tuple([laws[variable].accumulates and variable != given for variable in number]),
            number.get(chosen, -1),
            number.get(becomes, -1),
            laws[chosen].closing if chosen >= 0 and not closing else (),
        )
        named = list(number)
        out = self._new(tuple([named[variable] for variable in join.scope]))
        self.terms += join.terms
        self.steps.append(Step(out, left, right, join))
        return out


@lru_cache(maxsize=JOINS)
def _join(
    left: Scope,
    right: Scope,
    sizes: tuple[int, ...],
    accumulates: tuple[bool, ...],
    chosen: int,
    becomes: int,
    final: tuple[float, ...],
) -> Join:
    """How tables over these variables are joined, and one of them summed out (-1: none). sizes, accumulates: of each
    variable. becomes: the node variable that the one summed out becomes (-1: none). final: what its values weigh in
    the end, if it accumulates in both tables. The same joins come again and again:
    at every rate of errors, and turn after turn."""
    ties = becomes >= 0 and (becomes in left or becomes in right)
    few = [*right, *((becomes,) if ties and becomes not in right else ())]
    rest_scope = [variable for variable in left if variable not in few]
    if ties:
        out_few = [becomes, *(v for v in few if v not in (chosen, becomes))]
    elif becomes >= 0:
        out_few = [becomes if v == chosen else v for v in few]
    else:
        out_few = [v for v in few if v != chosen]
    left_stride, out_stride = _strides(sizes, left), _strides(sizes, out_few)
    if becomes >= 0 and not ties:
        out_stride[chosen] = out_stride[becomes]
    rest = _offsets(sizes, rest_scope, left_stride)
    axes = {}
    for variable in right:
        gathers = accumulates[variable] and variable in left
        axes[variable] = _axis(sizes[variable], gathers, variable == chosen and becomes < 0, final)
    spread = _spread(sizes, right, {variable: slots for variable, (slots, _) in axes.items()})
    slot_stride: dict[int, int] = {}
    step = 1
    for variable in reversed(right):
        slot_stride[variable] = step
        step *= len(axes[variable][0])
    combined = [(0, 0, 0)]
    for variable in few:
        if variable == becomes and ties:
            continue
        o, a, b = out_stride.get(variable, 0), left_stride.get(variable, 0), slot_stride[variable]
        if variable == chosen and ties:
            # A trigger whose node is in the tables already: only moves where both agree.
            o = out_stride[becomes]
            c, d = left_stride.get(becomes, 0), slot_stride.get(becomes, 0)
            moves = [(k * o, m * a + k * c, n * b + k * d) for k, m, n in axes[variable][1]]
        else:
            moves = [(k * o, m * a, n * b) for k, m, n in axes[variable][1]]
        combined = [(x + i, y + j, z + k) for x, y, z in combined for i, j, k in moves]
    groups: list[list[tuple[int, int]]] = [[] for _ in range(math.prod([sizes[v] for v in out_few]))]
    for x, y, z in combined:
        groups[x].append((y, z))
    terms = len(combined) * len(rest) + sum([len(part) for stage in spread for part in stage])
    scope = (*out_few, *rest_scope)
    return Join(spread, step, tuple(map(tuple, groups)), rest, scope, len(groups) * len(rest), terms)


def _spread(
    sizes: Sequence[int], scope: Scope, slots_of: Mapping[int, Sequence[Sequence[tuple[int, float]]]]
) -> tuple[Stage, ...]:
    """The stages in which the right table of a join is spread, a variable each."""
    spread: list[Stage] = []
    outer, inner = 1, math.prod([sizes[variable] for variable in scope])
    for variable in scope:
        size, slots = sizes[variable], slots_of[variable]
        inner //= size
        if any(slot != [(m, 1.0)] for m, slot in enumerate(slots)):
            spread.append(
                tuple(
                    tuple([((x * size + n) * inner + y, weight) for n, weight in slot])
                    for x in range(outer)
                    for slot in slots
                    for y in range(inner)
                )
            )
        outer *= len(slots)
    return tuple(spread)


def _axis(
    size: int, gathers: bool, closes: bool, final: Sequence[float]
) -> tuple[list[list[tuple[int, float]]], list[tuple[int, int, int]]]:
    """How one variable of the right table is spread, and its moves (out value, left value, slot). gathers: it
    accumulates in both tables. closes: it is summed out for good."""
    if not gathers:
        return [[(m, 1.0)] for m in range(size)], [(0 if closes else m, m, m) for m in range(size)]
    if closes:
        slots = [[(n, final[max(m, n)]) for n in range(size) if final[max(m, n)]] for m in range(size)]
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


def _strides(sizes: Sequence[int], scope: Sequence[int]) -> dict[int, int]:
    strides: dict[int, int] = {}
    step = 1
    for variable in reversed(scope):
        strides[variable] = step
        step *= sizes[variable]
    return strides


def _offsets(sizes: Sequence[int], scope: Sequence[int], stride: Mapping[int, int]) -> tuple[int, ...]:
    """Offsets, in a table with these strides, of all combinations of the variables in `scope`."""
    offsets = [0]
    for variable in scope:
        step = stride[variable]
        offsets = [x + m * step for x in offsets for m in range(sizes[variable])]
    return tuple(offsets)
