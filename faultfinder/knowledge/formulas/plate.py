"""Plate facts that go together: what follows for one from others, and which is relied on where they contradict.

A rule pack says which of its facts belong together (`pack: plate:`); what they must fit, and the order of trust,
stands in trade/electrical/plate.py. A fact that others give is worked out from them, with a spread of its own; one
that they contradict is set aside for what they give. So the limits of every reading stand on what is relied on, never
on both.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.model import Fact, Pack, PlateRule
from faultfinder.trade.electrical.plate import (
    PlateCheck,
    amps_against_watts,
    ohms_against_watts,
    parts_against_watts,
)

Given = Mapping[str, str | float]

OHMS_SPREAD = 0.03
"""Of watts worked out from an element's cold resistance: its tolerance, and what it gains when hot; chosen."""
AMPS_SPREAD = 0.07
"""Of watts worked out from the plate's current, which is rounded up; chosen."""
PARTS_SPREAD = 0.03
"""Of watts summed over the parts of the machine; chosen."""
VOLTS_DOUBT = 3.0
"""How many spreads a voltage that is not known may be off; chosen."""


@dataclass(frozen=True, slots=True)
class PlateFinding:
    """Facts that contradict one another: the one in question, the others, and what the comparison says.

    relied_on: the facts that count from here on; `watts` itself where it is the others that are set aside.
    """

    watts: str
    others: tuple[str, ...]
    check: PlateCheck
    relied_on: tuple[str, ...]


def contradictions(pack: Pack, given: Given) -> tuple[PlateFinding, ...]:
    """What of the given facts does not go together, in the order of the pack's rules."""
    found = []
    for rule in pack.plate:
        check = _compared(pack, rule, given)
        if check is None or check.agrees:
            continue
        others = tuple(name for name in (rule.ohms or rule.amps, *rule.parts) if name in given)
        relied = (rule.watts,) if check.rely_on == "watts" else others
        found.append(PlateFinding(rule.watts, others, check, relied))
    return tuple(found)


def relied_on(pack: Pack, given: Given) -> tuple[Pack, Given]:
    """The pack with class values that follow from what is given, and the given facts less those set aside."""
    if not pack.plate:
        return pack, given
    facts = dict(pack.facts)
    left = dict(given)
    for rule in pack.plate:
        if facts[rule.watts] is not pack.facts[rule.watts]:
            continue  # worked out already, by the rule that stands first
        if rule.watts in given:
            check = _compared(pack, rule, given)
            if check is None or check.agrees or check.rely_on == "watts":
                continue
            del left[rule.watts]
        elif not _complete(pack, rule, given):
            continue
        facts[rule.watts] = _worked_out(pack.facts[rule.watts], rule)
    if all(facts[rule.watts] is pack.facts[rule.watts] for rule in pack.plate):
        return pack, given
    return replace(pack, facts=MappingProxyType(facts)), left


def _worked_out(fact: Fact, rule: PlateRule) -> Fact:
    if rule.ohms:
        text, spread = f"{rule.volts} ** 2 / {rule.ohms}", OHMS_SPREAD
        text += f" + {rule.less}" if rule.less else ""
    elif rule.amps:
        text, spread = f"{rule.volts} * {rule.amps}", AMPS_SPREAD
    else:
        text, spread = " + ".join(rule.parts), PARTS_SPREAD
    return replace(fact, class_value=text, spread=spread)


def _complete(pack: Pack, rule: PlateRule, given: Given) -> bool:
    """Whether what the rule's watts follow from is given. A small part may be assumed (`motor_watts`), one that is
    itself assumed from others may not; nor is there anything to compare with no part given."""
    if not rule.parts:
        return (rule.ohms or rule.amps) in given
    known = [name for name in rule.parts if name in given]
    others = [pack.facts[name].class_value for name in rule.parts if name not in given]
    return len(known) > len(others) and all(isinstance(value, int | float) for value in others)


def _compared(pack: Pack, rule: PlateRule, given: Given) -> PlateCheck | None:
    """The comparison of a rule's facts; None where too few of them are given, or trade cannot compare them.

    A voltage that is not given is the class value, give or take VOLTS_DOUBT of its spread: facts that agree at any
    such voltage agree.
    """
    if rule.watts not in given or not _complete(pack, rule, given):
        return None
    try:
        checks = [_compared_at(pack, rule, given, volts) for volts in _volts(pack, rule, given)]
    except FaultFinderError:
        return None
    return next((check for check in checks if check.agrees), checks[0])


def _volts(pack: Pack, rule: PlateRule, given: Given) -> tuple[float, ...]:
    """The voltages to compare at, the likeliest first; one that says nothing where the rule needs none."""
    if not rule.volts:
        return (0.0,)
    volts = _number(pack, given, rule.volts)
    if rule.volts in given:
        return (volts,)
    doubt = VOLTS_DOUBT * pack.facts[rule.volts].spread
    return volts, volts * (1 - doubt), volts * (1 + doubt)


def _compared_at(pack: Pack, rule: PlateRule, given: Given, volts: float) -> PlateCheck:
    watts = _number(pack, given, rule.watts)
    if rule.ohms:
        less = _number(pack, given, rule.less) if rule.less else 0.0
        return ohms_against_watts(watts - less, _number(pack, given, rule.ohms), volts)
    if rule.amps:
        return amps_against_watts(watts, _number(pack, given, rule.amps), volts)
    doubt = sum(
        2 * pack.facts[name].spread * _number(pack, given, name) for name in rule.parts if name not in given
    )
    return parts_against_watts(watts, [_number(pack, given, name) for name in rule.parts], doubt)


def _number(pack: Pack, given: Given, name: str) -> float:
    value = given.get(name, pack.facts[name].class_value)
    return float(value) if isinstance(value, int | float) else 0.0
