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


_MET = {
    Need.ANYWHERE: tuple(Access),
    Need.COVERS_ON: (Access.ISOLATED, Access.AS_FOUND, Access.IN_USE),
    Need.IN_USE: (Access.IN_USE,),
    Need.ISOLATED: (Access.ISOLATED, Access.OPEN_DEAD),
    Need.OPEN_DEAD: (Access.OPEN_DEAD,),
}
"""Where a step with that need can be done; the first is where one goes for it."""


def reached(need: Need, access: Access) -> bool:
    """Whether a step with that need can be done as things stand."""
    return access in _MET[need]


def target_access(need: Need, access: Access) -> Access:
    """The access state to go to for a need; the present one where it already serves."""
    return access if reached(need, access) else _MET[need][0]


@dataclass(frozen=True, slots=True)
class Way:
    """Where a need is met, and what it takes to get there: `sure` minutes count whatever is found, `in_vain` only
    if nothing behind the covers is faulty, since what is mended there needs them off anyway. Infinite where it cannot
    be had."""

    goal: Access
    sure: float
    in_vain: float = 0.0

    def minutes(self, count: float, sound: float) -> float:
        """In all on so many machines, of which nothing is faulty behind the covers of `sound`."""
        return self.sure * count + self.in_vain * sound


@dataclass(frozen=True)
class Standing:
    """Where the person stands, and what the ways from there take.

    between: minutes to get into each access state from the one before it. out_of_reach: needs that cannot be met now.
    was_open: the covers were off before; to take them off once more is a loss whatever is found.
    """

    access: Access
    between: Mapping[Access, float]
    out_of_reach: Collection[Need] = ()
    was_open: bool = False

    @cached_property
    def opening(self) -> Way | None:
        """The way behind the covers; None where they are off and the machine is proved dead."""
        if self.access is Access.OPEN_DEAD:
            return None
        if Need.OPEN_DEAD in self.out_of_reach:
            return Way(Access.OPEN_DEAD, float("inf"))
        return self.way(Need.OPEN_DEAD)

    @property
    def _covers(self) -> float:
        """Minutes to take the covers off and prove dead; as long again to put them back."""
        return self.between[Access.OPEN_UNPROVED] + self.between[Access.OPEN_DEAD]

    def way(self, need: Need) -> Way:
        """From here to where a need is met. The covers go back on in the price of taking them off."""
        goal = target_access(need, self.access)
        if goal is self.access:
            return Way(goal, 0.0)
        if goal is not Access.OPEN_DEAD:
            # Out of an open machine nothing is unplugged any more.
            unplugged = self.access in _OPEN and goal is Access.ISOLATED
            return Way(goal, 0.0 if unplugged else self.between[goal])
        if self.access is Access.OPEN_UNPROVED:
            return Way(goal, self.between[goal])
        unplugging = 0.0 if self.access is Access.ISOLATED else self.between[Access.ISOLATED]
        both_ways = 2.0 * self._covers
        return Way(goal, unplugging + both_ways) if self.was_open else Way(goal, unplugging, both_ways)

    def minutes_to(self, need: Need) -> float:
        """Minutes of the way to where a need is met, as a person is told them: there alone, not back."""
        way = self.way(need)
        minutes, opened = way.sure + way.in_vain, way.goal in _OPEN
        if opened is (self.access in _OPEN):
            return minutes
        # To open is priced with the way back; to close was paid for by that.
        return minutes - self._covers if opened else minutes + self._covers

    def after(self, way: Way) -> Standing:
        """The same once that way was gone."""
        if way.goal is self.access:
            return self
        return replace(self, access=way.goal, was_open=self.was_open or self.access in _OPEN)
