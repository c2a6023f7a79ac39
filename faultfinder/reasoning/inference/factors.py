"""From a network with evidence to independent pieces, each a set of small non-negative tables.

Laws (every number below is >= 0, nothing is ever subtracted from a product):
  * A *node variable* is 0 absent, 1 present. Tables that share one are multiplied at equal values.
  * An *accumulating variable* says how far something is explained so far: whether a node has been triggered,
    which level a finding has been pushed to. Tables that share one are combined by the higher value: the
    parts push independently and the highest push wins. A table that lacks it pushes to 0.
  * A *choice variable* stands for a sum of cumulative products: where a likelihood never rises with the
    level, sum_m l(m) P(m) = sum_k (l(k) - l(k+1)) P(<= k), each term a product over the parents. Tables that
    share one are multiplied at equal values, as for a node.
  * A likelihood that is nothing but P(level 0) needs no variable: it goes into its parents' own weights, and
    so does any finding with a single parent.
Source of the accumulating form: heterogeneous factorisation of causal independence, Zhang & Poole,
"Exploiting causal independence in Bayesian network inference", JAIR 5 (1996), from memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from faultfinder.errors import FaultFinderError
from faultfinder.reasoning.inference.network import Finding, Network


@dataclass(frozen=True, slots=True)
class Variable:
    """One index of a table.

    size: number of values. accumulates: combined by the higher value rather than at equal values.
    closing: for an accumulating one, the weight of each final value; empty for a trigger.
    becomes: for a trigger, the node variable that takes its final value, else -1.
    """

    size: int
    accumulates: bool
    closing: tuple[float, ...] = ()
    becomes: int = -1


@dataclass(frozen=True, slots=True)
class Piece:
    """One connected part: nothing outside it bears on its nodes.

    nodes: network indexes; node `nodes[i]` has variable i. own: its weights (absent, present), the leak and
    what folded into it. links: for each node the variables it bears on with its table when present (absent, it
    bears on nothing). starts: for each accumulating or choice variable, what is there without any node.
    """

    nodes: tuple[int, ...]
    variables: tuple[Variable, ...]
    own: tuple[tuple[float, float], ...]
    links: tuple[tuple[tuple[int, tuple[float, ...]], ...], ...]
    starts: Mapping[int, tuple[float, ...]]
    log_scale: float = 0.0


@dataclass(frozen=True, slots=True)
class Folded:
    """What one piece of evidence amounts to.

    weights: node -> (weight if absent, weight if present), for what needs no variable.
    coupled: the parents that it couples, each with its table over the levels kept; start: the same for the
    background.
    """

    log_scale: float
    weights: dict[int, tuple[float, float]]
    accumulates: bool = True
    start: tuple[float, ...] = ()
    closing: tuple[float, ...] = ()
    coupled: tuple[tuple[int, tuple[float, ...]], ...] = ()


def merge_levels(likelihood: Sequence[float]) -> list[list[int]]:
    """Which adjacent levels may stand together, the evidence weighing them alike; zero ones at the top go."""
    top = len(likelihood)
    while top and likelihood[top - 1] == 0.0:
        top -= 1
    groups: list[list[int]] = []
    for level in range(top):
        if groups and likelihood[groups[-1][-1]] == likelihood[level]:
            groups[-1].append(level)
        else:
            groups.append([level])
    return groups


def check_likelihood(index: int, finding: Finding, likelihood: Sequence[float]) -> None:
    """Raise FaultFinderError unless there is one finite weight >= 0 for each level."""
    if len(likelihood) != finding.levels:
        raise FaultFinderError(
            f"evidence on finding {index} has {len(likelihood)} weights for {finding.levels} levels"
        )
    if not all(0.0 <= weight < math.inf for weight in likelihood):
        raise FaultFinderError(f"evidence on finding {index} must be finite weights of 0 or more")


def fold(finding: Finding, likelihood: Sequence[float]) -> Folded | None:
    """What evidence on a finding amounts to; None where it is impossible whatever is present."""
    highest = max(likelihood)
    if highest == 0.0:
        return None
    scale = math.log(highest)
    weights = [weight / highest for weight in likelihood]
    parents = [(node, push) for node, push in finding.parents if push[0] != 1.0]
    groups = merge_levels(weights)
    if len(groups) == 1 and groups[0][-1] == finding.levels - 1:
        return Folded(scale, {})
    closing = tuple(weights[group[0]] for group in groups)
    start = tuple(sum(finding.background[level] for level in group) for group in groups)
    pushes = [(node, tuple(sum(push[m] for m in group) for group in groups)) for node, push in parents]
    if len(groups) == 1:
        if start[0] == 0.0:
            return None
        return Folded(scale + math.log(start[0]), {node: (1.0, push[0]) for node, push in pushes})
    if not pushes:
        total = sum(map(float.__mul__, start, closing))
        return Folded(scale + math.log(total), {}) if total > 0.0 else None
    if len(pushes) == 1:
        node, push = pushes[0]
        absent = sum(map(float.__mul__, start, closing))
        present = sum(s * p * closing[max(a, b)] for a, s in enumerate(start) for b, p in enumerate(push))
        return Folded(scale, {node: (absent, present)})
    if all(upper <= lower for lower, upper in zip(closing, closing[1:], strict=False)):
        return _as_choice(scale, finding, weights, groups, pushes)
    return Folded(scale, {}, True, start, closing, tuple(pushes))


def _as_choice(
    scale: float,
    finding: Finding,
    weights: Sequence[float],
    groups: list[list[int]],
    pushes: list[tuple[int, tuple[float, ...]]],
) -> Folded:
    """Evidence that never rises with the level, as a sum of cumulative products."""
    steps = [weights[group[0]] for group in groups] + [0.0]
    start: list[float] = []
    below = 0.0
    for position, group in enumerate(groups):
        below = 1.0 if group[-1] == finding.levels - 1 else below + sum(finding.background[m] for m in group)
        start.append((steps[position] - steps[position + 1]) * below)
    whole = groups[-1][-1] == finding.levels - 1
    coupled = []
    for node, push in pushes:
        running, cumulative = 0.0, []
        for part in push:
            running += part
            cumulative.append(running)
        if whole:
            cumulative[-1] = 1.0
        coupled.append((node, tuple(cumulative)))
    return Folded(scale, {}, False, tuple(start), (), tuple(coupled))


def build_piece(
    network: Network,
    nodes: Sequence[int],
    weights: Mapping[int, tuple[float, float]],
    coupling: Iterable[Folded],
) -> Piece:
    """The variables and links of one connected part.

    weights: node -> what its folded evidence (and what it is fixed to) weighs it with. coupling: evidence that
    couples several nodes, all of them in this part.
    """
    place = {node: position for position, node in enumerate(nodes)}
    variables = [Variable(2, False) for _ in nodes]
    own: list[tuple[float, float]] = []
    links: list[list[tuple[int, tuple[float, ...]]]] = [[] for _ in nodes]
    starts: dict[int, tuple[float, ...]] = {}
    log_scale = 0.0
    for position, node in enumerate(nodes):
        law = network.nodes[node]
        absent, present = weights.get(node, (1.0, 1.0))
        parents = [(parent, weight) for parent, weight in law.parents if weight > 0.0]
        if parents:
            trigger = len(variables)
            variables.append(Variable(2, True, (), position))
            starts[trigger] = (1.0 - law.leak, law.leak)
            for parent, weight in parents:
                links[place[parent]].append((trigger, (1.0 - weight, weight)))
        else:
            absent, present = absent * (1.0 - law.leak), present * law.leak
        own.append((absent, present))
    for evidence in coupling:
        variable, size = len(variables), len(evidence.start)
        variables.append(Variable(size, evidence.accumulates, evidence.closing or (1.0,) * size))
        starts[variable] = evidence.start
        for node, push in evidence.coupled:
            links[place[node]].append((variable, push))
        log_scale += evidence.log_scale
    return Piece(
        tuple(nodes), tuple(variables), tuple(own), tuple(tuple(those) for those in links), starts, log_scale
    )
