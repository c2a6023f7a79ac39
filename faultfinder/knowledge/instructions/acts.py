"""The acts that a step of an instruction can be, and the access states in which each may be shown.

A step says what it *does* by one of these words; its text is only the wording. What is allowed where follows from
the act and never from a list of words: the checker refuses an act in an access in which it could be shown in a wrong
state, and the safety gate looks at the same table again before it shows anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.knowledge.model import Access, Need, Step

_ANY = frozenset(Access)
_HERE = _ANY - {Access.OPEN_UNPROVED}
"""At the machine, but never at an open one that may be live."""
_USE = frozenset({Access.IN_USE})
_CUT = frozenset({Access.ISOLATED, Access.OPEN_DEAD})
_DEAD = frozenset({Access.OPEN_DEAD})


@dataclass(frozen=True, slots=True)
class Act:
    """One sort of deed. says: what it covers, for the guide. states: where a step of it may be shown."""

    says: str
    states: frozenset[Access]
    example: str


ACTS: Mapping[str, Act] = MappingProxyType(
    {
        "ask": Act("ask or tell people, look something up, hand work over", _ANY, "Ask when it began."),
        "note": Act(
            "write down, work out, compare with what was written down", _ANY, "Write down the highest."
        ),
        "wait": Act("wait, let it cool or dry", _ANY, "Let it cool for half an hour."),
        "stop": Act("switch the machine off, end a programme", _ANY, "Switch off after five seconds."),
        "unplug": Act("pull the plug out of the socket", _ANY, "Pull the plug out."),
        "aside": Act(
            "work on something that is no longer, or never was, part of the machine: a filter at the sink, a load on "
            "the scales, a window",
            _ANY,
            "Weigh the load.",
        ),
        "look": Act("look, read a label, search, with a torch and a mirror", _HERE, "Look along the hose."),
        "listen": Act("listen", _HERE, "Listen at the front."),
        "smell": Act("smell", _HERE, "Smell at the door, lamp off."),
        "feel": Act(
            "feel with the hand: warmth, air, a tremble, play", _HERE, "Hold a hand before the outlet."
        ),
        "handle": Act(
            "what its user may do without a tool: door, filter, container, flap, hose, knobs and settings, a load",
            _HERE,
            "Take the filter out.",
        ),
        "gauge": Act(
            "measure without touching anything electrical: thermometer, tape, scales, clock",
            _HERE,
            "Hold the thermometer in the middle of the load.",
        ),
        "clean": Act("wipe, brush, wash", _HERE, "Brush the seat of the filter."),
        "vacuum": Act("use a vacuum cleaner", _HERE, "Vacuum the well."),
        "run": Act(
            "start it, switch it on, let it run or heat, covers on", _USE, "Run it on high for ten minutes."
        ),
        "plug_in": Act(
            "put the plug into a socket or a plug-in meter", _USE, "Plug it into the energy meter."
        ),
        "measure_running": Act(
            "measure while it runs, covers on: plug-in meter, made-up lead, house meter",
            _USE,
            "Read amps after a minute.",
        ),
        "breaker": Act(
            "work a breaker or RCD of the house, the machine unplugged", _CUT, "Switch the RCD on once."
        ),
        "move": Act("move, lift or tilt the machine, unplugged", _CUT, "Pull it out far enough."),
        "turn": Act("turn, press or shake one of its parts by hand", _CUT, "Turn the drum by hand."),
        "plug_work": Act(
            "open the pulled plug, change its fuse, renew it", _CUT, "Take the fuse out of the plug."
        ),
        "measure_dead": Act(
            "meter or tester on parts without supply", _CUT, "Measure across its two terminals."
        ),
        "pour": Act("pour water into it", _CUT, "Pour a cup of water into the sump."),
        "part_off": Act("take a part off or out", _CUT, "Take the heater out."),
        "part_on": Act("fit a part, the same or a new one", _CUT, "Fit a new seal."),
        "mend": Act("tighten, straighten, glue, crimp, set", _CUT, "Glue the new felt."),
        "uncover": Act("take off a further cover that needs a tool", _DEAD, "Open the fan housing."),
        "cover": Act("put such a cover back", _DEAD, "Refit the housing."),
        "lead_off": Act(
            "pull a lead, tag or connector off inside", _DEAD, "Pull the lead off the thermostat."
        ),
        "lead_on": Act("push a lead, tag or connector on again inside", _DEAD, "Push the tags fully home."),
        "discharge": Act(
            "discharge a capacitor through a resistor and measure it", _DEAD, "Discharge the capacitor."
        ),
    }
)
"""Act -> what it covers and the access states in which it may be shown. Chosen; the states follow design rule 5."""

SHOWN_IN: Mapping[Need, frozenset[Access]] = MappingProxyType(
    {
        Need.ANYWHERE: _ANY,
        Need.COVERS_ON: frozenset({Access.AS_FOUND, Access.IN_USE, Access.ISOLATED}),
        Need.IN_USE: _USE,
        Need.ISOLATED: _CUT,
        Need.OPEN_DEAD: _DEAD,
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
