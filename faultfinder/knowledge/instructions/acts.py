"""The acts that a step of an instruction can be (acts.yaml), and the access states in which each may be shown.

A step says what it *does* by one of these words; its text is only the wording. What is allowed where follows from
the act and never from a list of words: the checker refuses an act in an access in which it could be shown in a wrong
state, and the safety gate looks at the same table again before it shows anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.knowledge.data import beside
from faultfinder.knowledge.model import Access, Need, Step


@dataclass(frozen=True, slots=True)
class Act:
    """One sort of deed. says: what it covers, for the guide. states: where a step of it may be shown."""

    says: str
    states: frozenset[Access]
    example: str


ACTS: Mapping[str, Act] = MappingProxyType(
    {
        name: Act(row["says"], frozenset(map(Access, group["shown_in"].split())), row["example"])
        for group in beside(__package__, "acts").values()
        for name, row in group["acts"].items()
    }
)
SHOWN_IN: Mapping[Need, frozenset[Access]] = MappingProxyType(
    {
        Need.ANYWHERE: frozenset(Access),
        Need.COVERS_ON: frozenset({Access.AS_FOUND, Access.IN_USE, Access.ISOLATED}),
        Need.IN_USE: frozenset({Access.IN_USE}),
        Need.ISOLATED: frozenset({Access.ISOLATED, Access.OPEN_DEAD}),
        Need.OPEN_DEAD: frozenset({Access.OPEN_DEAD}),
    }
)
"""Access asked for -> every state in which the gate can show such an instruction (held against the gate)."""


def allowed(act: str, need: Need) -> bool:
    """Whether a step of this act may stand in an instruction of this access: in every state where it can be shown."""
    return SHOWN_IN[need] <= ACTS[act].states


def acts_of(need: Need) -> list[str]:
    """The acts that an instruction of this access may have."""
    return [act for act in ACTS if allowed(act, need)]


def not_allowed_now(steps: Iterable[Step], access: Access) -> list[Step]:
    """The steps that may not be shown in an access state; an act that nobody knows is among them."""
    return [step for step in steps if step.act not in ACTS or access not in ACTS[step.act].states]
