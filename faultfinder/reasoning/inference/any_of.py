"""The chance that at least one of several faults is there: whether a part or an instrument will be wanted.

Faults hang together (one brings on another, one explains away another), so their chances can neither be added nor
multiplied.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from faultfinder.reasoning.inference.assessment import Assessment


def chance_of_any(case: Assessment, groups: Mapping[str, Collection[str]]) -> dict[str, float]:
    """For each named group of causes, the probability that one of them at least is present now.

    A cause that does not apply or was put right for certain is none; an empty group has 0. Raises what the case
    raises where its answers contradict one another.
    """
    mixture = case.mixture()
    now = mixture.built.now
    nodes = {name: {now[cause] for cause in group if cause in now} for name, group in groups.items()}
    return dict(zip(nodes, mixture.chances_of_any(list(nodes.values())), strict=True))
