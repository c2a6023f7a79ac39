"""Plate facts: what a person may say of them, and what follows for which questions and causes exist.

Law: an unknown fact excludes nothing. A cause or a question that asks for a fact is possible until the fact
is known and says otherwise; where the pack says how many machines have which choice, a cause counts by that share.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from faultfinder.errors import BadFact, UnknownName
from faultfinder.knowledge.model import Fact, Outside, Pack
from faultfinder.knowledge.schema import nearest_name
from faultfinder.text.catalogue import say
from faultfinder.trade.readings.reading import parse_reading
from faultfinder.trade.readings.typed_text import ReadingError
from faultfinder.trade.readings.units import QUANTITIES

FactValue = str | float


def nearest(name: str, known: Iterable[str]) -> str:
    """A 'did you mean' sentence for a misspelt name, or nothing where none is close."""
    close = nearest_name.nearest(name, known)
    return (" " + say("did_you_mean", text=close)) if close else ""


def quantity_of_unit(unit: str) -> str:
    """Which quantity a fact's unit measures. Raises BadFact for a unit the trade tables do not hold."""
    for name, quantity in QUANTITIES.items():
        if unit in quantity.units:
            return name
    raise BadFact(say("told_unit_not_known", unit=unit))


def read_fact(fact: Fact, value: FactValue) -> FactValue:
    """The checked value of a fact: a choice id, or a number in the fact's unit.

    Raises BadFact with the choices or the range when the value does not fit.
    """
    if fact.kind == "choice":
        wanted = str(value).strip()
        if wanted in fact.choices:
            return wanted
        for choice, text in fact.choices.items():
            if wanted.casefold() in (choice.casefold(), text.casefold()):
                return choice
        choices = ", ".join(fact.choices)
        raise BadFact(
            say("told_no_choice_of_fact", wanted=wanted[:40], id=fact.id, choices=choices)
            + nearest(wanted[:80], fact.choices)
        )
    number = _number(fact, value)
    if not (math.isfinite(number) and fact.low <= number <= fact.high):
        raise BadFact(
            say(
                "told_outside_the_pack",
                id=fact.id,
                number=f"{number:g}",
                unit=fact.unit,
                low=f"{fact.low:g}",
                high=f"{fact.high:g}",
            ).replace(" .", ".")
        )
    return number


def facts_of_pack(pack: Pack, given: Mapping[str, str]) -> dict[str, FactValue]:
    """The values of the given facts that the pack asks for. Raises BadFact."""
    return {name: read_fact(pack.facts[name], text) for name, text in given.items() if name in pack.facts}


def _number(fact: Fact, value: FactValue) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    text = str(value)
    try:
        if fact.unit:
            return parse_reading(text, quantity_of_unit(fact.unit), fact.unit).value
        return float(text.replace(",", "."))
    except ReadingError as problem:
        raise BadFact(f"{fact.id}: {problem}") from problem
    except ValueError:
        raise BadFact(say("told_not_a_number", id=fact.id, text=text[:40])) from None


def read_facts(pack: Pack, given: Mapping[str, FactValue]) -> dict[str, FactValue]:
    """All given facts, checked. Raises UnknownName or BadFact."""
    checked: dict[str, FactValue] = {}
    for name, value in given.items():
        if name not in pack.facts:
            raise UnknownName(
                say("told_no_fact_of_pack", name=name, pack=pack.name) + nearest(name, pack.facts)
            )
        checked[name] = read_fact(pack.facts[name], value)
    return checked


def possible(applies: Mapping[str, tuple[str, ...]], facts: Mapping[str, FactValue]) -> bool:
    """Whether nothing known of this machine rules the item out."""
    return all(name not in facts or str(facts[name]) in allowed for name, allowed in applies.items())


def outside(pack: Pack, facts: Mapping[str, FactValue]) -> Outside | None:
    """The reason why this machine is not for the pack at all, once the facts say so."""
    for case in pack.outside:
        if all(name in facts and str(facts[name]) in allowed for name, allowed in case.when.items()):
            return case
    return None
