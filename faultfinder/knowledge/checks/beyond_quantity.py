"""A range or limit that no appliance reaches: mostly a wrong unit."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection
from faultfinder.trade.readings.reading import QUANTITIES
from faultfinder.trade.readings.units import Quantity


def check(view: View) -> Iterator[Objection]:
    for fact in view.pack.facts.values():
        if fact.kind != "number" or not fact.unit:
            continue
        fitting = [q for q in QUANTITIES.values() if fact.unit in q.units]
        if fitting and not any(_inside(q, fact.unit, fact.high) for q in fitting):
            message = f"{fact.id}: {fact.high:g} {fact.unit} is more than any appliance has"
            hint = f"for {fitting[0].title}: another unit, or another range"
            yield Objection(view.fact_mark(fact.id, "unit"), message, hint)
    for observation in view.pack.observations.values():
        spec = observation.reading
        quantity = QUANTITIES.get(spec.quantity) if spec is not None else None
        if spec is None or quantity is None or spec.unit not in quantity.units:
            continue
        for answer, band in zip(observation.answers, spec.bands, strict=False):
            for end, text in enumerate((band.low, band.high)):
                value = _number(text)
                if value is not None and not _inside(quantity, spec.unit, value):
                    what = f"{observation.id}: bands, {answer.id}"
                    message = f"{what}: {text} {spec.unit} is beyond what any appliance gives"
                    mark = view.limit_mark(observation.id, answer.id, end)
                    yield Objection(mark, message, "put unit and limits right")
        closed = _number(spec.bands[0].high) if spec.bands else None
        if spec.quantity == "resistance" and closed is not None:
            ohms = closed * quantity.units[spec.unit].factor
            if (
                _number(spec.bands[0].low) == 0.0
                and ohms > CLOSED
                and _CONTACT.search(f"{observation.id} {observation.ask}")
            ):
                message = f"{observation.id}: up to {closed:g} {spec.unit} it counts as closed"
                yield Objection(view.mark(observation.id, "unit"), message, "put unit and limits right")
        least = _number(spec.bands[0].low) if spec.bands else None
        if (
            spec.quantity == "resistance"
            and least is not None
            and 0 < least * quantity.units[spec.unit].factor < INSULATES
        ):
            if _INSULATION.search(f"{observation.id} {observation.ask}".replace("_", " ")):
                message = f"{observation.id}: {least:g} {spec.unit} counts as sound insulation"
                yield Objection(view.mark(observation.id, "unit"), message, "insulation is read in Mohm")


CLOSED = 100.0
"""Ohms. Chosen: no closed contact, fuse or lead has as many."""
INSULATES = 10_000.0
"""Ohms. Chosen: a thirtieth of the least that any rule for appliances allows (0.3 Mohm)."""
_CONTACT = re.compile(r"contact|switch|fuse|continuity|cut.?out|thermostat|lead|earth|filter", re.IGNORECASE)
_INSULATION = re.compile(r"\binsulation\b", re.IGNORECASE)


def _inside(quantity: Quantity, unit: str, value: float) -> bool:
    known = quantity.units[unit]
    return quantity.low <= value * known.factor + known.offset <= quantity.high


def _number(text: str) -> float | None:
    return float(text) if re.fullmatch(r"-?[0-9.]+(?:[eE][0-9]+)?", text) else None
