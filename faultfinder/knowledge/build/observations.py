"""Observations and questions: what is asked, its answers and their background. See pack.py."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from faultfinder.knowledge.build.names import Names
from faultfinder.knowledge.build.readings import reading_spec
from faultfinder.knowledge.instructions.placing import placed
from faultfinder.knowledge.model import (
    Answer,
    Choice,
    Kind,
    Need,
    Observation,
    Probes,
    Question,
)
from faultfinder.knowledge.schema.keys import (
    DEFAULT_ACCESS,
    DEFAULT_BACKGROUND,
    DEFAULT_MINUTES,
)
from faultfinder.knowledge.schema.read import Entry, Values, told_inside
from faultfinder.knowledge.schema.strength_words import RELIABILITY


def _kind(values: Values) -> Kind:
    default = Kind.READING if values.has("bands") else Kind.LOOK
    return Kind(values.text("kind", default))


def _need(entry: Entry, kind: Kind, names: Names) -> Need:
    values = entry.values
    if any(values.node.get(key) is not None and not values.has(key) for key in ("kind", "access")):
        return Need.COVERS_ON  # what was written is told as a mistake, and the pack refused
    unsaid = kind not in (Kind.TOLD, Kind.READING) and not values.has("access")
    if unsaid and not told_inside(values.node, "access", entry.id, names.sink):
        names.sink.warning(
            entry.mark,
            "access-unsaid",
            f"{entry.id}: nothing says what access it asks for; it is taken as open_dead, the strictest",
            "add access: covers_on, in_use, isolated or open_dead",
        )
    return Need(values.text("access", DEFAULT_ACCESS.get(kind, Need.OPEN_DEAD)))


def _shared(entry: Entry, kind: Kind, names: Names) -> dict[str, Any]:
    """What observations and questions alike have."""
    values, what = entry.values, entry.id
    need = _need(entry, kind, names)
    return {
        "id": what,
        "kind": kind,
        "ask": values.text("ask"),
        "need": need,
        "how_steps": placed(values.steps("how"), need),
        "why": values.text("why"),
        "instruments": names.listed_under("needs", "instrument", entry),
        "applies": names.applies(values.conditions("applies"), f"{what}: applies"),
        "only_if": names.only_if(values.conditions("only_if"), f"{what}: only_if"),
        "in_vain_after": names.only_if(values.conditions("in_vain_after"), f"{what}: in_vain_after"),
        "symptom": values.flag("symptom"),
        "last_round": values.flag("last_round"),
        "sub_system": entry.sub_system,
        "mark": entry.mark,
    }


def _of_answers(entry: Entry, key: str, names: Names, not_healthy: str = "") -> Iterator[tuple[str, Any]]:
    """(answer, value) of what stands under a key for known answers. not_healthy: what the healthy one is not."""
    for name, value in entry.values.pairs(key):
        if names.answer_ok(entry.id, name, f"{entry.id}: {key}"):
            if not_healthy and name.text == names.answers[entry.id][0]:
                message = f'{entry.id}: the healthy answer "{name.text}" is no {not_healthy}'
                names.sink.error(name.mark, "healthy-danger", message)
            yield name.text, value


def observation(entry: Entry, names: Names, numbers: Mapping[str, bool]) -> Observation:
    values, what = entry.values, entry.id
    kind = _kind(values)
    probes = values.table("probes")

    def observations(key: str, not_healthy: str = "") -> Mapping[str, tuple[str, ...]]:
        """Answer -> observations."""
        pairs = _of_answers(entry, key, names, not_healthy)
        return MappingProxyType(
            {
                answer: names.listed("observation", tests, f"{what}: {key}, {answer}")
                for answer, tests in pairs
            }
        )

    if values.has("closes_with") and not values.flag("symptom"):
        message = f"{what}: no job begins with something that is not a symptom"
        hint = "say symptom: yes, or leave it out"
        names.sink.error(values.mark("closes_with"), "key-not-here", message, hint)
    return Observation(
        **_shared(entry, kind, names),
        answers=_answers(entry, kind, names),
        background=_background(entry, names),
        reliability=values.number("reliability", RELIABILITY[kind]),
        minutes=values.number("minutes", DEFAULT_MINUTES.get(kind, 5.0)),
        probes=Probes(probes.text("drawing"), probes.text("words")) if probes is not None else None,
        said=values.texts("said"),
        danger=MappingProxyType(dict(_of_answers(entry, "danger", names, "danger sign"))),
        unsafe=observations("unsafe", "hazard"),
        tried_by=names.listed_under("tried_by", "observation", entry),
        measure_first=observations("measure_first"),
        return_test=values.text("return_test"),
        closes_with=names.listed_under("closes_with", "observation", entry),
        computed_from=names.listed_under("computed_from", "observation", entry),
        reading=reading_spec(entry, kind, names, numbers),
    )


def _answers(entry: Entry, kind: Kind, names: Names) -> tuple[Answer, ...]:
    values, sink = entry.values, names.sink
    texts = {name.text: text for name, text in values.pairs("answers")}
    if kind is Kind.READING:
        for name, _ in values.pairs("answers"):
            names.known_in("band", name, f"{entry.id}: answers", names.answers[entry.id])
    elif values.node.get("answers") is None and values.node.get("bands") is None:
        if not told_inside(values.node, "answers", entry.id, sink):
            what = f'{entry.id}: the key "answers" is missing'
            sink.error(entry.mark, "missing-key", what, "healthy first; or answers: yes_no")
    elif values.has("answers") and values.count("answers") < 2:
        what = f"{entry.id}: answers needs the healthy one and at least one more"
        sink.error(values.mark("answers"), "few-answers", what)
    # Bands on what is no reading, and a reading without any, are told elsewhere; its links are read by what is there.
    pairs = values.pairs("bands") or values.pairs("answers")
    return tuple(
        Answer(name.text, texts.get(name.text, name.text.replace("_", " ").capitalize()), name.mark)
        for name, _ in pairs
    )


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


def question(entry: Entry, names: Names) -> Question:
    values, kind = entry.values, _kind(entry.values)
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
        **_shared(entry, kind, names),
        choices=tuple(choices),
        several=values.flag("several"),
        minutes=values.number("minutes", DEFAULT_MINUTES.get(kind, 1.0)),
    )
