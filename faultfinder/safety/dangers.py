"""The two danger lists and what a person is told when one of their signs is met.

`LEAVE_NOW`: the place itself is dangerous; the stop text is shown and the job ends. `OUT_OF_USE`: the
machine must not run again until earth and insulation have been measured and pass; work goes on with the
supply cut. Both stay symptoms that a rule pack may diagnose: an observation's `danger` names one of these
ids.

Order and wording follow practice for a person on site (common practice, no source); what to do about gas and
about fire follows the usual public advice: leave, touch no switch where gas is smelt, call from outside.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from faultfinder.knowledge.model import Pack


class Danger(StrEnum):
    """How far a sign restricts the job, mildest first."""

    NONE = "none"
    OUT_OF_USE = "out_of_use"
    LEAVE_NOW = "leave_now"


FORGOTTEN = "rules_changed"
"""The sign of what stands in the record and the rules do not know any more."""


@dataclass(frozen=True, slots=True)
class Sign:
    """One danger sign: `ask` completes the question 'Do you see, hear or smell any of these?'."""

    id: str
    level: Danger
    ask: str
    told: str
    """What the record and the customer's notice say about it."""


_LEAVE = (
    Sign("smoke_or_flame", Danger.LEAVE_NOW, "Smoke, flame or glowing, now", "Smoke or flame was seen."),
    Sign("burning_smell_now", Danger.LEAVE_NOW, "A burning smell, now", "There was a burning smell."),
    Sign("gas_smell", Danger.LEAVE_NOW, "A smell of gas", "There was a smell of gas."),
    Sign(
        "water_on_live_parts",
        Danger.LEAVE_NOW,
        "Water on or near live electrical parts",
        "There was water on or near live electrical parts.",
    ),
    Sign(
        "refrigerant_signs",
        Danger.LEAVE_NOW,
        "A hiss or an oily patch on a machine with flammable refrigerant",
        "There were signs of flammable refrigerant escaping.",
    ),
)
_OUT = (
    Sign(
        "tingle",
        Danger.OUT_OF_USE,
        "A tingle or shock from the machine",
        "The machine gave a tingle or shock.",
    ),
    Sign(
        "scorching",
        Danger.OUT_OF_USE,
        "Scorch marks on plug, socket, flex or casing",
        "There were scorch marks.",
    ),
    Sign(
        "repeated_tripping",
        Danger.OUT_OF_USE,
        "A fuse or trip that goes again and again",
        "The fuse or trip went again and again.",
    ),
    Sign(
        "wet_found", Danger.OUT_OF_USE, "Wet plug, flex, socket or casing", "The machine or its plug was wet."
    ),
    Sign(
        "burning_smell_earlier",
        Danger.OUT_OF_USE,
        "A burning smell or smoke earlier, gone now",
        "There was a burning smell earlier.",
    ),
)
_SEEN_OR_MEASURED = (
    Sign(
        "supply_parts_damaged",
        Danger.OUT_OF_USE,
        "Damaged plug, flex, socket or casing",
        "Plug, flex, socket or casing was damaged.",
    ),
    Sign(
        "earth_or_insulation_bad",
        Danger.OUT_OF_USE,
        "Earth or insulation read outside its limit",
        "Earth or insulation was outside its limit.",
    ),
)
_FOUND_HERE = (
    Sign(
        "return_test_failed",
        Danger.OUT_OF_USE,
        "Earth or insulation outside its limit",
        "Earth or insulation was outside its limit.",
    ),
    Sign(
        "voltage_when_isolated",
        Danger.OUT_OF_USE,
        "Voltage found with the supply cut",
        "Voltage was found although the supply was cut.",
    ),
    Sign(
        FORGOTTEN,
        Danger.OUT_OF_USE,
        "Something found or put right that these rules do not know any more",
        "Something had been found or put right that the rules now in use do not know any more.",
    ),
    Sign(
        "restarted_after_stop",
        Danger.OUT_OF_USE,
        "Work taken up again after a stop",
        "Work was taken up again after a danger sign.",
    ),
)

LEAVE_NOW: Mapping[str, Sign] = MappingProxyType({sign.id: sign for sign in _LEAVE})
OUT_OF_USE: Mapping[str, Sign] = MappingProxyType({sign.id: sign for sign in _OUT})
ASKED: Mapping[str, Sign] = MappingProxyType({**LEAVE_NOW, **OUT_OF_USE})
"""The signs a person is asked about."""
NAMED_BY_RULES: Mapping[str, Sign] = MappingProxyType(
    {**ASKED, **{sign.id: sign for sign in _SEEN_OR_MEASURED}}
)
"""The signs that an answer in a rule file may report."""
SIGNS: Mapping[str, Sign] = MappingProxyType({**NAMED_BY_RULES, **{sign.id: sign for sign in _FOUND_HERE}})
"""Every sign, with those that the gate sets itself."""

_WHERE_THERE_IS = frozenset({"gas_smell", "refrigerant_signs"})
"""Signs that only some machines can give: a list that asks about them on all others is not read to its end."""


def asked_of(pack: Pack) -> tuple[str, ...]:
    """The signs that a person is asked about at a machine of this pack. Whatever else somebody tells is heard all the
    same: nothing typed goes by this list."""
    names = {sign for item in pack.observations.values() for sign in item.danger.values()}
    words = {word for fact in pack.facts.values() for word in (fact.id, *fact.choices)}
    there = {"gas_smell": "gas" in words, "refrigerant_signs": "refrigerant" in words}
    return tuple(sign for sign in ASKED if sign not in _WHERE_THERE_IS or sign in names or there[sign])


NO_SWITCHING = frozenset({"gas_smell", "refrigerant_signs"})
"""Signs where nobody may be asked about a switch or a plug: a spark may set fire to what is in the air."""

STOP_TEXT = (
    "STOP. Leave the machine alone and get everybody out of the room. "
    "Cut the supply only if you can do it without going near. "
    "Call the emergency service from a safe place. "
    "This job ends here: the machine stays out of use."
)
GAS_TEXT = (
    "STOP. Gas. Touch no switch or plug, light nothing, use no phone inside. "
    "Open doors and windows on your way out, get everybody out. "
    "Call the gas emergency service from outside. This job ends here."
)
REFRIGERANT_TEXT = (
    "STOP. The refrigerant may burn. Touch no switch or plug, light nothing. "
    "Open doors and windows on your way out, keep everybody out. "
    "A licensed refrigeration engineer must see it. This job ends here."
)
VOLTAGE_TEXT = (
    "STOP. There is voltage although the supply is cut. Take hands and tools away. "
    "Touch nothing inside. Covers back if you can without reaching in. "
    "Keep everybody away. A licensed electrician must see it."
)
OUT_OF_USE_TEXT = (
    "Do not run this machine again yet. Cut its supply now. "
    "From here only tests with the supply cut, until earth and insulation are measured and pass."
)


def stop_text(sign: str) -> str:
    """What a person is told at once when this sign is met. Raises KeyError for an unknown sign."""
    if sign == "gas_smell":
        return GAS_TEXT
    if sign == "refrigerant_signs":
        return REFRIGERANT_TEXT
    if sign == "voltage_when_isolated":
        return VOLTAGE_TEXT
    return STOP_TEXT if SIGNS[sign].level is Danger.LEAVE_NOW else OUT_OF_USE_TEXT


def told_at_once(signs: Iterable[str]) -> tuple[str, ...]:
    """What a person is told when these signs are met together, each text once. Where one of them says to leave,
    nothing else is said beside it: 'cut its supply' would be wrong where gas is smelt."""
    met = list(signs)
    leaving = [sign for sign in met if sign in LEAVE_NOW]
    first = [sign for sign in leaving if sign in NO_SWITCHING] or leaving
    return tuple(dict.fromkeys(stop_text(sign) for sign in (first[:1] or met)))


def customer_notice(signs: Iterable[str], found: Iterable[str] = (), owed: bool = False) -> str:
    """The notice that is left with a machine which must not be used: the signs met, what was found and not put right
    (titles), and whether its electrical tests are still to be made."""
    told = ["DO NOT USE THIS MACHINE.", *(SIGNS[sign].told for sign in signs if sign in SIGNS)]
    titles = ", ".join(found)
    told += [f"Found and not put right: {titles}."] if titles else []
    told += ["Its electrical tests are still to be made."] if owed else []
    return " ".join([*told, "It stays out of use until it is repaired and tested."])
