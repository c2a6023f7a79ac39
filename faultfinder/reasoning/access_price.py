"""Minutes that it takes to get from one access state to where a step can be done.

The states stand in a line: as found, in use, isolated, open; each way has its own minutes, set by the pack.
Opening is dear because the covers must go back and the machine be tested before it is used again, so the way
back is part of the price unless something has to be mended inside anyway.
"""

from __future__ import annotations

from collections.abc import Mapping

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


def minutes_to(
    need: Need, access: Access, minutes: Mapping[Access, float], inside_anyway: float = 0.0
) -> float:
    """Minutes of the way, the way back included where covers come off.

    `inside_anyway` (0..1) is the chance that something inside has to be mended whatever this step shows: that
    share of the way back is not this step's to pay.
    """
    if reached(need, access):
        return 0.0
    goal = target_access(need, access)
    off = minutes[Access.OPEN_UNPROVED] + minutes[Access.OPEN_DEAD]
    price = 0.0
    if access in _OPEN:
        if goal is Access.OPEN_DEAD:
            return minutes[Access.OPEN_DEAD]
        price += off
    elif access is not Access.ISOLATED and goal in (Access.ISOLATED, Access.OPEN_DEAD):
        price += minutes[Access.ISOLATED]
    if goal is Access.IN_USE:
        price += minutes[Access.IN_USE]
    if goal is Access.OPEN_DEAD:
        price += off + off * (1.0 - inside_anyway)
    return price
