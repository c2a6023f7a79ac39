"""What every expression of a pack comes out as, and what does not fit: dimensional analysis over the whole pack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.formulas.dimensions import Names, Size, Slip, misfit, of_unit, sized
from faultfinder.knowledge.formulas.expression import ExpressionError, names_in, parse
from faultfinder.knowledge.model import Mark, Observation
from faultfinder.trade.readings.units import QUANTITIES


@dataclass(frozen=True, slots=True)
class Misfit:
    """A slip with its place: `what` says of which item and key; `facts` are the names it stands on."""

    what: str
    mark: Mark
    slip: Slip
    item: str = ""
    facts: frozenset[str] = frozenset()


def misfits(view: View) -> list[Misfit]:
    """Everything in the pack's expressions that does not fit; worked out once for the checks that tell it."""
    cached = view.notes.get("misfits")
    if cached is None:
        cached = view.notes["misfits"] = _by_their_cause(view, list(_misfits(view, {})))
    assert isinstance(cached, list)
    return cached


def _by_their_cause(view: View, found: list[Misfit]) -> list[Misfit]:
    """What does not fit, told at the unit of a fact or reading where another unit of it would put all of it right."""
    if not found:
        return found
    for fact in view.pack.facts.values():
        used = [each for each in found if fact.id in each.facts]
        units = (
            list(QUANTITIES[name].base for name in QUANTITIES)
            if not fact.unit
            else _other_units(fact.unit, "")
        )
        for unit in units if used and not _is_base(fact.unit) else ():
            if len(list(_misfits(view, {fact.id: unit}))) == len(found) - len(used):
                uses = "what uses it" if len(used) == 1 else f"the {len(used)} places that use it"
                slip = Slip(0, f"{fact.unit} does not fit {uses}", _write(unit, fact.unit), used[0].slip.sure)
                if not fact.unit:
                    slip = Slip(
                        0,
                        f"{fact.id} is without a unit, and {uses} {'wants' if len(used) == 1 else 'want'} one",
                        f"write unit: {unit}",
                        used[0].slip.sure,
                    )
                mark = view.fact_mark(fact.id, "unit") if fact.unit else view.fact_mark(fact.id)
                rest = [each for each in found if each not in used]
                return [*_by_their_cause(view, rest), Misfit(f"{fact.id}: unit", mark, slip)]
    for observation in view.pack.observations.values():
        used = [each for each in found if each.item == observation.id]
        spec = observation.reading
        if spec is None or not used:
            continue
        for unit in _other_units(spec.unit, spec.quantity):
            if not list(_of_reading(view, observation, _facts(view, {}), unit)):
                slip = Slip(
                    0, f"{spec.unit} does not fit its limits", _write(unit, spec.unit), used[0].slip.sure
                )
                mark = view.mark(observation.id, "unit")
                rest = [each for each in found if each not in used]
                return [*_by_their_cause(view, rest), Misfit(f"{observation.id}: unit", mark, slip)]
    return found


def _is_base(unit: str) -> bool:
    """Whether it is the unit that a quantity is usually worked with: then what uses it is rather wrong."""
    return any(quantity.base == unit for quantity in QUANTITIES.values())


def _write(unit: str, now: str) -> str:
    return f"write {unit}, with all its numbers in {unit}; or work {now} out where it is used"


def _other_units(unit: str, quantity: str) -> list[str]:
    """The usual other units of a quantity, or of the first one that has the unit; the base unit first."""
    names = (
        [quantity] if quantity in QUANTITIES else [n for n, q in QUANTITIES.items() if unit in q.units][:1]
    )
    usual = [u for name in names for u in (QUANTITIES[name].base, *QUANTITIES[name].common)]
    return [each for each in dict.fromkeys(usual) if each != unit]


def _facts(view: View, instead: Mapping[str, str]) -> dict[str, Size | None]:
    return {
        fact.id: of_unit(instead.get(fact.id, fact.unit), highest=fact.high)
        for fact in view.pack.facts.values()
        if fact.kind == "number"
    }


def _misfits(view: View, instead: Mapping[str, str]) -> Iterator[Misfit]:
    facts = _facts(view, instead)
    for fact in view.pack.facts.values():
        if fact.kind == "number" and isinstance(fact.class_value, str):
            wanted = facts[fact.id]
            mark = view.fact_text_mark(fact.id, "class_value")
            yield from _judged(fact.class_value, facts, wanted, f"{fact.id}: class_value", mark, fact.id)
    for observation in view.pack.observations.values():
        if observation.reading is not None:
            yield from _of_reading(view, observation, facts, observation.reading.unit)


def _of_reading(view: View, observation: Observation, facts: Names, unit: str) -> Iterator[Misfit]:
    spec = observation.reading
    assert spec is not None
    wanted = of_unit(unit, spec.quantity) if unit else None
    names = dict(facts)
    lets: dict[str, _Let] = {}
    for name, text in spec.let:
        found: list[Slip] = []
        names[name] = _size(text, names, found)
        mark = view.text_mark(observation.id, "let", name)
        behind = _facts_in(text, lets)
        lets[name] = _Let(text, names[name], mark, behind)
        for slip in found:
            yield Misfit(
                f"{observation.id}: let, {name}", mark.moved(slip.offset), slip, observation.id, behind
            )
    told: set[str] = set()
    places = [
        (f"bands, {answer.id}", text, view.limit_mark(observation.id, answer.id, end))
        for answer, band in zip(observation.answers, spec.bands, strict=False)
        for end, text in enumerate((band.low, band.high))
    ]
    if spec.expected:
        places.insert(0, ("expected", spec.expected, view.text_mark(observation.id, "expected")))
    for key, text, mark in places:
        let = next((name for name in names_in(text) if name in lets), "")
        at_let = lets[let].size if let and names_in(text) == (let,) else None
        if at_let is not None and wanted is not None:
            # Told where the limits come from, and once.
            slip_there = misfit(
                at_let, wanted, 0, f'"{lets[let].text}" is {at_let.title}, not {wanted.title}'
            )
            if slip_there is not None:
                if let not in told:
                    what = f"{observation.id}: let, {let}"
                    yield Misfit(what, lets[let].mark, slip_there, observation.id, lets[let].behind)
                told.add(let)
                continue
        if text in told:
            continue  # the same words in another place: one slip
        told.add(text)
        behind = _facts_in(text, lets)
        yield from _judged(text, names, wanted, f"{observation.id}: {key}", mark, observation.id, behind)
    if spec.one_use_kwh:
        used = {
            name: of_unit(other.reading.unit, other.reading.quantity)
            for name, other in view.pack.observations.items()
            if other.reading is not None
        }
        mark = view.text_mark(observation.id, "one_use_kwh")
        yield from _judged(
            spec.one_use_kwh,
            {**used, **names, "reading": wanted},
            of_unit("kWh"),
            f"{observation.id}: one_use_kwh",
            mark,
            observation.id,
            _facts_in(spec.one_use_kwh, lets),
        )


@dataclass(frozen=True, slots=True)
class _Let:
    text: str
    size: Size | None
    mark: Mark
    behind: frozenset[str]


def _facts_in(text: str, lets: Mapping[str, _Let]) -> frozenset[str]:
    """The names that an expression stands on, through `let` too."""
    return frozenset(
        each for name in names_in(text) for each in (lets[name].behind if name in lets else (name,))
    )


def _size(text: str, names: Names, found: list[Slip]) -> Size | None:
    try:
        tree = parse(text).tree
    except ExpressionError:
        return None
    return sized(tree, names, found.append) if tree is not None else None


def _judged(
    text: str,
    names: Names,
    wanted: Size | None,
    what: str,
    mark: Mark,
    item: str,
    behind: frozenset[str] | None = None,
) -> Iterator[Misfit]:
    found: list[Slip] = []
    size = _size(text, names, found)
    if size is not None and wanted is not None:
        slip = misfit(size, wanted, 0, f'"{text}" is {size.title}, not {wanted.title}')
        if slip is not None:
            found.append(slip)
    for slip in found:
        yield Misfit(what, mark.moved(slip.offset), slip, item, behind or frozenset(names_in(text)))
