"""What every expression of a pack comes out as, and what does not fit: dimensional analysis over the whole pack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from faultfinder.knowledge.analysis.view import View, once
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


@once
def misfits(view: View) -> list[Misfit]:
    """Everything in the pack's expressions that does not fit."""
    return _by_their_cause(view, list(_misfits(view, {})))


def _by_their_cause(view: View, found: list[Misfit]) -> list[Misfit]:
    """What does not fit, told at the unit of a fact or reading where another unit of it would put all of it right."""
    for misfit_, used in _at_units(view, found):
        return [*_by_their_cause(view, [each for each in found if each not in used]), misfit_]
    return found


def _at_units(view: View, found: list[Misfit]) -> Iterator[tuple[Misfit, list[Misfit]]]:
    """Units that would put something right, with what."""
    bases = [quantity.base for quantity in QUANTITIES.values()]
    for fact in view.pack.facts.values():
        used = [each for each in found if fact.id in each.facts]
        units = _other_units(fact.unit, "") if fact.unit else bases
        # In the unit that a quantity is usually worked with, what uses it is rather wrong.
        for unit in units if used and fact.unit not in bases else ():
            if len(list(_misfits(view, {fact.id: unit}))) == len(found) - len(used):
                uses = "what uses it" if len(used) == 1 else f"the {len(used)} places that use it"
                want = "wants" if len(used) == 1 else "want"
                message, hint = f"{fact.unit} does not fit {uses}", _write(unit, fact.unit)
                if not fact.unit:
                    message, hint = (
                        f"{fact.id} is without a unit, and {uses} {want} one",
                        f"write unit: {unit}",
                    )
                mark = view.fact_mark(fact.id, *(["unit"] if fact.unit else []))
                yield Misfit(f"{fact.id}: unit", mark, Slip(0, message, hint, used[0].slip.sure)), used
    for observation, spec in view.readings:
        used = [each for each in found if each.item == observation.id]
        for unit in _other_units(spec.unit, spec.quantity) if used else ():
            if not list(_of_reading(view, observation, _facts(view, {}), unit)):
                message, hint = f"{spec.unit} does not fit its limits", _write(unit, spec.unit)
                mark = view.mark(observation.id, "unit")
                yield Misfit(f"{observation.id}: unit", mark, Slip(0, message, hint, used[0].slip.sure)), used


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
            mark = view.fact_text_mark(fact.id, "class_value")
            yield from _judged(fact.class_value, facts, facts[fact.id], "class_value", mark, fact.id)
    for observation, spec in view.readings:
        yield from _of_reading(view, observation, facts, spec.unit)


def _of_reading(view: View, observation: Observation, facts: Names, unit: str) -> Iterator[Misfit]:
    spec, item = observation.reading, observation.id
    assert spec is not None
    wanted = of_unit(unit, spec.quantity) if unit else None
    names = dict(facts)
    lets: dict[str, _Let] = {}
    for name, text in spec.let:
        found: list[Slip] = []
        names[name] = _size(text, names, found)
        let = _Let(text, names[name], view.text_mark(item, "let", name), _facts_in(text, lets))
        for slip in found:
            yield Misfit(f"{item}: let, {name}", let.mark.moved(slip.offset), slip, item, let.behind)
        lets[name] = let
    places = [
        (f"bands, {answer.id}", text, view.limit_mark(item, answer.id, end))
        for answer, band in zip(observation.answers, spec.bands, strict=False)
        for end, text in enumerate((band.low, band.high))
    ]
    if spec.expected:
        places.insert(0, ("expected", spec.expected, view.text_mark(item, "expected")))
    told: set[str] = set()
    for key, text, mark in places:
        name, *others = names_in(text) or ("",)
        if name in lets and not others and (there := lets[name]).size is not None and wanted is not None:
            # Told where the limits come from, and once.
            message = f'"{there.text}" is {there.size.title}, not {wanted.title}'
            if (slip_there := misfit(there.size, wanted, 0, message)) is not None:
                if name not in told:
                    yield Misfit(f"{item}: let, {name}", there.mark, slip_there, item, there.behind)
                told.add(name)
                continue
        if text not in told:  # the same words in another place: one slip
            told.add(text)
            yield from _judged(text, names, wanted, key, mark, item, _facts_in(text, lets))
    if spec.one_use_kwh:
        used = {other.id: of_unit(of.unit, of.quantity) for other, of in view.readings}
        text, known = spec.one_use_kwh, {**used, **names, "reading": wanted}
        mark = view.text_mark(item, "one_use_kwh")
        yield from _judged(text, known, of_unit("kWh"), "one_use_kwh", mark, item, _facts_in(text, lets))


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
    key: str,
    mark: Mark,
    item: str,
    behind: frozenset[str] | None = None,
) -> Iterator[Misfit]:
    found: list[Slip] = []
    size = _size(text, names, found)
    if size is not None and wanted is not None:
        slip = misfit(size, wanted, 0, f'"{text}" is {size.title}, not {wanted.title}')
        found += [slip] if slip is not None else []
    for slip in found:
        facts = behind or frozenset(names_in(text))
        yield Misfit(f"{item}: {key}", mark.moved(slip.offset), slip, item, facts)
