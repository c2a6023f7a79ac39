"""About how likely each node is: messages passed to and fro between nodes and evidence (belief propagation).

Exact where evidence and nodes form a tree, close to exact elsewhere; its cost grows with the links and not with the
width. Used to find the links that hardly matter (edge_deletion.py) and how each of them bears on its surroundings; a
number from here is never shown where the exact one can be had.

Source: J. Pearl, "Probabilistic Reasoning in Intelligent Systems", 1988; on noisy-OR networks of symptoms and
diseases: K. Murphy, Y. Weiss, M. Jordan, "Loopy belief propagation for approximate inference", UAI 1999.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace

from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.reasoning.inference.network import Network

ROUNDS = 40
"""Rounds after which the messages are taken as they are; chosen, a few are the rule."""
CLOSE = 1e-5
"""Largest change of a chance in a round that counts as none; chosen."""
DAMPED_FROM = 8
"""Round from which a message moves only half way, so that it cannot swing for ever; chosen."""
EXTREME = 1e12
"""Largest ratio that a message may state; chosen: keeps a certainty from dividing by nothing."""
LEAST_RATIO = 1.0 / EXTREME
SAME = 1e-7
"""Change of a chance that is none: what follows from it is not told again; chosen."""


@dataclass(frozen=True, slots=True)
class Beliefs:
    """chance: of every node. to_finding: (node, finding) -> the node's chance, that finding's answer apart;
    from_finding: the ratio of likelihoods (present to absent) that the answer tells it. to_child, from_child:
    (node, child) -> the same between a node and one that it brings on. above: chance of each node by what brings
    it on alone; told: the ratio that everything else tells it.
    """

    chance: tuple[float, ...]
    to_finding: Mapping[tuple[int, int], float]
    from_finding: Mapping[tuple[int, int], float]
    to_child: Mapping[tuple[int, int], float]
    from_child: Mapping[tuple[int, int], float]
    above: tuple[float, ...]
    told: tuple[float, ...]


def sums(push: Sequence[float]) -> list[float]:
    """P(pushed to level k or below) for every level but the last."""
    if len(push) == 2:
        return [min(1.0, push[0])]
    out, total = [], 0.0
    for share in push[:-1]:
        total += share
        out.append(min(1.0, total))
    return out


def mean(likelihood: Likelihood, levels: Sequence[float]) -> float:
    """Likelihood of the evidence where `levels` is P(level <= k) for every level but the last; >= 0."""
    if len(likelihood) == 2:
        low = levels[0]
        return likelihood[0] * low + likelihood[1] * (1.0 - low if low < 1.0 else 0.0)
    total, before = 0.0, 0.0
    for weight, now in zip(likelihood, levels, strict=False):
        total += weight * max(0.0, now - before)
        before = now
    return total + likelihood[-1] * max(0.0, 1.0 - before)


@dataclass(slots=True)
class _Told:
    """An answer while messages pass: its likelihood, P(level <= k) of the background, and for each cause its node,
    P(pushed to level k or below), the message to it, and its chance with that message apart."""

    index: int
    likelihood: Likelihood
    background: Sequence[float]
    nodes: list[int]
    pushes: list[list[float]]
    ratios: list[float]
    shares: list[float]
    settled: bool = False
    """Whether its messages are those that follow from `shares`."""


@dataclass(slots=True)
class _Child:
    """A node with what brings it on: the weight of each, the message to it, and its chance with that apart."""

    node: int
    leak: float
    parents: list[int]
    weights: list[float]
    ratios: list[float]
    shares: list[float]
    said: float = 1.0
    settled: bool = False
    """Whether its messages are those that follow from `shares` and from what it is told (`said`)."""


def believe(network: Network, evidence: Mapping[int, Likelihood], start: Beliefs | None = None) -> Beliefs:
    """Pass messages until they stay; see the module. Impossible evidence gives what it gives, no error.

    start: beliefs on the same network with other evidence, from which it is not far.
    """
    messages = Messages(network, evidence, start)
    messages.settle()
    return messages.beliefs()


class Messages:
    """Messages under way. told: the ratio that all below tells a node; above: its chance by what brings it on."""

    def __init__(self, network: Network, evidence: Mapping[int, Likelihood], start: Beliefs | None) -> None:
        known = start.from_finding if start else {}
        brought = start.from_child if start else {}
        self.told = [1.0] * len(network.nodes)
        self.above = [node.leak for node in network.nodes]
        self.answers = []
        for index, likelihood in evidence.items():
            finding = network.findings[index]
            nodes = [node for node, _ in finding.parents]
            ratios = [known.get((node, index), 1.0) for node in nodes]
            pushes = [sums(push) for _, push in finding.parents]
            self.answers.append(
                _Told(index, likelihood, sums(finding.background), nodes, pushes, ratios, [0.0] * len(nodes))
            )
            for node, ratio in zip(nodes, ratios, strict=True):
                self.told[node] = _bounded(self.told[node] * ratio)
        self.children = []
        for index, law in enumerate(network.nodes):
            if law.parents:
                parents = [parent for parent, _ in law.parents]
                ratios = [brought.get((parent, index), 1.0) for parent in parents]
                weights = [weight for _, weight in law.parents]
                self.children.append(_Child(index, law.leak, parents, weights, ratios, [0.0] * len(parents)))
                for parent, ratio in zip(parents, ratios, strict=True):
                    self.told[parent] = _bounded(self.told[parent] * ratio)
        self._down()

    def settle(self, close: float = CLOSE, odds: float = math.inf) -> list[float]:
        """Pass messages until no chance moves by more than `close` any more, nor its distance from certainty by more
        than the share `odds` of that; every node's chance."""
        before = self.chances()
        for turn in range(ROUNDS):
            self.round(0.5 if turn >= DAMPED_FROM else 0.0)
            now = self.chances()
            still = all(
                abs(one - other) < min(close, odds * (1.0 - one)) or one == other
                for one, other in zip(now, before, strict=True)
            )
            before = now
            if still:
                break
        return before

    def weigh(self, index: int, likelihood: Likelihood) -> None:
        """Take other evidence on a finding that has some."""
        answer = next(each for each in self.answers if each.index == index)
        answer.likelihood, answer.settled = likelihood, False

    def apart(self) -> Messages:
        """The same messages, to go another way from here."""
        other = copy(self)
        other.told, other.above = list(self.told), list(self.above)
        other.answers = [
            replace(each, ratios=list(each.ratios), shares=list(each.shares)) for each in self.answers
        ]
        other.children = [
            replace(each, ratios=list(each.ratios), shares=list(each.shares)) for each in self.children
        ]
        return other

    def chances(self) -> list[float]:
        """P(present) of every node, as the messages have it."""
        return [
            odds / (odds + 1.0 - above) if (odds := above * told) > 0.0 else 0.0
            for above, told in zip(self.above, self.told, strict=True)
        ]

    def round(self, keep: float) -> None:
        """Every answer tells its causes, every node what brings it on, and that the nodes again. keep: the share of a
        message that stays as it was."""
        for answer in self.answers:
            if len(answer.background) == 1:
                self._tell_of_two(answer, keep)
            else:
                self._tell(answer, keep)
        self._up(keep)
        self._down()

    def _look(self, answer: _Told) -> bool:
        """How likely each cause of an answer is, that answer apart; whether that changed since it told them last."""
        above, told = self.above, self.told
        shares = []
        for node, ratio in zip(answer.nodes, answer.ratios, strict=True):
            odds = above[node] * told[node] / ratio
            shares.append(odds / (odds + 1.0 - above[node]) if odds > 0.0 else 0.0)
        still = answer.settled and all(
            -SAME < share - before < SAME for share, before in zip(shares, answer.shares, strict=True)
        )
        answer.shares = shares
        return not still

    def _tell_of_two(self, answer: _Told, keep: float) -> None:
        """The messages of an answer of two levels."""
        if not self._look(answer):
            return
        high = answer.likelihood[1]
        slope = answer.likelihood[0] - high
        healthy = slope * answer.background[0]
        parts = [
            1.0 - share + share * push[0] for share, push in zip(answer.shares, answer.pushes, strict=True)
        ]
        for part in parts:
            healthy *= part
        for at, part in enumerate(parts):
            rest = healthy / part if part > 0.0 else 0.0
            self._send(
                answer.nodes[at], answer.ratios, at, high + rest * answer.pushes[at][0], high + rest, keep
            )
        answer.settled = not keep

    def _tell(self, answer: _Told, keep: float) -> None:
        if not self._look(answer):
            return
        levels = list(answer.background)
        for share, push in zip(answer.shares, answer.pushes, strict=True):
            for k, below in enumerate(push):
                levels[k] *= 1.0 - share + share * below
        likelihood = answer.likelihood
        for at, (share, push) in enumerate(zip(answer.shares, answer.pushes, strict=True)):
            rest = []
            for k, below in enumerate(push):
                part = 1.0 - share + share * below
                rest.append(levels[k] / part if part > 0.0 else 0.0)
            there = mean(likelihood, [x * y for x, y in zip(rest, push, strict=True)])
            self._send(answer.nodes[at], answer.ratios, at, there, mean(likelihood, rest), keep)
        answer.settled = not keep

    def _send(
        self, node: int, ratios: list[float], at: int, present: float, absent: float, keep: float
    ) -> None:
        """Tell a node the ratio of two likelihoods."""
        if absent > 0.0 and present > 0.0:
            ratio = present / absent
            if not LEAST_RATIO < ratio < EXTREME:
                ratio = _bounded(ratio)
        else:
            ratio = LEAST_RATIO if absent > 0.0 else EXTREME if present > 0.0 else 1.0
        old = ratios[at]
        if keep:
            ratio = ratio ** (1.0 - keep) * old**keep
        if ratio != old:
            ratios[at] = ratio
            now = self.told[node] * ratio / old
            self.told[node] = now if LEAST_RATIO < now < EXTREME else _bounded(now)

    def _up(self, keep: float) -> None:
        """What each node tells those that may have brought it on; nothing where nobody tells it anything."""
        for child in reversed(self.children):
            says = self.told[child.node]
            if says == 1.0 or (child.settled and abs(child.said - says) <= SAME * says):
                continue
            child.said, child.settled = says, not keep
            absent, doubt = 1.0 - self.above[child.node], 1.0 - says
            for at, (weight, share) in enumerate(zip(child.weights, child.shares, strict=True)):
                rest = doubt * absent / (1.0 - share * weight) if share * weight < 1.0 else 0.0
                self._send(
                    child.parents[at], child.ratios, at, says + rest * (1.0 - weight), says + rest, keep
                )

    def _down(self) -> None:
        above, told = self.above, self.told
        for child in self.children:
            absent = 1.0 - child.leak
            for at, (parent, weight) in enumerate(zip(child.parents, child.weights, strict=True)):
                odds = above[parent] * told[parent] / child.ratios[at]
                share = odds / (odds + 1.0 - above[parent]) if odds > 0.0 else 0.0
                if not -SAME < share - child.shares[at] < SAME:
                    child.settled = False
                child.shares[at] = share
                absent *= 1.0 - share * weight
            above[child.node] = 1.0 - absent

    def beliefs(self) -> Beliefs:
        to_finding: dict[tuple[int, int], float] = {}
        from_finding: dict[tuple[int, int], float] = {}
        to_child: dict[tuple[int, int], float] = {}
        from_child: dict[tuple[int, int], float] = {}
        for answer in self.answers:
            for node, share, ratio in zip(answer.nodes, answer.shares, answer.ratios, strict=True):
                to_finding[node, answer.index], from_finding[node, answer.index] = share, ratio
        for child in self.children:
            for parent, share, ratio in zip(child.parents, child.shares, child.ratios, strict=True):
                to_child[parent, child.node], from_child[parent, child.node] = share, ratio
        return Beliefs(
            tuple(self.chances()),
            to_finding,
            from_finding,
            to_child,
            from_child,
            tuple(self.above),
            tuple(self.told),
        )


def by_the_rest(network: Network, evidence: Mapping[int, Likelihood], beliefs: Beliefs, index: int) -> float:
    """ln P(this piece of evidence | all the other evidence), its parents taken as independent given that."""
    finding = network.findings[index]
    levels = sums(finding.background)
    for node, push in finding.parents:
        share = beliefs.to_finding[node, index]
        for k, below in enumerate(sums(push)):
            levels[k] *= 1.0 - share + share * below
    likely = mean(evidence[index], levels)
    return math.log(likely) if likely > 0.0 else -math.inf


def _bounded(ratio: float) -> float:
    return min(EXTREME, max(LEAST_RATIO, ratio))
