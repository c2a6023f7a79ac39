"""Many reweightings of a piece carried through its tape at once.

A *column* multiplies the present weight of a few nodes by a factor each (what P(finding <= level) does to its
parents). Wanted: P(node present and column) for every column and every node. All of it is sums of products of
non-negative numbers, made list by list (algebra.py), so many columns cost little more than one.

Up. A column differs from the plain run only in registers above a node that it touches. A node x is carried in
the same way, as the column "x present, nothing else": a *single*.
Down. From the register on that has all that a column touches below it, the column is *closed*: what lies above
is the plain run. A node and a closed column (or two nodes) meet in the one join where they come from different
sides: the left one is taken through the join once, W[b] = sum over (o, a) of back[o] * left[a], and
    P(both) = sum over b of W[b] * right[b].
Between the nodes that it touches a column is *open*: the weight with which an entry stands in the column's own
total is carried down; where it leaves a subtree untouched (*hanging*), the singles at the top of the subtree
give all nodes below.
Where tables are large and nodes many, singles would take too much room: then every column is left open.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable, Mapping, Sequence
from itertools import chain
from operator import add, itemgetter
from typing import Any

from faultfinder.reasoning.inference.algebra import Floats, blend, gather, weave
from faultfinder.reasoning.inference.compiled_elimination import Close, Join, Leaf, Tape
from faultfinder.reasoning.inference.forward_backward import Run

Column = Mapping[int, float]
"""Position of a node in the piece -> factor on its present weight, 0..1."""

Entries = list[Any]
"""One list for each entry of a register, over some columns."""

WIDE = 512
"""Length from which on a list is long enough for the interpreter's overhead not to matter (measured)."""

ROOM = 1_000_000
"""Numbers that one batch of columns may take in lists, or four times as many packed (chosen: about 32 MB)."""


def carry(
    tape: Tape,
    run: Run,
    back: Sequence[Floats],
    present: Sequence[float],
    columns: Sequence[Column],
    report: Sequence[int],
    room: int = ROOM,
) -> tuple[list[float], list[list[float]]]:
    """What each column makes of a possible piece; `back` as from sweep.weights_back, `present` the posterior.

    First: the total of each column as a share of the plain total (0..1). Second: for each column
    P(present and column | evidence) of the positions in `report`. Every column must touch some node.
    """
    entries = sum(tape.sizes)
    singles = entries * (len(report) + min(len(columns), 100)) <= 4 * room
    packs = entries * (len(report) * singles + len(columns)) > room
    batch = max(24, (4 if packs else 1) * room // entries - len(report) * singles)
    totals = [0.0] * len(columns)
    rows: list[list[float]] = [[] for _ in columns]
    at_once = range(len(columns))
    alone: list[int] = []
    if singles and report:
        place = {position: at for at, position in enumerate(report)}
        alone = [i for i in at_once if len(columns[i]) == 1 and _follows(columns[i], place, present)]
        mine = set(alone)
        at_once_list = [i for i in at_once if i not in mine]
    else:
        at_once_list = list(at_once)
    for start in range(0, max(1, len(at_once_list)), batch):
        part = at_once_list[start : start + batch]
        first = start == 0
        wanted = [place[next(iter(columns[i]))] for i in alone] if first else []
        carrier = _Carrier(tape, run, back, [columns[i] for i in part], report, singles, wanted)
        carrier.packs = packs
        carrier.up()
        shares = carrier.totals()
        if report:
            carrier.down()
        for i, total, row in zip(part, shares, carrier.rows, strict=True):
            totals[i], rows[i] = total, row
        if first and alone:
            plain = [present[position] for position in report]
            for i in alone:
                ((position, factor),) = columns[i].items()
                at = place[position]
                less = 1.0 - factor
                totals[i] = 1.0 - less * present[position]
                row = carrier.single_rows[at]
                rows[i] = [max(0.0, p - less * x) for p, x in zip(plain, row, strict=True)]
                rows[i][at] = factor * present[position]
    return totals, rows


def carry_totals(tape: Tape, run: Run, back: Sequence[Floats], columns: Sequence[Column]) -> list[float]:
    """The total of each column as a share of the plain total (0..1): no further up than it takes."""
    step = max(24, ROOM // sum(tape.sizes))
    totals: list[float] = []
    for start in range(0, len(columns), step):
        carrier = _Carrier(tape, run, back, columns[start : start + step], (), True, ())
        carrier.leaves_when_closed = True
        carrier.up()
        totals += carrier.shares
    return totals


def _follows(column: Column, place: Mapping[int, int], present: Sequence[float]) -> bool:
    """Whether a column on one node may be had as the plain run less the node present: where that is no
    difference of nearly equal numbers."""
    ((position, _),) = column.items()
    return position in place and present[position] < 0.9


class _Carrier:
    """Items are numbered: a single by its place in `report`, a column by len(report) + its index."""

    def __init__(
        self,
        tape: Tape,
        run: Run,
        back: Sequence[Floats],
        columns: Sequence[Column],
        report: Sequence[int],
        singles: bool,
        wanted: Sequence[int],
    ) -> None:
        self.tape, self.run, self.plain_back = tape, run, back
        self.columns, self.report, self.singles = columns, report, singles
        self.count = len(report)
        self.rows = [[0.0] * len(report) for _ in columns]
        self.single_rows = {at: [0.0] * len(report) for at in wanted}
        registers = len(tape.sizes)
        self.ids: list[list[int]] = [[] for _ in range(registers)]
        self.values: list[Entries] = [[] for _ in range(registers)]
        self.open: list[list[int]] = [[] for _ in range(registers)]
        self.back: list[Entries] = [[] for _ in range(registers)]
        self.hanging: list[list[tuple[list[int], Entries]]] = [[] for _ in range(registers)]
        self.closed_at = [len(tape.steps)] * len(columns)
        self.place_of = {position: at for at, position in enumerate(report)}
        self.shares = [0.0] * len(columns)
        self.leaves_when_closed = False
        self.packs = False

    # Up -----------------------------------------------------------------------------------------------

    def up(self) -> None:
        tape, run, count = self.tape, self.run, self.count
        touched: list[list[tuple[int, float]]] = [[] for _ in tape.leaves]
        for index, column in enumerate(self.columns):
            for position, factor in column.items():
                touched[position].append((index, factor))
        loose_ends = [len(column) for column in self.columns]
        if self.singles:
            self.closed_at = [
                -1 if ends == 1 else at for ends, at in zip(loose_ends, self.closed_at, strict=True)
            ]
        for leaf in tape.leaves:
            here = touched[leaf.position]
            single = self.singles and leaf.position in self.place_of
            ids = [count + index for index, _ in here]
            factors = [factor for _, factor in here]
            if single:
                ids.insert(0, self.place_of[leaf.position])
            if ids:
                self.ids[leaf.register] = ids
                self.values[leaf.register] = _leaf_values(leaf, run.own[leaf.position], factors, single)
                if self.leaves_when_closed:
                    self._leave(leaf.register, -1)
        for number, step in enumerate(tape.steps):
            if isinstance(step, Join):
                if self.ids[step.left] or self.ids[step.right]:
                    self._up_join(number, step, loose_ends)
            elif self.ids[step.source]:
                source = self.values[step.source]
                self.ids[step.out] = self.ids[step.source]
                self.values[step.out] = [
                    blend([w for _, w in group], [source[a + x] for a, _ in group])
                    for group in step.groups
                    for x in step.rest
                ]
            scale = run.scales.get(number)
            if scale is not None and self.ids[step.out]:
                self.values[step.out] = [[v * scale for v in entry] for entry in self.values[step.out]]
            if self.packs:
                self.values[step.out] = [array("d", entry) for entry in self.values[step.out]]
            elif self.leaves_when_closed and self.ids[step.out]:
                self._leave(step.out, number)

    def _leave(self, register: int, number: int) -> None:
        """Note the totals of the columns closed here and carry them no further."""
        ids, values = self.ids[register], self.values[register]
        closed = [i for i in ids if self.closed_at[i] == number]
        if closed:
            weights = self.plain_back[register]
            for index, total in zip(closed, blend(weights, _pick(values, ids, closed)), strict=True):
                self.shares[index] = total
            others = [i for i in ids if self.closed_at[i] != number]
            self.values[register] = _pick(values, ids, others) if others else []
            self.ids[register] = others

    def _up_join(self, number: int, step: Join, loose_ends: list[int]) -> None:
        left_ids, right_ids = self.ids[step.left], self.ids[step.right]
        left, h = self.run.values[step.left], self.run.spread[number]
        parts: list[Entries] = []
        both = _shared(left_ids, right_ids)
        if both:
            in_both = set(both)
            only_left = [i for i in left_ids if i not in in_both]
            only_right = [i for i in right_ids if i not in in_both]
            for i in both:
                loose_ends[i - self.count] -= 1
                if self.singles and loose_ends[i - self.count] == 1:
                    self.closed_at[i - self.count] = number
            lefts = _pick(self.values[step.left], left_ids, both)
            rights = _spread(_pick(self.values[step.right], right_ids, both), step)
            parts.append(_join_both(step, lefts, rights, len(both)))
        else:
            only_left, only_right = left_ids, right_ids
        if only_left:
            lefts = _pick(self.values[step.left], left_ids, only_left)
            parts.append(_join_left(step, lefts, h, len(only_left)))
        if only_right:
            rights = _spread(_pick(self.values[step.right], right_ids, only_right), step)
            parts.append(_join_right(step, left, rights, len(only_right)))
        self.ids[step.out] = [*both, *only_left, *only_right]
        self.values[step.out] = _side_by_side(parts)

    def totals(self) -> list[float]:
        top = self.tape.top
        plain = self.run.values[top][0]
        totals = [0.0] * len(self.columns)
        for index, value in zip(self.ids[top], self.values[top][0], strict=True):
            if index >= self.count:
                totals[index - self.count] = value / plain
        return totals

    # Down ---------------------------------------------------------------------------------------------

    def down(self) -> None:
        tape, run = self.tape, self.run
        if not self.singles:
            self.open[tape.top] = self.ids[tape.top]
            self.back[tape.top] = [[1.0 / run.values[tape.top][0]] * len(self.columns)]
        self._plan()
        for number in range(len(tape.steps) - 1, -1, -1):
            step = tape.steps[number]
            hanging = self._hanging(step.out)
            scale = run.scales.get(number)
            if scale is not None:
                self.back[step.out] = [[v * scale for v in entry] for entry in self.back[step.out]]
                if hanging:
                    hanging = hanging[0], [[v * scale for v in entry] for entry in hanging[1]]
            if isinstance(step, Join):
                if self.below[step.left] or self.below[step.right]:
                    users = _Users(step, tape)
                    if hanging:
                        self._hang_on(step, users, number, *hanging)
                    self._down_join(number, step, users)
            else:
                self._down_close(step, hanging)
            self.values[step.out] = []
        for leaf in tape.leaves:
            self._arrive(leaf)

    def _down_close(self, step: Close, hanging: tuple[list[int], Entries] | None) -> None:
        users = _users_of_source(step, self.tape.sizes[step.source])
        if self.open[step.out]:
            self.open[step.source] = self.open[step.out]
            self.back[step.source] = _gathered(users, self.back[step.out], len(self.open[step.out]))
        if hanging:
            ids, entries = hanging
            self.hanging[step.source].append((ids, _gathered(users, entries, len(ids))))

    def _down_join(self, number: int, step: Join, users: _Users) -> None:
        left_ids, right_ids = self.ids[step.left], self.ids[step.right]
        left, h = self.run.values[step.left], self.run.spread[number]
        count, closed_at = self.count, self.closed_at
        wants_left, wants_right = bool(self.below[step.left]), bool(self.below[step.right])
        shared = set(_shared(left_ids, right_ids))
        is_open = set(self.open[step.out])
        both = [i for i in self.open[step.out] if i in shared]
        fresh = [i for i in shared if i not in is_open]
        lefts = [i for i in left_ids if i in is_open and i not in shared]
        rights = [i for i in right_ids if i in is_open and i not in shared]
        to_left: list[Entries] = []
        to_right: list[Entries] = []
        if both or fresh:
            onward = _pick(self.back[step.out], self.open[step.out], both)
            if fresh:
                new = [[weight] * len(fresh) for weight in self._plain_onward(number, step)]
                onward = _side_by_side([onward, new]) if both else new
                both = both + fresh
            right_values = _spread(_pick(self.values[step.right], right_ids, both), step)
            to_left.append(users.to_left_woven(right_values, onward, len(both)))
            left_values = _pick(self.values[step.left], left_ids, both)
            to_right.append(users.to_right_woven(left_values, onward, len(both)))
        if lefts:
            onward = _pick(self.back[step.out], self.open[step.out], lefts)
            to_left.append(users.to_left(h, onward, len(lefts)))
            if wants_right:
                values = _pick(self.values[step.left], left_ids, lefts)
                self.hanging[step.right].append((lefts, users.to_right_woven(values, onward, len(lefts))))
        if rights:
            onward = _pick(self.back[step.out], self.open[step.out], rights)
            to_right.append(users.to_right(left, onward, len(rights)))
            if wants_left:
                values = _spread(_pick(self.values[step.right], right_ids, rights), step)
                self.hanging[step.left].append((rights, users.to_left_woven(values, onward, len(rights))))
        if to_left:
            self.open[step.left] = both + lefts
            self.back[step.left] = _side_by_side(to_left)
        if to_right:
            self.open[step.right] = both + rights
            self.back[step.right] = _side_by_side(to_right)
        if self.singles:
            closed_left = [i for i in left_ids if i < count or closed_at[i - count] < number]
            closed_right = [i for i in right_ids if i < count or closed_at[i - count] < number]
            if closed_left and closed_right:
                self._meet(number, step, users, closed_left, closed_right)

    def _plain_onward(self, number: int, step: Join) -> Floats:
        """The weight of each entry that a join makes, before its result is scaled."""
        scale = self.run.scales.get(number)
        plain = self.plain_back[step.out]
        return plain if scale is None else [weight * scale for weight in plain]

    def _meet(self, number: int, step: Join, users: _Users, lefts: list[int], rights: list[int]) -> None:
        """Singles and closed columns of the left meet those of the right."""
        count, wanted = self.count, self.single_rows
        lefts = sorted(lefts)
        nodes = sum(1 for i in lefts if i < count)
        if len(lefts) == nodes and not wanted and all(i < count for i in rights):
            return
        met = users.to_right_from_plain(
            _pick(self.values[step.left], self.ids[step.left], lefts),
            self._plain_onward(number, step),
            len(lefts),
        )
        place = {item: at for at, item in enumerate(self.ids[step.right])}
        left_rows = [self.rows[i - count] if i >= count else wanted.get(i) for i in lefts]
        right_values = self.values[step.right]
        for item in rights:
            at = place[item]
            weights, lists = [], []
            for entry, part in zip(right_values, met, strict=True):
                if entry[at]:
                    weights.append(entry[at])
                    lists.append(part)
            if not weights:
                continue
            values = blend(weights, lists)
            if item < count:
                for row, value in zip(left_rows, values, strict=True):
                    if row is not None:
                        row[item] = value
            own = self.rows[item - count] if item >= count else wanted.get(item)
            if own is not None:
                for node, value in zip(lefts[:nodes], values, strict=False):
                    own[node] = value

    def _hanging(self, register: int) -> tuple[list[int], Entries] | None:
        """The columns that leave this register untouched; None where nothing is left to do for them."""
        segments = self.hanging[register]
        if not segments:
            return None
        self.hanging[register] = []
        ids = [i for those, _ in segments for i in those]
        entries = _side_by_side([part for _, part in segments])
        if not self.direct[register]:
            return ids, entries
        values = self.values[register]
        for at, item in enumerate(self.ids[register]):
            if item < self.count:
                self._note(item, ids, [entry[at] for entry in values], entries)
        return None

    def _note(self, node: int, ids: Sequence[int], shares: Sequence[float], entries: Entries) -> None:
        weights, lists = [], []
        for share, entry in zip(shares, entries, strict=True):
            if share:
                weights.append(share)
                lists.append(entry)
        if weights:
            rows, count = self.rows, self.count
            for index, value in zip(ids, blend(weights, lists), strict=True):
                rows[index - count][node] = value

    def _hang_on(self, step: Join, users: _Users, number: int, ids: list[int], entries: Entries) -> None:
        """Take columns that leave both sides of a join untouched through it."""
        if self.below[step.left]:
            made = users.to_left(self.run.spread[number], entries, len(ids))
            self.hanging[step.left].append((ids, made))
        if self.below[step.right]:
            made = users.to_right(self.run.values[step.left], entries, len(ids))
            self.hanging[step.right].append((ids, made))

    def _arrive(self, leaf: Leaf) -> None:
        """What the columns say of the one node of a leaf."""
        node = self.place_of.get(leaf.position)
        if node is None:
            return
        count, register = self.count, leaf.register
        present = self.run.own[leaf.position][1]
        shares = [present * v for v in leaf.present]
        if leaf.keeps:
            shares = [0.0] * len(leaf.absent) + shares
        for ids, entries in self.hanging[register]:
            self._note(node, ids, shares, entries)
        if self.open[register]:
            self._note(node, self.open[register], shares, self.back[register])
        if self.singles:
            alone = sum([x * y for x, y in zip(shares, self.plain_back[register], strict=True)])
        for item in self.ids[register]:
            if item < count:
                continue
            row = self.rows[item - count]
            if self.singles and self.closed_at[item - count] == -1:
                row[node] = alone
            row[node] *= self.columns[item - count][leaf.position]

    def _plan(self) -> None:
        """For each register the reported nodes below it, and whether hanging columns are best had from its
        singles directly (the products that takes against those of going one step further down)."""
        tape = self.tape
        below = [0] * len(tape.sizes)
        best = [0] * len(tape.sizes)
        direct = [False] * len(tape.sizes)
        for leaf in tape.leaves:
            if leaf.position in self.place_of:
                below[leaf.register] = 1
                best[leaf.register] = tape.sizes[leaf.register]
        for step in tape.steps:
            terms = len(step.rest) * sum(map(len, step.groups))
            if isinstance(step, Join):
                below[step.out] = below[step.left] + below[step.right]
                sides = bool(below[step.left]) + bool(below[step.right])
                further = best[step.left] + best[step.right] + terms * sides
            else:
                below[step.out] = below[step.source]
                further = best[step.source] + terms
            here = below[step.out] * tape.sizes[step.out]
            direct[step.out] = self.singles and here <= further
            best[step.out] = here if direct[step.out] else further
        self.below, self.direct = below, direct


def _leaf_values(leaf: Leaf, own: tuple[float, float], factors: list[float], single: bool) -> Entries:
    absent, present = own
    first = [0.0] if single else []
    if leaf.keeps:
        away = [first + [absent * v] * len(factors) for v in leaf.absent]
        return away + [_scaled(present * v, factors, single) for v in leaf.present]
    return [
        [*([present * w] if single else []), *[absent * v + present * w * r for r in factors]]
        for v, w in zip(leaf.absent, leaf.present, strict=True)
    ]


def _scaled(value: float, factors: list[float], single: bool) -> list[float]:
    scaled = [value * r for r in factors]
    return [value, *scaled] if single else scaled


def _shared(left: Sequence[int], right: Sequence[int]) -> list[int]:
    if not left or not right:
        return []
    those = set(right)
    return [i for i in left if i in those]


def _getter(indexes: Sequence[int]) -> Callable[[Any], Sequence[float]]:
    """itemgetter that always gives a sequence."""
    if len(indexes) == 1:
        only = indexes[0]
        return lambda values: (values[only],)
    return itemgetter(*indexes) if indexes else lambda values: ()


def _pick(entries: Entries, order: Sequence[int], wanted: Sequence[int]) -> Entries:
    """The entries for some of their items."""
    if order == wanted:
        return entries
    place = {item: at for at, item in enumerate(order)}
    at = [place[item] for item in wanted]
    if at and at == list(range(at[0], at[0] + len(at))):
        return [entry[at[0] : at[0] + len(at)] for entry in entries]
    getter = _getter(at)
    return [getter(entry) for entry in entries]


def _side_by_side(parts: Sequence[Entries]) -> Entries:
    if len(parts) == 1:
        return parts[0]
    if len(parts) == 2:
        return [[*a, *b] for a, b in zip(*parts, strict=True)]
    return [list(chain.from_iterable(entry)) for entry in zip(*parts, strict=True)]


def _cut(flat: list[float], width: int, pieces: int) -> Entries:
    if pieces == 1:
        return [flat]
    return [flat[at : at + width] for at in range(0, width * pieces, width)]


def _block(entries: Entries, start: int, rest: Sequence[int]) -> Floats:
    """The entries at start + each of rest, one after another."""
    if len(rest) == 1:
        first: Floats = entries[start]
        return first
    return list(chain.from_iterable([entries[start + x] for x in rest]))


def _blocks(entries: Entries, step: Join) -> dict[int, Floats]:
    return {a: _block(entries, a, step.rest) for a in {a for group in step.groups for a, _ in group}}


def _join_left(step: Join, lefts: Entries, h: Floats, width: int) -> Entries:
    blocks = _blocks(lefts, step)
    out: Entries = []
    for group in step.groups:
        flat = blend([h[b] for _, b in group], [blocks[a] for a, _ in group])
        out += _cut(flat, width, len(step.rest))
    return out


def _join_both(step: Join, lefts: Entries, rights: Entries, width: int) -> Entries:
    out: Entries = []
    if len(step.rest) == 1:
        return [weave([lefts[a] for a, _ in group], [rights[b] for _, b in group]) for group in step.groups]
    blocks = _blocks(lefts, step)
    pieces = len(step.rest)
    spans = [list(entry) * pieces for entry in rights]
    for group in step.groups:
        flat = weave([blocks[a] for a, _ in group], [spans[b] for _, b in group])
        out += _cut(flat, width, pieces)
    return out


def _join_right(step: Join, left: Floats, rights: Entries, width: int) -> Entries:
    rest = step.rest
    if width >= len(rest):
        return [
            blend([left[a + x] for a, _ in group], [rights[b] for _, b in group])
            for group in step.groups
            for x in rest
        ]
    blocks = {a: [left[a + x] for x in rest] for a in {a for group in step.groups for a, _ in group}}
    out: Entries = []
    for group in step.groups:
        lists = [blocks[a] for a, _ in group]
        columns = [blend([rights[b][j] for _, b in group], lists) for j in range(width)]
        out += map(list, zip(*columns, strict=True))
    return out


def _spread(values: Entries, step: Join) -> Entries:
    for stage in step.spread:
        values = [gather(part, values) for part in stage]
    return values


class _Users:
    """Who uses what in a join: left entry -> (group, slot), slot -> (group, left entry), right entry -> (slot,
    weight) where the right table is spread."""

    def __init__(self, step: Join, tape: Tape) -> None:
        self.step = step
        self.size = tape.sizes[step.left]
        self.of_left: dict[int, list[tuple[int, int]]] = {}
        self.of_slot: list[list[tuple[int, int]]] = [[] for _ in range(step.slots)]
        for o, group in enumerate(step.groups):
            for a, b in group:
                self.of_left.setdefault(a, []).append((o, b))
                self.of_slot[b].append((o, a))
        self.unspread: list[list[list[tuple[int, float]]]] = []
        size = tape.sizes[step.right]
        for stage in step.spread:
            users: list[list[tuple[int, float]]] = [[] for _ in range(size)]
            for b, part in enumerate(stage):
                for c, weight in part:
                    users[c].append((b, weight))
            self.unspread.insert(0, users)
            size = len(stage)

    def _spans(self, onward: Entries) -> list[Floats]:
        """The entries of each group, one after another."""
        pieces = len(self.step.rest)
        if pieces == 1:
            return onward
        return [list(chain.from_iterable(onward[at : at + pieces])) for at in range(0, len(onward), pieces)]

    def _place(self, made: dict[int, list[float]], width: int) -> Entries:
        rest = self.step.rest
        back: Entries = [[0.0] * width] * self.size
        for a, flat in made.items():
            if len(rest) == 1:
                back[a] = flat
            else:
                for x, part in zip(rest, _cut(flat, width, len(rest)), strict=True):
                    back[a + x] = part
        return back

    def to_left(self, h: Floats, onward: Entries, width: int) -> Entries:
        spans = self._spans(onward)
        made = {
            a: blend([h[b] for _, b in pairs], [spans[o] for o, _ in pairs])
            for a, pairs in self.of_left.items()
        }
        return self._place(made, width)

    def to_left_woven(self, h: Entries, onward: Entries, width: int) -> Entries:
        spans = self._spans(onward)
        pieces = len(self.step.rest)
        wide = h if pieces == 1 else [list(entry) * pieces for entry in h]
        made = {
            a: weave([wide[b] for _, b in pairs], [spans[o] for o, _ in pairs])
            for a, pairs in self.of_left.items()
        }
        return self._place(made, width)

    def to_right(self, left: Floats, onward: Entries, width: int) -> Entries:
        rest, pieces = self.step.rest, len(self.step.rest)
        made: Entries = []
        for pairs in self.of_slot:
            weights = [left[a + x] for _, a in pairs for x in rest]
            lists = [entry for o, _ in pairs for entry in onward[o * pieces : (o + 1) * pieces]]
            made.append(blend(weights, lists) if pairs else [0.0] * width)
        return self._unspread(made)

    def to_right_from_plain(self, lefts: Entries, onward: Floats, width: int) -> Entries:
        rest, pieces = self.step.rest, len(self.step.rest)
        made: Entries = []
        for pairs in self.of_slot:
            weights = [weight for o, _ in pairs for weight in onward[o * pieces : (o + 1) * pieces]]
            lists = [lefts[a + x] for _, a in pairs for x in rest]
            made.append(blend(weights, lists) if pairs else [0.0] * width)
        return self._unspread(made)

    def to_right_woven(self, lefts: Entries, onward: Entries, width: int) -> Entries:
        rest, pieces = self.step.rest, len(self.step.rest)
        made: Entries = []
        if width * 8 > WIDE or pieces < 4:
            for pairs in self.of_slot:
                ons = [entry for o, _ in pairs for entry in onward[o * pieces : (o + 1) * pieces]]
                lists = [lefts[a + x] for _, a in pairs for x in rest]
                made.append(weave(ons, lists) if pairs else [0.0] * width)
            return self._unspread(made)
        spans, blocks = self._spans(onward), _blocks(lefts, self.step)
        for pairs in self.of_slot:
            if pairs:
                flat = weave([spans[o] for o, _ in pairs], [blocks[a] for _, a in pairs])
                made.append(_folded(flat, width, pieces))
            else:
                made.append([0.0] * width)
        return self._unspread(made)

    def _unspread(self, made: Entries) -> Entries:
        for users in self.unspread:
            made = [gather(pairs, made) for pairs in users]
        return made


def _folded(flat: Floats, width: int, pieces: int) -> Floats:
    """The sum of the pieces that stand one after another in a list."""
    while pieces > 1:
        half = pieces // 2 * width
        folded = list(map(add, flat[:half], flat[half : 2 * half]))
        flat = folded + list(flat[2 * half :])
        pieces -= pieces // 2
    return flat


def _users_of_source(step: Close, size: int) -> list[list[tuple[int, float]]]:
    users: list[list[tuple[int, float]]] = [[] for _ in range(size)]
    at = 0
    for group in step.groups:
        for x in step.rest:
            for a, weight in group:
                users[a + x].append((at, weight))
            at += 1
    return users


def _gathered(users: Sequence[Sequence[tuple[int, float]]], entries: Entries, width: int) -> Entries:
    return [
        blend([w for _, w in pairs], [entries[at] for at, _ in pairs]) if pairs else [0.0] * width
        for pairs in users
    ]
