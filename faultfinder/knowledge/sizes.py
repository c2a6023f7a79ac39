"""What every expression of a pack comes out as, and what does not fit: dimensional analysis over the whole pack."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from faultfinder.knowledge.dimensions import Names, Size, Slip, misfit, of_unit, sized
from faultfinder.knowledge.expression import ExpressionError, parse
from faultfinder.knowledge.model import Mark, Observation
from faultfinder.knowledge.view import View


@dataclass(frozen=True, slots=True)
class Misfit:
    """A slip with its place: `what` says of which item and key."""

    what: str
    mark: Mark
    slip: Slip


def misfits(view: View) -> list[Misfit]:
    """Everything in the pack's expressions that does not fit; worked out once for the checks that tell it."""
    cached = view.notes.get("misfits")
    if cached is None:
        cached = view.notes["misfits"] = list(_misfits(view))
    assert isinstance(cached, list)
    return cached


def _misfits(view: View) -> Iterator[Misfit]:
    facts: dict[str, Size | None] = {
        fact.id: of_unit(fact.unit, highest=fact.high)
        for fact in view.pack.facts.values()
        if fact.kind == "number"
    }
    for fact in view.pack.facts.values():
        if fact.kind == "number" and isinstance(fact.class_value, str):
            wanted = facts[fact.id]
            mark = view.fact_text_mark(fact.id, "class_value")
            yield from _judged(fact.class_value, facts, wanted, f"{fact.id}: class_value", mark)
    for observation in view.pack.observations.values():
        if observation.reading is not None:
            yield from _of_reading(view, observation, facts)


def _of_reading(view: View, observation: Observation, facts: Names) -> Iterator[Misfit]:
    spec = observation.reading
    assert spec is not None
    wanted = of_unit(spec.unit, spec.quantity) if spec.unit else None
    names = dict(facts)
    for name, text in spec.let:
        found: list[Slip] = []
        names[name] = _size(text, names, found)
        mark = view.text_mark(observation.id, "let", name)
        for slip in found:
            yield Misfit(f"{observation.id}: let, {name}", _moved(mark, slip.offset), slip)
    for answer, band in zip(observation.answers, spec.bands, strict=False):
        for number, text in enumerate((band.low, band.high)):
            mark = view.limit_mark(observation.id, answer.id, number)
            yield from _judged(text, names, wanted, f"{observation.id}: bands, {answer.id}", mark)
    if spec.expected:
        mark = view.text_mark(observation.id, "expected")
        yield from _judged(spec.expected, names, wanted, f"{observation.id}: expected", mark)
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
        )


def _size(text: str, names: Names, found: list[Slip]) -> Size | None:
    try:
        tree = parse(text).tree
    except ExpressionError:
        return None
    return sized(tree, names, found.append) if tree is not None else None


def _judged(text: str, names: Names, wanted: Size | None, what: str, mark: Mark) -> Iterator[Misfit]:
    found: list[Slip] = []
    size = _size(text, names, found)
    if size is not None and wanted is not None:
        slip = misfit(size, wanted, 0, f'"{text}" is {size.title}, not {wanted.title}')
        if slip is not None:
            found.append(slip)
    for slip in found:
        yield Misfit(what, _moved(mark, slip.offset), slip)


def _moved(mark: Mark, letters: int) -> Mark:
    return Mark(mark.file, mark.line, mark.column + letters)
