"""What all files say together -> the frozen Pack, with every name looked up.

Building never stops: what is missing or wrong gets a harmless stand-in, so that the later checks can tell
their own problems in the same run. A pack with any error is never handed out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import TypeVar

from faultfinder.knowledge.build_readings import number_facts, reading_spec
from faultfinder.knowledge.keys import (
    DEFAULT_ACCESS,
    DEFAULT_ACCESS_MINUTES,
    DEFAULT_BACKGROUND,
    DEFAULT_MINUTES,
)
from faultfinder.knowledge.model import (
    NOWHERE,
    Access,
    Answer,
    Cause,
    Choice,
    Fact,
    Hazard,
    Kind,
    Link,
    Mark,
    Need,
    Observation,
    Outside,
    Pack,
    Probes,
    Question,
    State,
)
from faultfinder.knowledge.names import Names, collect
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.read import Entry, Gathered, Values
from faultfinder.knowledge.shapes import Name
from faultfinder.knowledge.words import RELIABILITY

T = TypeVar("T")


def build_pack(
    gathered: Gathered, name: str, fingerprint: str, sink: Sink, start: Mark, *, complete: bool
) -> Pack:
    """The pack that the files describe; problems go to `sink`. `start` is where a pack as a whole is told."""
    names = collect(gathered, sink, complete)
    header = _header(gathered, sink, start, complete)
    facts = {entry.id: _fact(entry, names) for entry in gathered.entries("facts")}
    numbers = number_facts(facts, gathered.entries("facts"), names)
    observations = {
        entry.id: _observation(entry, names, numbers) for entry in gathered.entries("observations")
    }
    access_minutes = dict(DEFAULT_ACCESS_MINUTES)
    if header is not None:
        access_minutes.update({Access(key.text): value for key, value in header.pairs("access_minutes")})
    return Pack(
        name=name,
        title=header.text("title") if header else "",
        version=header.text("version") if header else "",
        summary=header.text("summary") if header else "",
        facts=MappingProxyType(facts),
        causes=MappingProxyType({e.id: _cause(e, names) for e in gathered.entries("causes")}),
        states=MappingProxyType({e.id: _state(e, names) for e in gathered.entries("states")}),
        observations=MappingProxyType(observations),
        questions=MappingProxyType({e.id: _question(e, names) for e in gathered.entries("asks")}),
        outside=_outside(header, names),
        glossary=MappingProxyType({key.text: text for key, text in gathered.glossary}),
        instruments=MappingProxyType({key.text: text for key, text in gathered.instruments}),
        access_minutes=MappingProxyType(access_minutes),
        meter=MappingProxyType({key.text: pair for key, pair in header.pairs("meter")} if header else {}),
        fingerprint=fingerprint,
    )


def _header(gathered: Gathered, sink: Sink, start: Mark, complete: bool) -> Values | None:
    if not gathered.packs:
        if complete:
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
    wrong = ("unit", "range", "spread") if kind == "choice" else ("choices",)
    for key in wrong:
        if values.has(key):
            names.sink.error(
                values.mark(key), "key-not-here", f"{entry.id}: a fact of kind {kind} has no {key}"
            )
    for key in ("choices",) if kind == "choice" else ("range",):
        if values.node.get(key) is None:
            names.sink.error(
                entry.mark,
                "missing-key",
                f'{entry.id}: the key "{key}" is missing',
                f"a fact of kind {kind} needs it",
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
        required=values.flag("required"),
        applies=names.applies(values.conditions("applies"), f"{entry.id}: applies"),
        mark=entry.mark,
    )


def _kind(values: Values) -> Kind:
    default = Kind.READING if values.has("bands") else Kind.LOOK
    return Kind(values.text("kind", default))


def _need(values: Values, kind: Kind) -> Need:
    return Need(values.text("access", DEFAULT_ACCESS.get(kind, Need.OPEN_DEAD)))


def _instruments(entry: Entry, names: Names) -> tuple[str, ...]:
    known = _known(entry.values.names("needs"), "instrument", names.instruments, f"{entry.id}: needs", names)
    return tuple(known)


def _known(listed: Iterable[Name], sort: str, known: Iterable[str], what: str, names: Names) -> list[str]:
    return [name.text for name in listed if names.known_in(sort, name, what, known)]


def _observation(entry: Entry, names: Names, numbers: Mapping[str, bool]) -> Observation:
    values = entry.values
    kind = _kind(values)
    reading = reading_spec(entry, kind, names, numbers)
    answers = _answers(entry, kind, names)
    what = entry.id
    probes = values.table("probes")
    danger: dict[str, str] = {}
    for name, sign in values.pairs("danger"):
        if names.answer_ok(entry.id, name, f"{what}: danger"):
            danger[name.text] = sign
            if answers and name.text == answers[0].id:
                names.sink.error(
                    name.mark, "healthy-danger", f'{what}: the healthy answer "{name.text}" is no danger sign'
                )
    return Observation(
        id=entry.id,
        kind=kind,
        ask=values.text("ask"),
        answers=answers,
        background=_background(entry, names),
        reliability=values.number("reliability", RELIABILITY[kind]),
        need=_need(values, kind),
        minutes=values.number("minutes", DEFAULT_MINUTES.get(kind, 5.0)),
        how=values.text("how"),
        why=values.text("why"),
        probes=Probes(probes.text("drawing"), probes.text("words")) if probes is not None else None,
        instruments=_instruments(entry, names),
        applies=names.applies(values.conditions("applies"), f"{what}: applies"),
        only_if=names.only_if(values.conditions("only_if"), f"{what}: only_if"),
        said=values.texts("said"),
        danger=MappingProxyType(danger),
        symptom=values.flag("symptom"),
        reading=reading,
        sub_system=entry.sub_system,
        mark=entry.mark,
    )


def _answers(entry: Entry, kind: Kind, names: Names) -> tuple[Answer, ...]:
    values, sink = entry.values, names.sink
    texts = {name.text: text for name, text in values.pairs("answers")}
    if kind is Kind.READING:
        for name, _ in values.pairs("answers"):
            names.known_in("band", name, f"{entry.id}: answers", names.answers[entry.id])
        return tuple(
            Answer(name.text, texts.get(name.text, name.text.replace("_", " ").capitalize()), name.mark)
            for name, _ in values.pairs("bands")
        )
    if values.node.get("answers") is None:
        sink.error(
            entry.mark,
            "missing-key",
            f'{entry.id}: the key "answers" is missing',
            "healthy first; or answers: yes_no",
        )
    elif values.has("answers") and values.count("answers") < 2:
        what = f"{entry.id}: answers needs the healthy one and at least one more"
        sink.error(values.mark("answers"), "few-answers", what)
    return tuple(Answer(name.text, text, name.mark) for name, text in values.pairs("answers"))


def _background(entry: Entry, names: Names) -> tuple[float, ...]:
    answers = names.answers[entry.id]
    if not answers:
        return (1.0,)
    share = DEFAULT_BACKGROUND / max(1, len(answers) - 1)
    chances = dict.fromkeys(answers[1:], share)
    what = f"{entry.id}: background"
    for name, chance in entry.values.pairs("background"):
        if not names.answer_ok(entry.id, name, what):
            continue
        if name.text == answers[0]:
            names.sink.error(
                name.mark,
                "link-to-healthy",
                f'{what}: "{name.text}" is the healthy answer; it gets what the others leave',
            )
            continue
        chances[name.text] = chance
    total = sum(chances.values())
    if total >= 1.0:
        names.sink.error(
            entry.values.mark("background"),
            "sum-over-one",
            f"{what} adds up to {total:g}; it must stay under 1",
        )
        return (1.0 - DEFAULT_BACKGROUND, *(share for _ in answers[1:]))
    return (1.0 - total, *chances.values())


def _question(entry: Entry, names: Names) -> Question:
    values = entry.values
    kind = _kind(values)
    choices = []
    for choice in values.values.get("choices", ()):
        what = f"{entry.id}: {choice.id}: sets"
        sets: dict[str, str] = {}
        for name, answer in choice.values.pairs("sets"):
            if names.known_in("observation", name, what, names.answers) and names.answer_ok(
                name.text, answer, what
            ):
                sets[name.text] = answer.text
        choices.append(Choice(choice.id, choice.values.text("text"), MappingProxyType(sets), choice.mark))
    if values.has("choices") and values.count("choices") < 2:
        names.sink.error(
            values.mark("choices"), "few-answers", f"{entry.id}: a question needs at least two choices"
        )
    return Question(
        id=entry.id,
        kind=kind,
        ask=values.text("ask"),
        choices=tuple(choices),
        several=values.flag("several"),
        need=_need(values, kind),
        minutes=values.number("minutes", DEFAULT_MINUTES.get(kind, 1.0)),
        how=values.text("how"),
        why=values.text("why"),
        instruments=_instruments(entry, names),
        applies=names.applies(values.conditions("applies"), f"{entry.id}: applies"),
        only_if=names.only_if(values.conditions("only_if"), f"{entry.id}: only_if"),
        symptom=values.flag("symptom"),
        sub_system=entry.sub_system,
        mark=entry.mark,
    )


def _shows(entry: Entry, names: Names) -> Mapping[str, Link]:
    links: dict[str, Link] = {}
    for name, strength in entry.values.pairs("shows"):
        what = f"{entry.id}: shows"
        if names.known_in("observation", name, what, names.answers):
            link = _link(entry, name, strength, names)
            if link is not None:
                links[name.text] = link
    return MappingProxyType(links)


def _link(entry: Entry, name: Name, strength: object, names: Names) -> Link | None:
    answers, sink = names.answers[name.text], names.sink
    what = f"{entry.id}: shows, {name.text}"
    if len(answers) < 2:
        return None
    pushes = dict.fromkeys(answers[1:], 0.0)
    if isinstance(strength, float):
        if len(answers) > 2:
            example = f"{{{answers[1]}: ...}}"
            sink.error(
                entry.values.mark("shows", name.text),
                "which-answer",
                f"{what}: to which of its answers? ({', '.join(answers[1:])})",
                f"write {name.text}: {example}",
            )
            return None
        pushes[answers[1]] = strength
    else:
        assert isinstance(strength, tuple)
        for answer, chance in strength:
            if not names.answer_ok(name.text, answer, what):
                continue
            if answer.text == answers[0]:
                sink.error(
                    answer.mark,
                    "link-to-healthy",
                    f'{what}: "{answer.text}" is the healthy answer; what is not said is healthy already',
                    "leave it out",
                )
                continue
            pushes[answer.text] = chance
    total = sum(pushes.values())
    if total > 1.0 + 1e-9:
        sink.error(name.mark, "sum-over-one", f"{what} adds up to {total:g}, over 1")
        return None
    return Link(name.text, (max(0.0, 1.0 - total), *pushes.values()), name.mark)


def _brought_on_by(entry: Entry, names: Names) -> Mapping[str, float]:
    result: dict[str, float] = {}
    known = [*names.causes, *names.states]
    for name, chance in entry.values.pairs("brought_on_by"):
        if names.known_in("cause or state", name, f"{entry.id}: brought_on_by", known):
            result[name.text] = chance
    return MappingProxyType(result)


def _state(entry: Entry, names: Names) -> State:
    values = entry.values
    title = values.text("title")
    return State(
        id=entry.id,
        title=title,
        brought_on_by=_brought_on_by(entry, names),
        shows=_shows(entry, names),
        accounts_for=values.text("accounts_for", title[:1].lower() + title[1:]),
        sub_system=entry.sub_system,
        mark=entry.mark,
    )


def _cause(entry: Entry, names: Names) -> Cause:
    values = entry.values
    group = values.name("group")
    return Cause(
        id=entry.id,
        title=values.text("title"),
        how_common=values.number("how_common", 0.01),
        hazard=Hazard(values.text("hazard", Hazard.NONE)),
        remedy=values.text("remedy"),
        minutes=values.number("minutes"),
        if_missed=values.number("if_missed"),
        shows=_shows(entry, names),
        remedy_how=values.text("remedy_how"),
        remedy_need=Need(values.text("remedy_need", Need.OPEN_DEAD)),
        touches_electrics=values.flag("touches_electrics"),
        parts=values.texts("parts"),
        part_costs=values.number("part_costs"),
        applies=names.applies(values.conditions("applies"), f"{entry.id}: applies"),
        brought_on_by=_brought_on_by(entry, names),
        proof=tuple(_known(values.names("proof"), "observation", names.answers, f"{entry.id}: proof", names)),
        takes=values.number("takes", 1.0),
        hand_to=values.text("hand_to"),
        advice=values.text("advice"),
        group=group.text if group is not None else "",
        after_our_work=values.flag("after_our_work"),
        sub_system=entry.sub_system,
        mark=entry.mark if entry.mark else NOWHERE,
    )
