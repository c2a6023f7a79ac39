"""The chance that at least one of several faults is there: whether a part or an instrument will be wanted.

Faults hang together (one brings on another, one explains away another), so their chances can neither be added nor
multiplied. A made-up finding that any of them shows for certain, never made, has the chance asked for.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from faultfinder.reasoning.inference.assessment import Assessment
from faultfinder.reasoning.inference.mixture import Mixture
from faultfinder.reasoning.inference.network import Finding

__all__ = ["chance_of_any"]

_SHOWS = (0.0, 1.0)


def chance_of_any(case: Assessment, groups: Mapping[str, Collection[str]]) -> dict[str, float]:
    """For each named group of causes, the probability that one of them at least is present now.

    A cause that does not apply or was put right for certain is none; an empty group has 0. Raises what the case
    raises where its answers contradict one another.
    """
    confidence = case.confidence()
    built = case.built()
    there = {
        name: [built.now[cause] for cause in group if cause in built.now] for name, group in groups.items()
    }
    out = {name: 0.0 for name in groups}
    wanted = []
    for name, nodes in there.items():
        if len(nodes) == 1:
            out[name] = next(confidence[cause] for cause in groups[name] if cause in built.now)
        elif nodes:
            wanted.append(name)
    if not wanted:
        return out
    first = len(built.network.findings)
    extra = tuple(
        Finding((1.0, 0.0), tuple((node, _SHOWS) for node in sorted(set(there[name])))) for name in wanted
    )
    network = replace(built.network, findings=built.network.findings + extra)
    mixture = Mixture(replace(built, network=network), ())
    for number, name in enumerate(wanted):
        out[name] = min(1.0, max(0.0, 1.0 - mixture.chance_of_level(first + number, 0)))
    return out
