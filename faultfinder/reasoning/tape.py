"""A piece compiled once into a tape of bilinear steps, run forward for the total and backward for every node.

Each step is  out[o] += left[a] * right[b]  or  out[o] += weight * source[a]  over index lists made
beforehand. Backward, the weight with which every table entry stands in the total is summed up the same way
(reverse differentiation), so all node probabilities cost about two more forward runs. Everything stays
non-negative.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from faultfinder.reasoning.factors import Piece
from faultfinder.reasoning.ordering import Order


@dataclass(frozen=True, slots=True)
class Combine:
    """out[o] += left[a] * right[b] for each (o, a, b)."""

    out: int
    left: int
    right: int
    triples: list[tuple[int, int, int]]
    size: int


@dataclass(frozen=True, slots=True)
class Reduce:
    """out[o] += weight * source[a] for each (o, a, weight); the result is then scaled to a maximum of 1."""

    out: int
    source: int
    triples: list[tuple[int, int, float]]
    size: int


@dataclass(frozen=True, slots=True)
class Tape:
    """Registers 0..len(tables)-1 hold the piece's own tables; `tops` multiply to the total."""

    piece: Piece
    steps: list[Combine | Reduce]
    registers: int
    tops: list[int]


def compile_piece(piece: Piece, order: Order) -> Tape:
    """The tape that sums the variables out in this order."""
    scopes: list[tuple[int, ...]] = [table.scope for table in piece.tables]
    live: dict[int, set[int]] = {}
    for register, scope in enumerate(scopes):
        for variable in scope:
            live.setdefault(variable, set()).add(register)
    steps: list[Combine | Reduce] = []
    sizes = [variable.size for variable in piece.variables]

    def entries(register: int) -> int:
        return math.prod(sizes[variable] for variable in scopes[register])

    for chosen in order.variables:
        bucket = sorted(live.pop(chosen), key=lambda register: (entries(register), register))
        for register in bucket:
            for variable in scopes[register]:
                if variable != chosen:
                    live[variable].discard(register)
        while len(bucket) > 1:
            left, right = bucket[0], bucket[1]
            scope, triples = _combination(piece, scopes[left], scopes[right])
            scopes.append(scope)
            out = len(scopes) - 1
            steps.append(Combine(out, left, right, triples, entries(out)))
            bucket = sorted([*bucket[2:], out], key=lambda register: (entries(register), register))
        scope, weighted = _summing_out(piece, scopes[bucket[0]], chosen)
        scopes.append(scope)
        out = len(scopes) - 1
        steps.append(Reduce(out, bucket[0], weighted, entries(out)))
        for variable in scope:
            live[variable].add(out)
    used = {register for step in steps for register in _sources(step)}
    tops = [register for register in range(len(scopes)) if register not in used]
    return Tape(piece, steps, len(scopes), tops)


def _sources(step: Combine | Reduce) -> tuple[int, ...]:
    return (step.source,) if isinstance(step, Reduce) else (step.left, step.right)


def _strides(piece: Piece, scope: Sequence[int]) -> dict[int, int]:
    strides: dict[int, int] = {}
    step = 1
    for variable in reversed(scope):
        strides[variable] = step
        step *= piece.variables[variable].size
    return strides


def _combination(
    piece: Piece, left: tuple[int, ...], right: tuple[int, ...]
) -> tuple[tuple[int, ...], list[tuple[int, int, int]]]:
    scope = left + tuple(variable for variable in right if variable not in left)
    out_stride, left_stride, right_stride = (_strides(piece, part) for part in (scope, left, right))
    triples = [(0, 0, 0)]
    for variable in scope:
        law = piece.variables[variable]
        o, a, b = out_stride[variable], left_stride.get(variable, 0), right_stride.get(variable, 0)
        if a and b and law.accumulates:
            moves = [(max(m, n) * o, m * a, n * b) for m in range(law.size) for n in range(law.size)]
        else:
            moves = [(m * o, m * a, m * b) for m in range(law.size)]
        triples = [(x + i, y + j, z + k) for x, y, z in triples for i, j, k in moves]
    return scope, triples


def _summing_out(
    piece: Piece, scope: tuple[int, ...], chosen: int
) -> tuple[tuple[int, ...], list[tuple[int, int, float]]]:
    law = piece.variables[chosen]
    rest = tuple(variable for variable in scope if variable != chosen)
    becomes = law.becomes
    out_scope = rest if becomes < 0 or becomes in rest else (becomes, *rest)
    strides, out_strides = _strides(piece, scope), _strides(piece, out_scope)
    triples: list[tuple[int, int, float]] = [(0, 0, 1.0)]
    for variable in rest:
        if variable == becomes:
            continue
        o, a = out_strides[variable], strides[variable]
        moves = [(m * o, m * a) for m in range(piece.variables[variable].size)]
        triples = [(x + i, y + j, 1.0) for x, y, _ in triples for i, j in moves]
    step = strides[chosen]
    if becomes >= 0:
        o, a = out_strides[becomes], strides.get(becomes, 0)
        return out_scope, [(x + m * o, y + m * (step + a), 1.0) for x, y, _ in triples for m in (0, 1)]
    closing = law.closing or (1.0,) * law.size
    return out_scope, [(x, y + m * step, w) for x, y, _ in triples for m, w in enumerate(closing) if w]


@dataclass(frozen=True, slots=True)
class Run:
    """log_total: ln of the piece's total weight (-inf if impossible). present: node -> P(present)."""

    log_total: float
    present: dict[int, float]


def run(tape: Tape, own: Mapping[int, tuple[float, float]] | None = None) -> Run:
    """Run a tape; `own` replaces the own weights (absent, present) of some nodes."""
    piece = tape.piece
    values: list[Sequence[float]] = [table.values for table in piece.tables]
    for node, weights in (own or {}).items():
        values[piece.own[node]] = weights
    values += [()] * (tape.registers - len(values))
    log_total = piece.log_scale
    scales = [1.0] * tape.registers
    for step in tape.steps:
        out = [0.0] * step.size
        if isinstance(step, Combine):
            left, right = values[step.left], values[step.right]
            for o, a, b in step.triples:
                out[o] += left[a] * right[b]
        else:
            source = values[step.source]
            for o, a, weight in step.triples:
                out[o] += weight * source[a]
            highest = max(out)
            if highest == 0.0:
                return Run(-math.inf, {})
            scales[step.out] = 1.0 / highest
            log_total += math.log(highest)
            out = [value / highest for value in out]
        values[step.out] = out
    back: list[list[float]] = [[] for _ in range(tape.registers)]
    for top in tape.tops:
        log_total += math.log(values[top][0])
        back[top] = [1.0 / values[top][0]]
    for step in reversed(tape.steps):
        onward = back[step.out]
        if isinstance(step, Combine):
            left, right = values[step.left], values[step.right]
            to_left, to_right = [0.0] * len(left), [0.0] * len(right)
            for o, a, b in step.triples:
                weight = onward[o]
                to_left[a] += weight * right[b]
                to_right[b] += weight * left[a]
            back[step.left], back[step.right] = to_left, to_right
        else:
            scale = scales[step.out]
            to_source = [0.0] * len(values[step.source])
            for o, a, factor in step.triples:
                to_source[a] += onward[o] * factor * scale
            back[step.source] = to_source
    present = {}
    for node, register in piece.own.items():
        absent, there = values[register]
        weight_absent, weight_there = back[register]
        absent, there = absent * weight_absent, there * weight_there
        present[node] = there / (absent + there)
    return Run(log_total, present)
