"""Packs made in code: small random ones for properties, and a builder for hand-made ones."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from faultfinder.knowledge.model import (
    Access,
    Answer,
    Cause,
    Hazard,
    Kind,
    Link,
    Need,
    Observation,
    Pack,
    State,
)

ACCESS_MINUTES = MappingProxyType(
    {
        Access.AS_FOUND: 0.0,
        Access.IN_USE: 2.0,
        Access.ISOLATED: 2.0,
        Access.OPEN_UNPROVED: 8.0,
        Access.OPEN_DEAD: 5.0,
    }
)


def observation(
    name: str,
    answers: Sequence[str] = ("no", "yes"),
    background: Sequence[float] = (0.99, 0.01),
    *,
    reliability: float = 0.95,
    need: Need = Need.COVERS_ON,
    minutes: float = 1.0,
    kind: Kind = Kind.LOOK,
    only_if: Mapping[str, tuple[str, ...]] | None = None,
) -> Observation:
    return Observation(
        id=name,
        kind=kind,
        ask=f"{name}?",
        answers=tuple(Answer(word, word) for word in answers),
        background=tuple(background),
        reliability=reliability,
        need=need,
        minutes=minutes,
        only_if=MappingProxyType(dict(only_if or {})),
    )


def cause(
    name: str,
    how_common: float,
    shows: Mapping[str, Sequence[float]],
    *,
    brought_on_by: Mapping[str, float] | None = None,
    hazard: Hazard = Hazard.NONE,
    minutes: float = 10.0,
    if_missed: float = 90.0,
    part_costs: float = 0.0,
    remedy_need: Need = Need.COVERS_ON,
    proof: Sequence[str] = (),
    takes: float = 1.0,
    after_our_work: bool = False,
    also_mends: Sequence[str] = (),
) -> Cause:
    return Cause(
        id=name,
        title=name,
        how_common=how_common,
        hazard=hazard,
        remedy=f"mend {name}",
        minutes=minutes,
        if_missed=if_missed,
        part_costs=part_costs,
        shows=MappingProxyType({target: Link(target, tuple(pushes)) for target, pushes in shows.items()}),
        brought_on_by=MappingProxyType(dict(brought_on_by or {})),
        remedy_need=remedy_need,
        proof=tuple(proof),
        takes=takes,
        also_mends=tuple(also_mends),
        after_our_work=after_our_work,
    )


def state(name: str, brought_on_by: Mapping[str, float], shows: Mapping[str, Sequence[float]]) -> State:
    links = {target: Link(target, tuple(pushes)) for target, pushes in shows.items()}
    return State(name, name, MappingProxyType(dict(brought_on_by)), MappingProxyType(links))


def pack(causes: Sequence[Cause], observations: Sequence[Observation], states: Sequence[State] = ()) -> Pack:
    return Pack(
        name="made",
        title="made in code",
        version="1",
        summary="",
        facts=MappingProxyType({}),
        causes=MappingProxyType({item.id: item for item in causes}),
        states=MappingProxyType({item.id: item for item in states}),
        observations=MappingProxyType({item.id: item for item in observations}),
        questions=MappingProxyType({}),
        outside=(),
        glossary=MappingProxyType({}),
        instruments=MappingProxyType({}),
        access_minutes=ACCESS_MINUTES,
        meter=MappingProxyType({}),
        fingerprint="",
    )


def random_pushes(random_: random.Random, levels: int) -> tuple[float, ...]:
    """A distribution over the levels with some weight on the healthy one."""
    raw = [random_.random() for _ in range(levels)]
    raw[0] += 0.2
    total = sum(raw)
    return tuple(weight / total for weight in raw)


def random_pack(
    random_: random.Random, causes: int = 9, observations: int = 14, states: int = 0, takes: float = 1.0
) -> Pack:
    """Causes that bring one another on, observations of two and three answers, and a few states."""
    watched = []
    for number in range(observations):
        levels = random_.choice((2, 3))
        abnormal = [random_.uniform(0.001, 0.1) for _ in range(levels - 1)]
        watched.append(
            observation(
                f"o{number}",
                [f"a{level}" for level in range(levels)],
                (1.0 - sum(abnormal), *abnormal),
                reliability=random_.choice((0.9, 0.95, 0.99)),
                minutes=random_.choice((1.0, 2.0, 5.0)),
                need=random_.choice((Need.ANYWHERE, Need.COVERS_ON, Need.IN_USE, Need.OPEN_DEAD)),
            )
        )

    def links() -> dict[str, tuple[float, ...]]:
        chosen = random_.sample(watched, random_.randint(1, 5))
        return {item.id: random_pushes(random_, len(item.answers)) for item in chosen}

    faults: list[Cause] = []
    for number in range(causes):
        earlier = [item.id for item in faults]
        bringers = random_.sample(earlier, min(len(earlier), random_.choice((0, 0, 1, 2))))
        faults.append(
            cause(
                f"c{number}",
                random_.uniform(0.01, 0.3),
                links(),
                brought_on_by={name: random_.uniform(0.05, 0.9) for name in bringers},
                if_missed=random_.choice((60.0, 90.0)),
                minutes=random_.choice((5.0, 20.0, 45.0)),
                takes=takes,
            )
        )
    conditions = []
    for number in range(states):
        bringers = random_.sample([item.id for item in faults], min(causes, 3))
        conditions.append(
            state(f"s{number}", {name: random_.uniform(0.3, 0.95) for name in bringers}, links())
        )
    return pack(faults, watched, conditions)
