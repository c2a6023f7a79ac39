"""Machines drawn independently from the exact posterior, held as masks: bit i of a node's mask says whether it is
present on machine i.

A tape (compiled_elimination.py) is a sum-product network of non-negative numbers: every entry of a table is a sum of
products of two entries below it. After a run forward, machines are drawn by walking it backwards: those that stand at
an entry are dealt out to the terms of its sum in proportion to the terms. At the leaves that says of each node on
which machines it is present. On a chain this is the forward filtering, backward sampling of C. K. Carter and R. Kohn,
"On Gibbs sampling for state space models", Biometrika 81 (1994).

Nodes that no evidence bears on are drawn forward by the noisy-OR, and so is what an observation that was not made
would answer: by the noisy-MAX, then by how reliable whoever says it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from faultfinder.reasoning.inference.chance import Chance
from faultfinder.reasoning.inference.columns import Solved
from faultfinder.reasoning.inference.compiled_elimination import Leaf, Step
from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.network import Finding

At = dict[int, int]
"""Entry of a table -> the machines that stand at it."""
NOTHING_LEFT = 1e-12
"""Chance of a higher answer below which rounding is all that is left of it."""


def draw_nodes(engine: Engine, chance: Chance) -> list[int]:
    """For every node of the network the machines on which it is present, given the engine's evidence.

    An engine that reports nothing has the smallest tables and leaves most to be drawn forward.
    """
    network = engine.network
    masks = [-1] * len(network.nodes)
    for solved in engine.pieces:
        for node, mask in zip(solved.piece.nodes, _piece(solved, chance), strict=True):
            masks[node] = mask
    for node, p in engine.alone.items():
        masks[node] = chance.mask(p)
    # What no evidence bears on: forward, by the leak or by a parent that is present (noisy-OR).
    left = [node for node, mask in enumerate(masks) if mask < 0]
    for node in sorted(left, key=lambda node: (engine.rank[node], node)):
        masks[node] = chance.mask(network.nodes[node].leak)
        for parent, weight in network.nodes[node].parents:
            masks[node] |= chance.part(masks[parent], weight)
    return masks


def draw_pushes(bits: int, shares: Sequence[float], chance: Chance) -> tuple[int, ...]:
    """Of these machines those that are pushed to level k or above, for k from 1. shares: of each level."""
    out, above = [], 1.0
    for share in shares[:-1]:
        now = above - share
        bits = chance.part(bits, now / above) if now > NOTHING_LEFT and bits else 0
        out.append(bits)
        above = now
    return tuple(out)


def highest(pushes: Sequence[Sequence[int]], full: int) -> list[int]:
    """For each level the machines that are pushed to it and no higher (noisy-MAX)."""
    at_least = [full]
    for level in zip(*pushes, strict=True):
        together = 0
        for mask in level:
            together |= mask
        at_least.append(together)
    return [low & ~high for low, high in pairwise(at_least)] + at_least[-1:]


def draw_answers_again(
    finding: Finding, given: Sequence[float], reliability: float, nodes: Sequence[int], chance: Chance
) -> tuple[int, ...]:
    """The same for a finding that was answered already on the machine as it is, were it asked once more.

    given: the likelihood of what was answered; the true answer is the same both times.
    """
    chances = [(chance.full, finding.background)]
    for parent, shares in finding.parents:
        chances = [
            (part, law if part & ~nodes[parent] else _higher(law, shares))
            for bits, law in chances
            for part in (bits & ~nodes[parent], bits & nodes[parent])
            if part
        ]
    true = [0] * finding.levels
    for bits, law in chances:
        terms = [
            (share * weight, level) for level, (share, weight) in enumerate(zip(law, given, strict=True))
        ]
        if any(weight > 0.0 for weight, _ in terms):
            for level, some in chance.deal(bits, terms):
                true[level] |= some
        else:
            true[0] |= bits
    return as_said(true, chance.mask(1.0 - reliability), chance)


def _higher(one: Sequence[float], other: Sequence[float]) -> tuple[float, ...]:
    """The distribution of the higher of two independent levels."""
    out, below = [], 0.0
    upto_one = upto_other = 0.0
    for a, b in zip(one, other, strict=True):
        upto_one, upto_other = upto_one + a, upto_other + b
        out.append(max(0.0, upto_one * upto_other - below))
        below = upto_one * upto_other
    return tuple(out)


def as_said(true: Sequence[int], wrong: int, chance: Chance) -> tuple[int, ...]:
    """The machines of each answer as it is said; wrong: those on which another than the true one is, any alike."""
    if len(true) == 1 or not wrong:
        return tuple(true)
    out = [mask & ~wrong for mask in true]
    for level, mask in enumerate(true):
        if bits := mask & wrong:
            others = [(1.0, other) for other in range(len(true)) if other != level]
            for other, some in chance.deal(bits, others):
                out[other] |= some
    return tuple(out)


def _piece(solved: Solved, chance: Chance) -> list[int]:
    """The same for the nodes of one solved piece, by position."""
    tape, run = solved.tape, solved.run
    at: dict[int, At] = {tape.top: {0: chance.full}}
    for number in range(len(tape.steps) - 1, -1, -1):
        step = tape.steps[number]
        here = at.pop(step.out, {})
        at[step.left], at[step.right] = _through_join(step, here, solved, number, chance)
    return [_present(leaf, at.get(leaf.register, {}), run.own[leaf.position], chance) for leaf in tape.leaves]


def _through_join(step: Step, here: At, solved: Solved, number: int, chance: Chance) -> tuple[At, At]:
    """The machines at the entries made by a join, dealt out to its left and its right table."""
    run = solved.run
    left, spread = run.values[step.left], run.spread[number]
    rest, slots = step.join.rest, len(spread)
    to_left: At = {}
    to_slot: At = {}
    for entry, mask in here.items():
        offset = rest[entry % len(rest)]
        group = step.join.groups[entry // len(rest)]
        if len(group) == 1:
            a, b = group[0]
            _add(to_left, a + offset, mask)
            _add(to_slot, b, mask)
            continue
        terms = [(left[a + offset] * spread[b], (a + offset) * slots + b) for a, b in group]
        for name, bits in chance.deal(mask, terms):
            _add(to_left, name // slots, bits)
            _add(to_slot, name % slots, bits)
    tables = [run.values[step.right]]
    for stage in step.join.spread[:-1]:
        table = tables[-1]
        tables.append([sum([table[c] * weight for c, weight in part]) for part in stage])
    for table, stage in zip(reversed(tables), reversed(step.join.spread), strict=False):
        below: At = {}
        for slot, mask in to_slot.items():
            part = stage[slot]
            if len(part) == 1:
                _add(below, part[0][0], mask)
                continue
            for name, bits in chance.deal(mask, [(table[c] * weight, c) for c, weight in part]):
                _add(below, name, bits)
        to_slot = below
    return to_left, to_slot


def _present(leaf: Leaf, here: At, own: tuple[float, float], chance: Chance) -> int:
    """The machines on which a node is present, from where they stand in its own table."""
    size, out = len(leaf.absent), 0
    for entry, mask in here.items():
        if leaf.keeps:
            if entry >= size:
                out |= mask
        else:
            away, there = own[0] * leaf.absent[entry], own[1] * leaf.present[entry]
            out |= chance.part(mask, there / (away + there))
    return out


def _add(at: At, entry: int, bits: int) -> None:
    at[entry] = at.get(entry, 0) | bits
