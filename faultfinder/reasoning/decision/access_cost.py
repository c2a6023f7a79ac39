"""Minutes that it takes to get from one access state to where a step can be done.

The states stand in a line: as found, in use, isolated, open; each way has its own minutes, set by the pack.
Opening is dear because the covers must go back and the machine be tested before it is used again, so the way
back is part of the price unless something has to be mended inside anyway.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from faultfinder.knowledge.model import Access, Need

_OPEN = (Access.OPEN_UNPROVED, Access.OPEN_DEAD)


def reached(need: Need, access: Access) -> bool:
    """Whether a step with that need can be done as things stand."""
    match need:
        case Need.ANYWHERE:
            return True
        case Need.COVERS_ON:
            return access not in _OPEN
        case Need.IN_USE:
            return access is Access.IN_USE
        case Need.ISOLATED:
            return access in (Access.ISOLATED, Access.OPEN_DEAD)
        case Need.OPEN_DEAD:
            return access is Access.OPEN_DEAD


def target_access(need: Need, access: Access) -> Access:
    """The access state to go to for a need; the present one where it already serves."""
    if reached(need, access):
        return access
    return {
        Need.COVERS_ON: Access.ISOLATED,
        Need.IN_USE: Access.IN_USE,
        Need.ISOLATED: Access.ISOLATED,
        Need.OPEN_DEAD: Access.OPEN_DEAD,
        Need.ANYWHERE: access,
    }[need]


def minutes_to(need: Need, access: Access, minutes: Mapping[Access, float]) -> float:
    """Minutes of the way to where a need is met, as a person is told them: there alone, not back."""
    goal = target_access(need, access)
    if goal is access:
        return 0.0
    covers = minutes[Access.OPEN_UNPROVED] + minutes[Access.OPEN_DEAD]
    if access in _OPEN:
        if goal is Access.OPEN_DEAD:
            return minutes[Access.OPEN_DEAD]
        return covers + (minutes[Access.IN_USE] if goal is Access.IN_USE else 0.0)
    if goal is Access.IN_USE:
        return minutes[Access.IN_USE]
    price = 0.0 if access is Access.ISOLATED else minutes[Access.ISOLATED]
    return price + (covers if goal is Access.OPEN_DEAD else 0.0)


@dataclass(frozen=True, slots=True)
class Opening:
    """What it takes to get behind the covers, and back: minutes that count whatever is found, and minutes that are
    lost only if nothing behind them is faulty. Infinite where it cannot be done."""

    sure: float
    in_vain: float


@dataclass(frozen=True, slots=True)
class Way:
    """Where a need is met, and what it takes to get there: `sure` minutes count whatever is found, `in_vain` only
    if nothing behind the covers is faulty, since what is mended there needs them off anyway."""

    goal: Access
    sure: float
    in_vain: float


@dataclass(frozen=True)
class Standing:
    """Where the person stands, and what the ways from there take.

    minutes: to get into each access state from the one before it. out_of_reach: needs that cannot be met now.
    was_open: the covers were off before; to take them off once more is a loss whatever is found.
    """

    access: Access
    minutes: Mapping[Access, float]
    out_of_reach: Collection[Need] = ()
    was_open: bool = False

    @cached_property
    def opening(self) -> Opening | None:
        """What it takes to get behind the covers; None where they are off and the machine is proved dead."""
        if self.access is Access.OPEN_DEAD:
            return None
        if Need.OPEN_DEAD in self.out_of_reach:
            return Opening(float("inf"), 0.0)
        there = self.way(Need.OPEN_DEAD)
        return Opening(there.sure, there.in_vain)

    def way(self, need: Need) -> Way:
        """From here to where a need is met. The covers go back on in the price of taking them off."""
        goal = target_access(need, self.access)
        if goal is self.access:
            return Way(goal, 0.0, 0.0)
        covers = self.minutes[Access.OPEN_UNPROVED] + self.minutes[Access.OPEN_DEAD]
        if self.access is Access.OPEN_UNPROVED and goal is Access.OPEN_DEAD:
            return Way(goal, self.minutes[Access.OPEN_DEAD], 0.0)
        if self.access in _OPEN:
            return Way(goal, self.minutes[goal] if goal is Access.IN_USE else 0.0, 0.0)
        if goal is not Access.OPEN_DEAD:
            return Way(goal, self.minutes[goal], 0.0)
        unplugging = 0.0 if self.access is Access.ISOLATED else self.minutes[Access.ISOLATED]
        if self.was_open:
            return Way(goal, unplugging + 2.0 * covers, 0.0)
        return Way(goal, unplugging, 2.0 * covers)

    def at(self, goal: Access) -> Standing:
        """The same once one stands there."""
        return replace(self, access=goal, was_open=self.was_open or self.access in _OPEN)
