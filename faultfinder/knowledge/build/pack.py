"""What all files say together -> the frozen Pack, with every name looked up.

Building never stops: what is missing or wrong gets a harmless stand-in, so that the later checks can tell
their own problems in the same run. A pack with any error is never handed out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import TypeVar

from faultfinder.knowledge.build.causes import cause, state
from faultfinder.knowledge.build.fields import given_fields, told_missing
from faultfinder.knowledge.build.names import Names, collect
from faultfinder.knowledge.build.observations import observation, question
from faultfinder.knowledge.build.plate_rules import plate_rules
from faultfinder.knowledge.build.readings import number_facts
from faultfinder.knowledge.model import Access, Fact, Mark, Outside, Pack, Usual
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.keys import DEFAULT_ACCESS_MINUTES, FACT
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.read import Entry, Gathered, Values
from faultfinder.knowledge.schema.value_types import Name
from faultfinder.knowledge.syntax.nodes import MapNode
from faultfinder.trade.readings.units import QUANTITIES

Value = TypeVar("Value")


def build_pack(
    gathered: Gathered, name: str, fingerprint: str, sink: Sink, start: Mark, *, complete: bool
) -> Pack:
    """The pack that the files describe; problems go to `sink`. `start` is where a pack as a whole is told."""
    names = collect(gathered, sink, complete)
    header = _header(gathered, sink, start, complete)
    facts = {entry.id: _fact(entry, names) for entry in gathered.entries("facts")}
    numbers = number_facts(facts, gathered.entries("facts"), names)
    access_minutes = {Access(key.text): value for key, value in header.pairs("access_minutes")}
    outside = (
        Outside(names.applies(row.pairs("when"), "pack: outside"), row.text("say"), row.mark("when"))
        for row in header.rows("outside")
    )
    entries = gathered.entries
    pack = Pack(
        name=name,
        title=header.text("title"),
        version=header.text("version"),
        summary=header.text("summary"),
        facts=MappingProxyType(facts),
        causes=MappingProxyType({e.id: cause(e, names) for e in entries("causes")}),
        states=MappingProxyType({e.id: state(e, names) for e in entries("states")}),
        observations=MappingProxyType(
            {e.id: observation(e, names, numbers) for e in entries("observations")}
        ),
        questions=MappingProxyType({e.id: question(e, names) for e in entries("asks")}),
        outside=tuple(outside),
        glossary=_by_text(gathered.glossary),
        instruments=_by_text(gathered.instruments),
        access_minutes=MappingProxyType(DEFAULT_ACCESS_MINUTES | access_minutes),
        meter=_by_text(header.pairs("meter")),
        fingerprint=fingerprint,
        plate=plate_rules(header.rows("plate"), facts, names),
        cautions=_by_text(header.pairs("cautions")),
    )
    names.tell_unknown()
    return pack


def _by_text(pairs: Iterable[tuple[Name, Value]]) -> Mapping[str, Value]:
    return MappingProxyType({key.text: value for key, value in pairs})


def _header(gathered: Gathered, sink: Sink, start: Mark, complete: bool) -> Values:
    """What stands under `pack:`; nothing where no file has it, which is told."""
    if not gathered.packs:
        if complete and "pack" not in sink.lost:
            what = "no file of the pack says what it is for"
            sink.error(start, "no-pack", what, "add pack: with title and version")
        return Values(MapNode((), start), {})
    first, *others = gathered.packs
    for other in others:
        hint = f"the first is at {first.node.mark}"
        sink.error(other.node.mark, "duplicate-id", "pack: stands in two files", hint)
    return first


def _fact(entry: Entry, names: Names) -> Fact:
    values, sink = entry.values, names.sink
    kind = values.text("kind", "choice" if values.has("choices") else "number")
    for key in filter(values.has, FACT.by_kind[kind].refused):
        sink.error(values.mark(key), "key-not-here", f"{entry.id}: a fact of kind {kind} has no {key}")
    told_missing(entry, FACT.by_kind[kind].needed, f"a fact of kind {kind} needs it", names)
    if kind == "choice" and values.has("choices") and values.count("choices") < 2:
        sink.error(values.mark("choices"), "few-answers", f"{entry.id}: a choice needs at least two choices")
    unit = values.text("unit")
    known = [symbol for quantity in QUANTITIES.values() for symbol in quantity.units]
    if unit and unit not in known:
        message = f'{entry.id}: "{unit}" is not a known unit'
        sink.error(values.mark("unit"), "unknown-unit", message, did_you_mean(unit, known))
    for name, _ in values.pairs("applies"):
        if name.text == entry.id:
            message = f"{entry.id}: applies: it would be asked only once it is known"
            sink.error(name.mark, "fact-cycle", message, "name another fact")
    class_value = values.name("class_value")
    low, high = values.get("range", (0.0, 0.0))
    worked_out = {
        "kind": kind,
        "choices": _by_text(values.pairs("choices")),
        "low": low,
        "high": high,
        "class_value": class_value.text if class_value is not None else None,
        "usual": tuple(_usual(entry.id, row, names) for row in values.rows("usual")),
    }
    return Fact(**{"ask": "", **given_fields(entry, FACT, Fact, names), **worked_out})


def _usual(fact: str, row: Values, names: Names) -> Usual:
    """How many machines have which choice; shares that are not those of the choices, or do not add up, are told."""
    what = f"{fact}: usual"
    shares = {
        name.text: share for name, share in row.pairs("shares") if names.has("choice", name, what, fact)
    }
    unread = len(row.pairs("shares")) < row.count("shares")
    if not unread and abs((total := sum(shares.values())) - 1.0) > 1e-6:
        message, hint = f"{what}: the shares add up to {total:g}, not to 1", "give every choice its share"
        names.sink.error(row.mark("shares"), "shares-not-one", message, hint)
    return Usual(names.applies(row.pairs("when"), f"{what}: when"), MappingProxyType(shares))
