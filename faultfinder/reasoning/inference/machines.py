"""Imagined machines: drawn from what is believed of one machine, seeded from its evidence."""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.reasoning.inference.assessment import Assessment
from faultfinder.reasoning.inference.chance import Chance
from faultfinder.reasoning.inference.drawing import draw_nodes
from faultfinder.reasoning.inference.unrolling import Built


@dataclass(frozen=True, slots=True)
class Machines:
    """nodes: for each node of the network, the machines on which it is present. count: of the machines."""

    built: Built
    nodes: tuple[int, ...]
    count: int
    seed: str

    @property
    def full(self) -> int:
        """All machines."""
        return (1 << self.count) - 1

    def chance(self, what: str) -> Chance:
        """To draw more with, the same for the same `what` in whatever order things are drawn."""
        return Chance(self.count, f"{what} {self.seed}")


def draw_machines(case: Assessment, count: int) -> Machines:
    """`count` machines from the posterior; the same evidence gives the same machines.

    Raises what the case raises where its answers contradict one another.
    """
    mixture = case.mixture()
    seed = seed_of(case)
    masks = draw_nodes(mixture.for_drawing(), Chance(count, seed))
    return Machines(mixture.built, tuple(masks), count, seed)


def seed_of(case: Assessment) -> str:
    """What the draw hangs on: all that counts as evidence, in whatever order it came."""
    answers = sorted(
        (item.observation, item.epoch, item.likelihood, item.complaint) for item in case.evidence()
    )
    return f"{answers} {case.repairs} {sorted(case.facts.items(), key=str)}"
