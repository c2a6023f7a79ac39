"""About how likely each node is: messages passed to and fro between nodes and evidence (belief propagation).

Exact where evidence and nodes form a tree, close to exact elsewhere; its cost grows with the links and not with the
width. Used to find the links that hardly matter (edge_deletion.py) and how each of them bears on its surroundings; a
number from here is never shown where the exact one can be had.

An answer with its causes and a node with what brings it on are the same to it: a *tie*, on which several nodes bear,
each by itself. The levels of a node are absent and present, and what is told of it from below is their likelihood.

Source: J. Pearl, "Probabilistic Reasoning in Intelligent Systems", 1988; on noisy-OR networks of symptoms and
diseases: K. Murphy, Y. Weiss, M. Jordan, "Loopy belief propagation for approximate inference", UAI 1999.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace
from itertools import accumulate
from operator import mul

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


@dataclass(slots=True)
class Tie:
    """What several nodes bear on. key: the finding, or for a node -1 - its number. likelihood: of its levels.
    background: P(level <= k) without any of the nodes, for every level but the last; pushes: the same of what each of
    them pushes to. ratios: the message to each (ratio of likelihoods, present to absent); shares: its chance with
    that apart. settled: whether the messages are those that follow from the shares."""

    key: int
    likelihood: Likelihood
    background: list[float]
    nodes: list[int]
    pushes: list[list[float]]
    ratios: list[float]
    shares: list[float]
    settled: bool = False


def sums(push: Sequence[float]) -> list[float]:
    """P(pushed to level k or below) for every level but the last."""
    return [min(1.0, total) for total in accumulate(push[:-1])]


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


def believe(network: Network, evidence: Mapping[int, Likelihood], start: Messages | None = None) -> Messages:
    """Messages passed until they stay; see the module. Impossible evidence gives what it gives, no error.

    start: messages on the same network with other evidence on the same findings, from which it is not far.
    """
    messages = Messages(network, evidence, start)
    messages.settle()
    return messages


class Messages:
    """Messages under way. told: the ratio that everything below tells a node; above: its chance by what brings it on
    alone. ties: the answers, then the nodes that others bring on, the last one first."""

    def __init__(
        self, network: Network, evidence: Mapping[int, Likelihood], start: Messages | None = None
    ) -> None:
        self.told = [1.0] * len(network.nodes)
        self.above = [node.leak for node in network.nodes]
        self.ties: list[Tie] = []
        known = {tie.key: tie.ratios for tie in start.ties} if start else {}

        def add(
            key: int, likelihood: Likelihood, background: list[float], pushes: dict[int, list[float]]
        ) -> None:
            ratios = list(known.get(key, (1.0,) * len(pushes)))
            shares = [0.0] * len(pushes)
            self.ties.append(
                Tie(key, likelihood, background, list(pushes), list(pushes.values()), ratios, shares)
            )
            for node, ratio in zip(pushes, ratios, strict=True):
                self.told[node] = _bounded(self.told[node] * ratio)

        for index, likelihood in evidence.items():
            finding = network.findings[index]
            add(index, likelihood, sums(finding.background), {n: sums(push) for n, push in finding.parents})
        for node, law in reversed(list(enumerate(network.nodes))):
            if law.parents:
                add(-1 - node, (1.0, 1.0), [1.0 - law.leak], {n: [1.0 - weight] for n, weight in law.parents})
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
        tie = self._tie(index)
        tie.likelihood, tie.settled = likelihood, False

    def by_the_rest(self, index: int, likelihood: Likelihood) -> float:
        """ln P(this evidence on a finding that has some | all the other evidence), its parents taken as independent
        given that."""
        tie = self._tie(index)
        levels = tie.background
        for share, push in zip(tie.shares, tie.pushes, strict=True):
            levels = [
                level * (1.0 - share + share * below) for level, below in zip(levels, push, strict=True)
            ]
        likely = mean(likelihood, levels)
        return math.log(likely) if likely > 0.0 else -math.inf

    def _tie(self, index: int) -> Tie:
        return next(tie for tie in self.ties if tie.key == index)

    def apart(self) -> Messages:
        """The same messages, to go another way from here."""
        other = copy(self)
        other.told, other.above = list(self.told), list(self.above)
        other.ties = [replace(tie, ratios=list(tie.ratios), shares=list(tie.shares)) for tie in self.ties]
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
        for tie in self.ties:
            if tie.key >= 0:
                self._look(tie)
            else:
                says = self.told[-1 - tie.key]
                if abs(tie.likelihood[1] - says) > SAME * says:
                    tie.likelihood, tie.settled = (1.0, says), False
            if not tie.settled:
                self._tell(tie, keep)
        self._down()

    def _look(self, tie: Tie) -> None:
        """How likely each node is, what the tie tells it apart; settled no more where that changed."""
        above, told = self.above, self.told
        shares = []
        for node, ratio in zip(tie.nodes, tie.ratios, strict=True):
            odds = above[node] * told[node] / ratio
            shares.append(odds / (odds + 1.0 - above[node]) if odds > 0.0 else 0.0)
        tie.settled = tie.settled and all(
            -SAME < share - before < SAME for share, before in zip(shares, tie.shares, strict=True)
        )
        tie.shares = shares

    def _tell(self, tie: Tie, keep: float) -> None:
        """Tell each node of a tie the ratio of the likelihoods that its presence and its absence have there."""
        told = self.told
        pairs = _likelihoods_of_two(tie) if len(tie.background) == 1 else _likelihoods(tie)
        for at, (node, old, (present, absent)) in enumerate(zip(tie.nodes, tie.ratios, pairs, strict=True)):
            if absent > 0.0 and present > 0.0:
                ratio = _bounded(present / absent)
            else:
                ratio = LEAST_RATIO if absent > 0.0 else EXTREME if present > 0.0 else 1.0
            if keep:
                ratio = ratio ** (1.0 - keep) * old**keep
            if ratio != old:
                tie.ratios[at] = ratio
                told[node] = _bounded(told[node] * ratio / old)
        tie.settled = not keep

    def _down(self) -> None:
        """How likely each node is by what brings it on."""
        for tie in reversed(self.ties):
            if tie.key < 0:
                self._look(tie)
                absent = tie.background[0]
                for share, (below,) in zip(tie.shares, tie.pushes, strict=True):
                    absent *= 1.0 - share + share * below
                self.above[-1 - tie.key] = 1.0 - absent


def _likelihoods(tie: Tie) -> list[tuple[float, float]]:
    """Of what is known of the levels, for each node present and absent."""
    parts = [
        [1.0 - share + share * below for below in push]
        for share, push in zip(tie.shares, tie.pushes, strict=True)
    ]
    levels = tie.background
    for part in parts:
        levels = list(map(mul, levels, part))
    out = []
    for part, push in zip(parts, tie.pushes, strict=True):
        rest = [level / share if share > 0.0 else 0.0 for level, share in zip(levels, part, strict=True)]
        out.append((mean(tie.likelihood, list(map(mul, rest, push))), mean(tie.likelihood, rest)))
    return out


def _likelihoods_of_two(tie: Tie) -> list[tuple[float, float]]:
    """The same of two levels, quicker: most ties have no more."""
    low, high = tie.likelihood
    slope = low - high
    parts = [1.0 - share + share * below for share, (below,) in zip(tie.shares, tie.pushes, strict=True)]
    rest = slope * tie.background[0] * math.prod(parts)
    out = []
    for part, (below,) in zip(parts, tie.pushes, strict=True):
        absent = rest / part if part > 0.0 else 0.0
        out.append((high + absent * below, high + absent))
    return out


def _bounded(ratio: float) -> float:
    return EXTREME if ratio > EXTREME else LEAST_RATIO if ratio < LEAST_RATIO else ratio
