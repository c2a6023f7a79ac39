"""What all files say together -> the frozen Pack, with every name looked up.

Building never stops: what is missing or wrong gets a harmless stand-in, so that the later checks can tell
their own problems in the same run. A pack with any error is never handed out.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.knowledge.build.causes import cause, state
from faultfinder.knowledge.build.names import Names, collect, places
from faultfinder.knowledge.build.observations import observation, question
from faultfinder.knowledge.build.plate_rules import plate_rules
from faultfinder.knowledge.build.readings import number_facts
from faultfinder.knowledge.model import (
    Access,
    Fact,
    Mark,
    Outside,
    Pack,
    Usual,
)
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.keys import (
    DEFAULT_ACCESS_MINUTES,
    FACT,
)
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.read import Entry, Gathered, Values
from faultfinder.trade.readings.units import QUANTITIES


def build_pack(
    gathered: Gathered, name: str, fingerprint: str, sink: Sink, start: Mark, *, complete: bool
) -> Pack:
    """The pack that the files describe; problems go to `sink`. `start` is where a pack as a whole is told."""
    names = collect(gathered, sink, complete)
    header = _header(gathered, sink, start, complete)
    facts = {entry.id: _fact(entry, names) for entry in gathered.entries("facts")}
    numbers = number_facts(facts, gathered.entries("facts"), names)
    observations = {
        entry.id: observation(entry, names, numbers) for entry in gathered.entries("observations")
    }
    access_minutes = dict(DEFAULT_ACCESS_MINUTES)
    if header is not None:
        access_minutes.update({Access(key.text): value for key, value in header.pairs("access_minutes")})
    pack = Pack(
        name=name,
        title=header.text("title") if header else "",
        version=header.text("version") if header else "",
        summary=header.text("summary") if header else "",
        facts=MappingProxyType(facts),
        causes=MappingProxyType({e.id: cause(e, names) for e in gathered.entries("causes")}),
        states=MappingProxyType({e.id: state(e, names) for e in gathered.entries("states")}),
        observations=MappingProxyType(observations),
        questions=MappingProxyType({e.id: question(e, names) for e in gathered.entries("asks")}),
        outside=_outside(header, names),
        glossary=MappingProxyType({key.text: text for key, text in gathered.glossary}),
        instruments=MappingProxyType({key.text: text for key, text in gathered.instruments}),
        access_minutes=MappingProxyType(access_minutes),
        meter=MappingProxyType({key.text: pair for key, pair in header.pairs("meter")} if header else {}),
        fingerprint=fingerprint,
        plate=plate_rules(header, facts, names),
        cautions=MappingProxyType(
            {key.text: texts for key, texts in header.pairs("cautions")} if header else {}
        ),
    )
    names.tell_unknown(places(gathered))
    return pack


def _header(gathered: Gathered, sink: Sink, start: Mark, complete: bool) -> Values | None:
    if not gathered.packs:
        if complete and "pack" not in sink.lost:
            sink.error(
                start,
                "no-pack",
                "no file of the pack says what it is for",
                "add pack: with title and version",
            )
        return None
    first, *others = gathered.packs
    for other in others:
        sink.error(
            other.node.mark, "duplicate-id", "pack: stands in two files", f"the first is at {first.node.mark}"
        )
    return first


def _outside(header: Values | None, names: Names) -> tuple[Outside, ...]:
    if header is None or not header.has("outside"):
        return ()
    rows: tuple[Values, ...] = header.values["outside"]
    return tuple(
        Outside(names.applies(row.conditions("when"), "pack: outside"), row.text("say"), row.mark("when"))
        for row in rows
    )


def _fact(entry: Entry, names: Names) -> Fact:
    values = entry.values
    kind = values.text("kind", "choice" if values.has("choices") else "number")
    low, high = values.values.get("range", (0.0, 0.0))
    for key in FACT.by_kind[kind].refused:
        if values.has(key):
            names.sink.error(
                values.mark(key), "key-not-here", f"{entry.id}: a fact of kind {kind} has no {key}"
            )
    for key in FACT.by_kind[kind].needed:
        if values.node.get(key) is None:
            names.sink.error(
                entry.mark,
                "missing-key",
                f'{entry.id}: the key "{key}" is missing',
                f"a fact of kind {kind} needs it",
            )
    if kind == "choice" and values.has("choices") and values.count("choices") < 2:
        what = f"{entry.id}: a choice needs at least two choices"
        names.sink.error(values.mark("choices"), "few-answers", what)
    unit = values.text("unit")
    if unit and not any(unit in quantity.units for quantity in QUANTITIES.values()):
        known = [symbol for quantity in QUANTITIES.values() for symbol in quantity.units]
        mark = values.mark("unit")
        names.sink.error(
            mark, "unknown-unit", f'{entry.id}: "{unit}" is not a known unit', did_you_mean(unit, known)
        )
    class_value = values.name("class_value")
    return Fact(
        id=entry.id,
        ask=values.text("ask"),
        kind=kind,
        choices=MappingProxyType({key.text: text for key, text in values.pairs("choices")}),
        unit=values.text("unit"),
        low=low,
        high=high,
        where=values.text("where"),
        how=values.text("how"),
        class_value=class_value.text if class_value is not None else None,
        spread=values.number("spread"),
        usual=_usual(entry, names),
        required=values.flag("required"),
        applies=_asked_after_others(entry, names),
        mark=entry.mark,
    )


def _usual(entry: Entry, names: Names) -> tuple[Usual, ...]:
    """How many machines have which choice; shares that are not those of the choices, or do not add up, are told."""
    rows: tuple[Values, ...] = entry.values.values.get("usual") or ()
    what, out = f"{entry.id}: usual", []
    for row in rows:
        shares = {
            name.text: share
            for name, share in row.pairs("shares")
            if names.known_in("choice", name, what, names.choices[entry.id], entry.id)
        }
        total = sum(shares.values())
        if abs(total - 1.0) > 1e-6:
            names.sink.error(
                row.mark("shares"),
                "shares-not-one",
                f"{what}: the shares add up to {total:g}, not to 1",
                "give every choice its share",
            )
        out.append(Usual(names.applies(row.conditions("when"), f"{what}: when"), MappingProxyType(shares)))
    return tuple(out)


def _asked_after_others(entry: Entry, names: Names) -> Mapping[str, tuple[str, ...]]:
    """Where a fact is asked for; one that waits for itself is told."""
    conditions = entry.values.conditions("applies")
    for name, _ in conditions:
        if name.text == entry.id:
            what = f"{entry.id}: applies: it would be asked only once it is known"
            names.sink.error(name.mark, "fact-cycle", what, "name another fact")
    return names.applies(conditions, f"{entry.id}: applies")
