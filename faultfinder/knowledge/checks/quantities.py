"""Quantities, units and sizes: an expression, range or question that is of another one than it should be."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.errors import BadFact
from faultfinder.knowledge.analysis.unit_misfits import misfits
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.registry import error, warning
from faultfinder.knowledge.data import beside
from faultfinder.knowledge.formulas.bands import fact_values
from faultfinder.knowledge.formulas.expression import names_in
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.keys import OBSERVATION
from faultfinder.trade.readings.units import QUANTITIES, Quantity


@error("unit-mismatch")
def another_unit_than_wanted(view: View) -> Iterator[Objection]:
    return _misfits(view, sure=True)


@warning("unit-doubtful")
def another_unit_unless_a_number_brings_it(view: View) -> Iterator[Objection]:
    return _misfits(view, sure=False)


def _misfits(view: View, *, sure: bool) -> Iterator[Objection]:
    for each in misfits(view):
        if each.slip.sure == sure:
            yield Objection(each.mark, f"{each.what}: {each.slip.message}", each.slip.hint)


@warning("idle-let")
def nothing_uses_the_name(view: View) -> Iterator[Objection]:
    for observation, spec in view.readings:
        used = {name for text in spec.expressions for name in names_in(text)}
        for name, _ in spec.let:
            if name in used:
                continue
            hint = "let a limit use it, or leave it out"
            if OBSERVATION.key(name) is not None:
                hint = f"{name} is a key of an observation: line it up with let, if that is meant"
            mark = view.key_mark(observation.id, "let", name)
            yield Objection(mark, f"{observation.id}: nothing uses {name} of let", hint)


_SPOKEN = beside(__package__, "spoken")


@warning("other-quantity")
def question_names_another_quantity_or_unit(view: View) -> Iterator[Objection]:
    for observation, spec in view.readings:
        if not spec.quantity:
            continue
        words = re.findall(r"[a-z]+", observation.ask.casefold())
        quantities = [_SPOKEN["quantities"][word].split() for word in words if word in _SPOKEN["quantities"]]
        if quantities and not any(spec.quantity in each for each in quantities):
            named = next(word for word in words if word in _SPOKEN["quantities"])
            says = f"the question speaks of {named}, and quantity is {spec.quantity}"
            hint = f"{quantities[0][0]}, or another question"
            yield view.objection(observation.id, "quantity", says=says, hint=hint)
            continue
        units = QUANTITIES[spec.quantity].units if spec.quantity in QUANTITIES else {}
        own = units.get(spec.unit)
        asked = [(word, unit) for word in words if (unit := _SPOKEN["units"].get(word)) in units]
        if asked and own is not None and all(units[unit].factor != own.factor for _, unit in asked):
            says = f"the question asks for {asked[0][0]}, and the unit is {spec.unit}"
            hint = f"write unit: {asked[0][1]}, with limits in it; or ask in {spec.unit}"
            yield view.objection(observation.id, "unit", says=says, hint=hint)


CLOSED = 100.0
"""Ohms. Chosen: no closed contact, fuse or lead has as many."""
INSULATES = 10_000.0
"""Ohms. Chosen: a thirtieth of the least that any rule for appliances allows (0.3 Mohm)."""
_CONTACT = re.compile(r"contact|switch|fuse|continuity|cut.?out|thermostat|lead|earth|filter", re.IGNORECASE)
_INSULATION = re.compile(r"\binsulation\b", re.IGNORECASE)


@warning("beyond-quantity")
def no_appliance_reaches_it(view: View) -> Iterator[Objection]:
    """Mostly a wrong unit."""
    for fact in view.pack.facts.values():
        fitting = [q for q in QUANTITIES.values() if fact.kind == "number" and fact.unit in q.units]
        if fitting and not any(_inside(q, fact.unit, fact.high) for q in fitting):
            message = f"{fact.id}: {fact.high:g} {fact.unit} is more than any appliance has"
            hint = f"for {fitting[0].title}: another unit, or another range"
            yield Objection(view.fact_mark(fact.id, "unit"), message, hint)
    hint = "put unit and limits right"
    for observation, spec in view.readings:
        quantity = QUANTITIES.get(spec.quantity)
        if quantity is None or spec.unit not in quantity.units:
            continue
        for answer, band in zip(observation.answers, spec.bands, strict=False):
            for end, text in enumerate((band.low, band.high)):
                value = _number(text)
                if value is not None and not _inside(quantity, spec.unit, value):
                    what = f"{observation.id}: bands, {answer.id}"
                    message = f"{what}: {text} {spec.unit} is beyond what any appliance gives"
                    rise = spec.quantity == "temperature" and spec.unit == "K"
                    mend = "for a rise write quantity: temperature_difference" if rise else hint
                    yield Objection(view.limit_mark(observation.id, answer.id, end), message, mend)
        if spec.quantity != "resistance" or not spec.bands:
            continue
        low, high = _number(spec.bands[0].low), _number(spec.bands[0].high)
        factor = quantity.units[spec.unit].factor
        about = f"{observation.id} {observation.ask}"
        if low == 0.0 and high is not None and high * factor > CLOSED and _CONTACT.search(about):
            says = f"up to {high:g} {spec.unit} it counts as closed"
            yield view.objection(observation.id, "unit", says=says, hint=hint)
        if low is not None and 0 < low * factor < INSULATES and _INSULATION.search(about.replace("_", " ")):
            says = f"{low:g} {spec.unit} counts as sound insulation"
            yield view.objection(observation.id, "unit", says=says, hint="insulation is read in Mohm")


def _inside(quantity: Quantity, unit: str, value: float) -> bool:
    known = quantity.units[unit]
    return quantity.low <= value * known.factor + known.offset <= quantity.high


def _number(text: str) -> float | None:
    return float(text) if re.fullmatch(r"-?[0-9.]+(?:[eE][0-9]+)?", text) else None


@warning("class-outside", "put the expression or the range right", whole=True)
def class_value_comes_out_outside_the_range(view: View) -> Iterator[Objection]:
    try:
        values = fact_values(view.pack, {})
    except BadFact:
        return
    for fact in view.pack.facts.values():
        value = values.get(fact.id)
        if isinstance(fact.class_value, str) and isinstance(value, float) and fact.low < fact.high:
            if not fact.low <= value <= fact.high:
                comes_out = f"{fact.id}: its class value comes out as {value:.4g} {fact.unit}"
                message = f"{comes_out}, outside {fact.low:g} to {fact.high:g}"
                yield Objection(view.fact_mark(fact.id, "class_value"), message)


@warning("idle-spread", "give it a class_value, or leave spread out")
def spread_without_a_class_value(view: View) -> Iterator[Objection]:
    for fact in view.pack.facts.values():
        if fact.spread and fact.class_value is None:
            message = f"{fact.id}: spread is of the class value, and there is none"
            yield Objection(view.fact_mark(fact.id, "spread"), message)
