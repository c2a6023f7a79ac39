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

from faultfinder.knowledge.model import Need, Observation, Pack
from faultfinder.text.catalogue import say


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

    @property
    def ask(self) -> str:
        """It as it is asked about."""
        return say(f"danger_{self.id}")

    @property
    def told(self) -> str:
        """What the record and the customer's notice say about it."""
        return say(f"danger_{self.id}_told")


SAYS_IT_ALL = frozenset({"tingle", "burning_smell_earlier"})
"""Signs that ask for the whole of what a symptom with them tells: whoever has none of it has no such symptom either.
A plug that got hot has not left a mark each time, nor has what tripped once tripped repeatedly."""


def _signs(level: Danger, *ids: str) -> Mapping[str, Sign]:
    return MappingProxyType({id: Sign(id, level) for id in ids})


LEAVE_NOW = _signs(
    Danger.LEAVE_NOW,
    "smoke_or_flame",
    "burning_smell_now",
    "gas_smell",
    "water_on_live_parts",
    "refrigerant_signs",
)
OUT_OF_USE = _signs(
    Danger.OUT_OF_USE, "tingle", "scorching", "repeated_tripping", "wet_found", "burning_smell_earlier"
)
ASKED: Mapping[str, Sign] = MappingProxyType({**LEAVE_NOW, **OUT_OF_USE})
"""The signs a person is asked about."""
_SEEN_OR_MEASURED = _signs(Danger.OUT_OF_USE, "supply_parts_damaged", "earth_or_insulation_bad")
NAMED_BY_RULES: Mapping[str, Sign] = MappingProxyType({**ASKED, **_SEEN_OR_MEASURED})
"""The signs that an answer in a rule file may report."""
_FOUND_HERE = _signs(
    Danger.OUT_OF_USE, "return_test_failed", "voltage_when_isolated", FORGOTTEN, "restarted_after_stop"
)
SIGNS: Mapping[str, Sign] = MappingProxyType({**NAMED_BY_RULES, **_FOUND_HERE})
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


def symptoms_asked(pack: Pack) -> tuple[Observation, ...]:
    """The symptoms of a pack that the danger list asks for in other words."""
    return tuple(
        item
        for item in pack.observations.values()
        if item.symptom and item.danger and item.need is Need.ANYWHERE and len(item.answers) == 2
    )


def denied_by_none(pack: Pack, met: Iterable[str] = ()) -> tuple[Observation, ...]:
    """Those of them that 'none' denies too, their sign being the wider word, but for the signs that were met."""
    signs = SAYS_IT_ALL.intersection(asked_of(pack)).difference(met)
    return tuple(item for item in symptoms_asked(pack) if not signs.isdisjoint(item.danger.values()))


NO_SWITCHING = frozenset({"gas_smell", "refrigerant_signs"})
"""Signs where nobody may be asked about a switch or a plug: a spark may set fire to what is in the air."""


def stop_text(sign: str) -> str:
    """What a person is told at once when this sign is met. Raises KeyError for an unknown sign."""
    own = {"gas_smell": "gas", "refrigerant_signs": "refrigerant", "voltage_when_isolated": "voltage"}
    level = "leave" if SIGNS[sign].level is Danger.LEAVE_NOW else "out_of_use"
    return say(f"stop_{own.get(sign, level)}")


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
    told = [say("notice_do_not_use"), *(SIGNS[sign].told for sign in signs if sign in SIGNS)]
    titles = ", ".join(found)
    told += [say("notice_found", titles=titles)] if titles else []
    told += [say("notice_owed")] if owed else []
    return " ".join([*told, say("notice_until")])
