"""Many reweightings of a piece carried through its tape at once, a column each.

A column multiplies the present weight of a few nodes by a factor each (what P(finding <= level) does to the
parents). Only registers above a reweighted node differ from the plain run: going up, a column lives in those
alone. Going down, the weight with which an entry stands in a column's total is carried along the same path;
where the path leaves a subtree untouched, every node below follows from the entries at its top alone:
    P(node present, column) = sum over entries of weight[entry] * share[entry][node],
`share` being the plain weight of the subtree with that entry and the node present. It is made once for all
columns, by the same joins. Everything stays non-negative.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from operator import itemgetter
from typing import Any

from faultfinder.reasoning.algebra import Floats, blend, weave
from faultfinder.reasoning.sweep import Run
from faultfinder.reasoning.tape import Join, Tape

Column = Mapping[int, float]
"""Position of a node in the piece -> factor on its present weight, 0..1."""


def carry(
    tape: Tape, run: Run, columns: Sequence[Column], report: Sequence[int]
) -> tuple[list[float], dict[int, list[float]]]:
    """What each column makes of the piece.

    First: the total of each column as a share of the plain total (0..1). Second: for each position in `report`,
    P(present, column | evidence) in the order of the columns. Every column must reweight some node.
    """
    carrier = _Carrier(tape, run, columns, report)
    carrier.up()
    carrier.down()
    return carrier.totals(), carrier.collected()


class _Carrier:
    def __init__(self, tape: Tape, run: Run, columns: Sequence[Column], report: Sequence[int]) -> None:
        self.tape = tape
        self.run = run
        self.columns = columns
        registers = len(tape.sizes)
        self.ids: list[list[int]] = [[] for _ in range(registers)]
        self.values: list[list[list[float]]] = [[] for _ in range(registers)]
        self.back: list[list[list[float]]] = [[] for _ in range(registers)]
        self.hanging: list[list[tuple[list[int], list[list[float]]]]] = [[] for _ in range(registers)]
        self.split: dict[int, _Split] = {}
        self.out: dict[int, list[tuple[list[int], list[float]]]] = {position: [] for position in report}
        self.below, self.direct = _plan(tape, frozenset(report))
        self.shares: dict[int, list[list[float]]] = {}
        self.maker = {step.out: number for number, step in enumerate(tape.steps)}
        self.leaf_of = {leaf.register: leaf for leaf in tape.leaves}

    # Up -----------------------------------------------------------------------------------------------

    def up(self) -> None:
        tape, run = self.tape, self.run
        factors: dict[int, tuple[list[int], list[float]]] = {}
        for index, column in enumerate(self.columns):
            for position, factor in column.items():
                ids, values = factors.setdefault(position, ([], []))
                ids.append(index)
                values.append(factor)
        for position, (ids, values) in factors.items():
            leaf = tape.leaves[position]
            absent, present = run.own[position]
            self.ids[leaf.register] = ids
            if leaf.keeps:
                away = [[absent * v] * len(ids) for v in leaf.absent]
                there = [[present * v * r for r in values] for v in leaf.present]
                self.values[leaf.register] = away + there
            else:
                pairs = [(absent * v, present * w) for v, w in zip(leaf.absent, leaf.present, strict=True)]
                self.values[leaf.register] = [[x + y * r for r in values] for x, y in pairs]
        for number, step in enumerate(tape.steps):
            if isinstance(step, Join):
                if self.ids[step.left] or self.ids[step.right]:
                    self._up_join(number, step)
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

    def _up_join(self, number: int, step: Join) -> None:
        split = _Split(self.ids[step.left], self.ids[step.right])
        self.split[number] = split
        left, h = self.run.values[step.left], self.run.spread[number]
        self.ids[step.out] = split.ids
        spread_values = _spread(self.values[step.right], step) if self.ids[step.right] else []
        split.left_both, split.left_only = split.cut_left(self.values[step.left])
        split.right_both, split.right_only = split.cut_right(spread_values)
        out: list[list[float]] = []
        for group in step.groups:
            for x in step.rest:
                parts: list[list[float]] = []
                if split.both:
                    both, right = split.left_both, split.right_both
                    parts.append(weave([both[a + x] for a, _ in group], [right[b] for _, b in group]))
                if split.only_left:
                    only = split.left_only
                    parts.append(blend([h[b] for _, b in group], [only[a + x] for a, _ in group]))
                if split.only_right:
                    only = split.right_only
                    parts.append(blend([left[a + x] for a, _ in group], [only[b] for _, b in group]))
                out.append(parts[0] if len(parts) == 1 else [v for part in parts for v in part])
        self.values[step.out] = out

    # Down ---------------------------------------------------------------------------------------------

    def down(self) -> None:
        tape, run = self.tape, self.run
        top = tape.top
        self.back[top] = [[1.0 / run.values[top][0]] * len(self.ids[top])]
        for number in range(len(tape.steps) - 1, -1, -1):
            step = tape.steps[number]
            hanging = self._hanging(step.out)
            scale = run.scales.get(number)
            if scale is not None:
                self.back[step.out] = [[v * scale for v in entry] for entry in self.back[step.out]]
                if hanging:
                    hanging = (hanging[0], [[v * scale for v in entry] for entry in hanging[1]])
            if isinstance(step, Join):
                self._down_join(number, step, hanging)
            else:
                users = _users_of_source(step.groups, step.rest, tape.sizes[step.source])
                if self.ids[step.out]:
                    self.back[step.source] = [_gather(pairs, self.back[step.out]) for pairs in users]
                if hanging:
                    ids, entries = hanging
                    self.hanging[step.source].append((ids, [_gather(pairs, entries) for pairs in users]))
        for leaf in tape.leaves:
            self._hanging(leaf.register)
            position = leaf.position
            if position not in self.out or not self.ids[leaf.register]:
                continue
            present = run.own[position][1]
            weights = [present * v for v in leaf.present]
            entries = self.back[leaf.register][-len(weights) :]
            there = blend(weights, entries)
            ids = self.ids[leaf.register]
            values = [v * self.columns[i][position] for v, i in zip(there, ids, strict=True)]
            self.out[position].append((ids, values))

    def _hanging(self, register: int) -> tuple[list[int], list[list[float]]] | None:
        """The columns that leave this register untouched; None where nothing is left to do for them."""
        segments = self.hanging[register]
        if not segments:
            return None
        self.hanging[register] = []
        if len(segments) == 1:
            ids, entries = segments[0]
        else:
            ids = [i for those, _ in segments for i in those]
            entries = [
                [v for part in parts for v in part]
                for parts in zip(*(entries for _, entries in segments), strict=True)
            ]
        if not self.direct[register]:
            return ids, entries
        shares = self._share(register)
        for place, position in enumerate(self.below[register]):
            weights, lists = [], []
            for share, entry in zip(shares, entries, strict=True):
                if share[place]:
                    weights.append(share[place])
                    lists.append(entry)
            values = blend(weights, lists) if weights else [0.0] * len(ids)
            self.out[position].append((ids, values))
        return None

    def _down_join(
        self, number: int, step: Join, hanging: tuple[list[int], list[list[float]]] | None
    ) -> None:
        run = self.run
        left, h = run.values[step.left], run.spread[number]
        to_left, to_h, to_right = _users(step, self.tape)
        size_left, size_right = self.tape.sizes[step.left], self.tape.sizes[step.right]
        wants_left, wants_right = bool(self.below[step.left]), bool(self.below[step.right])
        if hanging:
            ids, entries = hanging
            if wants_left:
                made = _left_plain(step, to_left, h, entries, size_left)
                self.hanging[step.left].append((ids, made))
            if wants_right:
                made = _unspread(to_right, _right_plain(step, to_h, left, entries), size_right)
                self.hanging[step.right].append((ids, made))
        split = self.split.get(number)
        if split is None:
            return
        onward = self.back[step.out]
        both, only_left, only_right = split.cut(onward)
        if split.both:
            left_parts = [_left_woven(step, to_left, split.right_both, both, size_left)]
            h_back = _right_woven(step, to_h, split.left_both, both)
            right_parts = [_unspread(to_right, h_back, size_right)]
        else:
            left_parts, right_parts = [], []
        if split.only_left:
            left_parts.append(_left_plain(step, to_left, h, only_left, size_left))
            if wants_right:
                h_back = _right_woven(step, to_h, split.left_only, only_left)
                made = _unspread(to_right, h_back, size_right)
                self.hanging[step.right].append((split.only_left, made))
        if split.only_right:
            right_parts.append(_unspread(to_right, _right_plain(step, to_h, left, only_right), size_right))
            if wants_left:
                made = _left_woven(step, to_left, split.right_only, only_right, size_left)
                self.hanging[step.left].append((split.only_right, made))
        if left_parts:
            self.back[step.left] = split.restore_left(left_parts)
        if right_parts:
            self.back[step.right] = split.restore_right(right_parts)

    # Shares -------------------------------------------------------------------------------------------

    def _share(self, register: int) -> list[list[float]]:
        """For each entry, the plain weight of the subtree with each reported node below it present."""
        if register in self.shares:
            return self.shares[register]
        run = self.run
        leaf = self.leaf_of.get(register)
        made: list[list[float]]
        if leaf is not None:
            present = run.own[leaf.position][1]
            made = [[present * v] for v in leaf.present]
            if leaf.keeps:
                made = [[0.0]] * len(leaf.absent) + made
        else:
            number = self.maker[register]
            step = self.tape.steps[number]
            if isinstance(step, Join):
                left, h = run.values[step.left], run.spread[number]
                made = [[] for _ in range(self.tape.sizes[register])]
                count = len(step.rest)
                if self.below[step.left]:
                    table = self._share(step.left)
                    for o, group in enumerate(step.groups):
                        weights = [h[b] for _, b in group]
                        for i, x in enumerate(step.rest):
                            made[o * count + i] = blend(weights, [table[a + x] for a, _ in group])
                if self.below[step.right]:
                    table = self._share(step.right)
                    if step.spread is not None:
                        table = [
                            blend([w for _, w in part], [table[c] for c, _ in part]) for part in step.spread
                        ]
                    for o, group in enumerate(step.groups):
                        lists = [table[b] for _, b in group]
                        for i, x in enumerate(step.rest):
                            made[o * count + i] += blend([left[a + x] for a, _ in group], lists)
            else:
                table = self._share(step.source)
                made = [
                    blend([w for _, w in group], [table[a + x] for a, _ in group])
                    for group in step.groups
                    for x in step.rest
                ]
            scale = run.scales.get(number)
            if scale is not None:
                made = [[v * scale for v in entry] for entry in made]
        self.shares[register] = made
        return made

    # Results ------------------------------------------------------------------------------------------

    def totals(self) -> list[float]:
        top = self.tape.top
        plain = self.run.values[top][0]
        totals = [0.0] * len(self.columns)
        for index, value in zip(self.ids[top], self.values[top][0], strict=True):
            totals[index] = value / plain
        return totals

    def collected(self) -> dict[int, list[float]]:
        order: dict[tuple[int, ...], Any] = {}
        made: dict[int, list[float]] = {}
        for position, segments in self.out.items():
            values = [v for _, part in segments for v in part]
            key = tuple(id(ids) for ids, _ in segments)
            getter = order.get(key)
            if getter is None:
                ids = [i for those, _ in segments for i in those]
                getter = order[key] = _getter(sorted(range(len(ids)), key=ids.__getitem__))
            made[position] = list(getter(values))
        return made


def _getter(indexes: Sequence[int]) -> Any:
    """itemgetter that always gives a sequence."""
    if len(indexes) == 1:
        only = indexes[0]
        return lambda values: (values[only],)
    return itemgetter(*indexes) if indexes else lambda values: ()


class _Split:
    """The columns of a join: those that touch both sides, only the left, only the right, in this order."""

    def __init__(self, left: list[int], right: list[int]) -> None:
        in_left, in_right = set(left), set(right)
        self.both = [i for i in left if i in in_right]
        self.only_left = [i for i in left if i not in in_right]
        self.only_right = [i for i in right if i not in in_left]
        self.ids = self.both + self.only_left + self.only_right
        self._left, self._right = left, right
        self.left_both: list[Floats] = []
        self.left_only: list[Floats] = []
        self.right_both: list[Floats] = []
        self.right_only: list[Floats] = []

    def cut_left(self, values: list[list[float]]) -> tuple[list[Floats], list[Floats]]:
        return _cut(self._left, self.both, self.only_left, values)

    def cut_right(self, values: list[list[float]]) -> tuple[list[Floats], list[Floats]]:
        return _cut(self._right, self.both, self.only_right, values)

    def cut(
        self, entries: list[list[float]]
    ) -> tuple[list[list[float]], list[list[float]], list[list[float]]]:
        first, second = len(self.both), len(self.both) + len(self.only_left)
        if first == 0 and not self.only_right:
            return [], entries, []
        return (
            [entry[:first] for entry in entries],
            [entry[first:second] for entry in entries],
            [entry[second:] for entry in entries],
        )

    def restore_left(self, parts: list[list[list[float]]]) -> list[list[float]]:
        return _restore(self._left, self.both + self.only_left, parts)

    def restore_right(self, parts: list[list[list[float]]]) -> list[list[float]]:
        return _restore(self._right, self.both + self.only_right, parts)


def _cut(
    order: list[int], both: list[int], only: list[int], values: list[list[float]]
) -> tuple[list[Floats], list[Floats]]:
    if order == both:
        return list(values), []
    if order == only:
        return [], list(values)
    place = {index: at for at, index in enumerate(order)}
    first, second = _getter([place[i] for i in both]), _getter([place[i] for i in only])
    return [first(entry) for entry in values], [second(entry) for entry in values]


def _restore(order: list[int], now: list[int], parts: list[list[list[float]]]) -> list[list[float]]:
    if len(parts) == 1 and order == now:
        return parts[0]
    joined = [[v for part in entry for v in part] for entry in zip(*parts, strict=True)]
    if order == now:
        return joined
    place = {index: at for at, index in enumerate(now)}
    getter = _getter([place[i] for i in order])
    return [list(getter(entry)) for entry in joined]


def _spread(values: list[list[float]], step: Join) -> list[list[float]]:
    if step.spread is None:
        return values
    return [
        blend([w for _, w in part], [values[c] for c, _ in part]) if len(part) != 1 or part[0][1] != 1.0
        else values[part[0][0]]
        for part in step.spread
    ]


_Users = tuple[dict[int, list[tuple[int, int]]], list[list[tuple[int, int]]], list[list[tuple[int, float]]] | None]


def _users(step: Join, tape: Tape) -> _Users:
    """Who uses what in a join: left entry -> (group, slot), slot -> (group, left entry), right entry -> (slot,
    weight); None where the right table is not spread."""
    to_left: dict[int, list[tuple[int, int]]] = {}
    slots = tape.sizes[step.right] if step.spread is None else len(step.spread)
    to_h: list[list[tuple[int, int]]] = [[] for _ in range(slots)]
    for o, group in enumerate(step.groups):
        for a, b in group:
            to_left.setdefault(a, []).append((o, b))
            to_h[b].append((o, a))
    if step.spread is None:
        return to_left, to_h, None
    to_right: list[list[tuple[int, float]]] = [[] for _ in range(tape.sizes[step.right])]
    for b, part in enumerate(step.spread):
        for c, weight in part:
            to_right[c].append((b, weight))
    return to_left, to_h, to_right


def _left_plain(
    step: Join,
    to_left: dict[int, list[tuple[int, int]]],
    h: Floats,
    onward: list[list[float]],
    size: int,
) -> list[list[float]]:
    back = [[0.0] * len(onward[0])] * size
    count = len(step.rest)
    for a, pairs in to_left.items():
        weights = [h[b] for _, b in pairs]
        for i, x in enumerate(step.rest):
            back[a + x] = blend(weights, [onward[o * count + i] for o, _ in pairs])
    return back


def _left_woven(
    step: Join,
    to_left: dict[int, list[tuple[int, int]]],
    h: list[Floats],
    onward: list[list[float]],
    size: int,
) -> list[list[float]]:
    back = [[0.0] * len(onward[0])] * size
    count = len(step.rest)
    for a, pairs in to_left.items():
        rights = [h[b] for _, b in pairs]
        for i, x in enumerate(step.rest):
            back[a + x] = weave([onward[o * count + i] for o, _ in pairs], rights)
    return back


def _right_woven(
    step: Join, to_h: list[list[tuple[int, int]]], left: list[Floats], onward: list[list[float]]
) -> list[list[float]]:
    count = len(step.rest)
    back = []
    for pairs in to_h:
        if pairs:
            lefts = [left[a + x] for _, a in pairs for x in step.rest]
            ons = [entry for o, _ in pairs for entry in onward[o * count : (o + 1) * count]]
            back.append(weave(ons, lefts))
        else:
            back.append([0.0] * len(onward[0]))
    return back


def _right_plain(
    step: Join, to_h: list[list[tuple[int, int]]], left: Floats, onward: list[list[float]]
) -> list[list[float]]:
    count = len(step.rest)
    back = []
    for pairs in to_h:
        if pairs:
            weights = [left[a + x] for _, a in pairs for x in step.rest]
            lists = [entry for o, _ in pairs for entry in onward[o * count : (o + 1) * count]]
            back.append(blend(weights, lists))
        else:
            back.append([0.0] * len(onward[0]))
    return back


def _unspread(
    to_right: list[list[tuple[int, float]]] | None, back: list[list[float]], size: int
) -> list[list[float]]:
    if to_right is None:
        return back
    return [blend([w for _, w in pairs], [back[b] for b, _ in pairs]) for pairs in to_right]


def _users_of_source(
    groups: Sequence[Sequence[tuple[int, float]]], rest: Sequence[int], size: int
) -> list[list[tuple[int, float]]]:
    users: list[list[tuple[int, float]]] = [[] for _ in range(size)]
    at = 0
    for group in groups:
        for x in rest:
            for a, weight in group:
                users[a + x].append((at, weight))
            at += 1
    return users


def _gather(pairs: Sequence[tuple[int, float]], entries: list[list[float]]) -> list[float]:
    if not pairs:
        return [0.0] * len(entries[0])
    return blend([w for _, w in pairs], [entries[at] for at, _ in pairs])


def _plan(tape: Tape, report: frozenset[int]) -> tuple[list[tuple[int, ...]], list[bool]]:
    """For each register the reported nodes below it, and whether they are best had from its entries directly
    (the products that takes against those of going one step further down)."""
    below: list[tuple[int, ...]] = [()] * len(tape.sizes)
    best = [0] * len(tape.sizes)
    direct = [True] * len(tape.sizes)
    for leaf in tape.leaves:
        if leaf.position in report:
            below[leaf.register] = (leaf.position,)
            best[leaf.register] = tape.sizes[leaf.register]
    for step in tape.steps:
        if isinstance(step, Join):
            below[step.out] = below[step.left] + below[step.right]
            terms = len(step.rest) * sum(map(len, step.groups))
            further = best[step.left] + best[step.right] + terms * (bool(below[step.left]) + bool(below[step.right]))
        else:
            below[step.out] = below[step.source]
            further = best[step.source] + len(step.rest) * sum(map(len, step.groups))
        here = len(below[step.out]) * tape.sizes[step.out]
        direct[step.out] = here <= further
        best[step.out] = min(here, further)
    return below, direct
