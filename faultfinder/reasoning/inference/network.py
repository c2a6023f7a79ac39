"""The plain problem that the engine solves: binary nodes, graded findings, soft evidence.

Laws:
  * A node is present through its leak or through any present parent (noisy-OR; the leak is one more cause):
    P(absent | parents) = (1 - leak) * prod over present parents of (1 - weight).
  * A finding has levels 0..K-1, healthy first. Each present parent, and the background, pushes it to a level
    of its own, independently; the highest level pushed is what is true (noisy-MAX):
    P(level <= k | present S) = background(<=k) * prod over S of push_i(<=k).
  * Evidence on a finding is a likelihood for each level (virtual evidence); none may be negative.

This module knows nothing of appliances, rules or people: indexes in, probabilities out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from faultfinder.errors import Contradiction


@dataclass(frozen=True, slots=True)
class Node:
    """leak in 0..1; parents as (node index, weight in 0..1); the graph has no cycle."""

    leak: float
    parents: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """background and each push are distributions over the levels 0..K-1 (each sums to 1)."""

    background: tuple[float, ...]
    parents: tuple[tuple[int, tuple[float, ...]], ...] = ()

    @property
    def levels(self) -> int:
        return len(self.background)


@dataclass(frozen=True, slots=True)
class Network:
    nodes: tuple[Node, ...]
    findings: tuple[Finding, ...]


class ImpossibleEvidence(Contradiction):
    """The evidence has probability 0. `findings`: indexes of a smallest set that already has (nothing in it
    can be left out)."""

    def __init__(self, findings: Sequence[int]) -> None:
        self.findings = tuple(findings)
        named = ", ".join(map(str, self.findings))
        super().__init__(f"the answers to findings {named} together are impossible: take one of them back")
