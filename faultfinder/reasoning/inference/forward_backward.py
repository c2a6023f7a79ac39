"""One run of a tape forward (total) and back (every node), in plain numbers.

Back, the weight with which every entry stands in the total is carried down the same joins (reverse
differentiation): all nodes together cost about two runs forward. Everything stays non-negative.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from faultfinder.reasoning.inference.algebra import Floats, blend, weave
from faultfinder.reasoning.inference.compiled_elimination import Leaf, Step, Tape

SMALL = 1e-100
"""A table whose largest entry is below this is scaled up (chosen: far from underflow, seldom reached)."""


@dataclass(slots=True)
class Run:
    """values: every register. spread: step number -> the spread right table. scales: step number -> factor by
    which its result was multiplied. log_total: ln of the piece's weight, -inf where it is impossible."""

    own: tuple[tuple[float, float], ...]
    values: list[Floats]
    spread: dict[int, Floats]
    scales: dict[int, float] = field(default_factory=dict)
    log_total: float = -math.inf


def forward(tape: Tape, own: Sequence[tuple[float, float]], log_scale: float) -> Run:
    """Run a tape with these own weights (absent, present) of the nodes by position."""
    values: list[Floats] = [()] * len(tape.sizes)
    for register, fixed in tape.constants.items():
        values[register] = fixed
    for leaf in tape.leaves:
        x, y = own[leaf.position]
        if leaf.keeps:
            values[leaf.register] = [x * v for v in leaf.absent] + [y * v for v in leaf.present]
        else:
            values[leaf.register] = [x * v + y * w for v, w in zip(leaf.absent, leaf.present, strict=True)]
    run = Run(tuple(own), values, {})
    log_total = log_scale
    for number, step in enumerate(tape.steps):
        left = values[step.left]
        h = values[step.right]
        for stage in step.join.spread:
            h = [sum([h[c] * weight for c, weight in part]) for part in stage]
        run.spread[number] = h
        if len(step.join.rest) == 1:
            out = [sum([left[a] * h[b] for a, b in group]) for group in step.join.groups]
        else:
            out = []
            blocks = _blocks(left, step)
            for group in step.join.groups:
                out += blend([h[b] for _, b in group], [blocks[a] for a, _ in group])
        highest = max(out)
        if highest < SMALL:
            if highest == 0.0:
                return run
            scale = 1.0 / highest
            out = [value * scale for value in out]
            run.scales[number] = scale
            log_total -= math.log(scale)
        values[step.out] = out
    total = values[tape.top][0]
    if total > 0.0:
        run.log_total = log_total + math.log(total)
    return run


def _blocks(left: Floats, step: Step) -> dict[int, Floats]:
    """The left table cut by the combinations it enters with, each over the rest."""
    rest = step.join.rest
    starts = step.join.users
    if rest[-1] == len(rest) - 1:
        return {a: left[a : a + len(rest)] for a in starts}
    return {a: [left[a + x] for x in rest] for a in starts}


def backward(tape: Tape, run: Run) -> list[float]:
    """P(present) of every node of a possible piece, by position."""
    # For every register the weight with which each entry stands in the total of 1.
    back: list[list[float]] = [[] for _ in tape.sizes]
    back[tape.top] = [1.0 / run.values[tape.top][0]]
    for number in range(len(tape.steps) - 1, -1, -1):
        step = tape.steps[number]
        onward = back[step.out]
        scale = run.scales.get(number)
        if scale is not None:
            onward = [value * scale for value in onward]
        back[step.left], back[step.right] = _back_through(step, onward, run, number)
    return [_present(leaf, run.own[leaf.position], back[leaf.register]) for leaf in tape.leaves]


def _back_through(step: Step, onward: list[float], run: Run, number: int) -> tuple[list[float], list[float]]:
    """The weights of the entries of the left and of the right table of a join."""
    left, h = run.values[step.left], run.spread[number]
    to_left, to_h = [0.0] * len(left), [0.0] * len(h)
    rest = step.join.rest
    count = len(rest)
    if count == 1:
        for weight, group in zip(onward, step.join.groups, strict=True):
            for a, b in group:
                to_left[a] += weight * h[b]
                to_h[b] += weight * left[a]
    else:
        blocks = _blocks(left, step)
        parts = [onward[o * count : (o + 1) * count] for o in range(len(step.join.groups))]
        contiguous = rest[-1] == count - 1
        for a, pairs in step.join.users.items():
            block = blend([h[b] for _, b in pairs], [parts[o] for o, _ in pairs])
            if contiguous:
                to_left[a : a + count] = block
            else:
                for x, value in zip(rest, block, strict=True):
                    to_left[a + x] = value
            for o, b in pairs:
                to_h[b] += sum(weave([parts[o]], [blocks[a]]))
    sizes = [len(run.values[step.right]), *map(len, step.join.spread)]
    for size, stage in zip(reversed(sizes[:-1]), reversed(step.join.spread), strict=True):
        below = [0.0] * size
        for value, part in zip(to_h, stage, strict=True):
            for c, weight in part:
                below[c] += weight * value
        to_h = below
    return to_left, to_h


def _present(leaf: Leaf, own: tuple[float, float], weights: Sequence[float]) -> float:
    absent, present = own
    count = len(leaf.absent)
    there = present * sum([x * y for x, y in zip(leaf.present, weights[-count:], strict=True)])
    away = absent * sum([x * y for x, y in zip(leaf.absent, weights[:count], strict=True)])
    return there / (there + away)
