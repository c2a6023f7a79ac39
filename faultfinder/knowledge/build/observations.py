"""Observations and questions: what is asked, its answers and their background. See pack.py."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from faultfinder.knowledge.build.fields import given_fields, told_missing
from faultfinder.knowledge.build.names import Names
from faultfinder.knowledge.build.readings import reading_spec
from faultfinder.knowledge.instructions.placing import placed
from faultfinder.knowledge.model import Answer, Choice, Kind, Need, Observation, Probes, Question
from faultfinder.knowledge.schema.keys import (
    DEFAULT_BACKGROUND,
    DEFAULT_MINUTES,
    OBSERVATION,
    QUESTION,
    Table,
)
from faultfinder.knowledge.schema.read import Entry, Values
from faultfinder.knowledge.schema.strength_words import RELIABILITY


def _kind(values: Values) -> Kind:
    return Kind(values.text("kind", Kind.READING if values.has("bands") else Kind.LOOK))


def _need(entry: Entry, kind: Kind, names: Names) -> Need:
    values = entry.values
    if any(values.node.get(key) is not None and not values.has(key) for key in ("kind", "access")):
        return Need.COVERS_ON  # what was written is told as a mistake, and the pack refused
    unsaid = kind not in (Kind.TOLD, Kind.READING) and not values.has("access")
    if unsaid and not values.told_inside("access", entry.id, names.sink):
        message = f"{entry.id}: nothing says what access it asks for; it is taken as open_dead, the strictest"
        hint = "add access: covers_on, in_use, isolated or open_dead"
        names.sink.warning(entry.mark, "access-unsaid", message, hint)
    return Need(values.text("access", Need.ANYWHERE if kind is Kind.TOLD else Need.OPEN_DEAD))


def _asked(entry: Entry, table: Table, item: type, minutes: float, names: Names) -> dict[str, Any]:
    """What observations and questions alike have."""
    kind = _kind(entry.values)
    need = _need(entry, kind, names)
    usual = {"ask": "", "minutes": DEFAULT_MINUTES.get(kind, minutes)}
    worked_out = {
        "kind": kind,
        "need": need,
        "how_steps": placed(entry.values.get("how", ()), need),
        "instruments": names.listed("instrument", entry.values.names("needs"), f"{entry.id}: needs"),
    }
    return {**usual, **given_fields(entry, table, item, names), **worked_out}


def _of_answers(entry: Entry, key: str, names: Names, not_healthy: str = "") -> Iterator[tuple[str, Any]]:
    """(answer, value) of what stands under a key for known answers. not_healthy: what the healthy one is not."""
    for name, value in entry.values.pairs(key):
        if names.has("answer", name, f"{entry.id}: {key}", entry.id):
            if not_healthy and names.is_healthy(name.text, entry.id):
                message = f'{entry.id}: the healthy answer "{name.text}" is no {not_healthy}'
                names.sink.error(name.mark, "healthy-danger", message)
            yield name.text, value


def observation(entry: Entry, names: Names, numbers: Mapping[str, bool]) -> Observation:
    values, what = entry.values, entry.id
    kind = _kind(values)
    probes = values.get("probes", None)

    def observations(key: str, not_healthy: str = "") -> Mapping[str, tuple[str, ...]]:
        """Answer -> observations."""
        pairs = _of_answers(entry, key, names, not_healthy)
        listed = {each: names.listed("observation", tests, f"{what}: {key}, {each}") for each, tests in pairs}
        return MappingProxyType(listed)

    if values.has("closes_with") and not values.get("symptom", False):
        message = f"{what}: no job begins with something that is not a symptom"
        hint = "say symptom: yes, or leave it out"
        names.sink.error(values.mark("closes_with"), "key-not-here", message, hint)
    worked_out = {
        "answers": _answers(entry, kind, names),
        "background": _background(entry, names),
        "probes": Probes(probes.text("drawing"), probes.text("words")) if probes is not None else None,
        "danger": MappingProxyType(dict(_of_answers(entry, "danger", names, "danger sign"))),
        "unsafe": observations("unsafe", "hazard"),
        "measure_first": observations("measure_first"),
        "reading": reading_spec(entry, kind, names, numbers),
    }
    asked = {"reliability": RELIABILITY[kind], **_asked(entry, OBSERVATION, Observation, 5.0, names)}
    return Observation(**{**asked, **worked_out})


def _answers(entry: Entry, kind: Kind, names: Names) -> tuple[Answer, ...]:
    values = entry.values
    texts = {name.text: text for name, text in values.pairs("answers")}
    if kind is Kind.READING:
        for name, _ in values.pairs("answers"):
            if name.text not in names.answers[entry.id]:
                names.unknown("band", name, f"{entry.id}: answers", names.answers[entry.id])
    elif values.node.get("bands") is None:
        told_missing(entry, ("answers",), "healthy first; or answers: yes_no", names)
    if kind is not Kind.READING and values.has("answers") and values.count("answers") < 2:
        message = f"{entry.id}: answers needs the healthy one and at least one more"
        names.sink.error(values.mark("answers"), "few-answers", message)
    # Bands on what is no reading, and a reading without any, are told elsewhere; its links are read by what is there.
    pairs = values.pairs("bands") or values.pairs("answers")
    return tuple(
        Answer(name.text, texts.get(name.text, name.text.replace("_", " ").capitalize()), name.mark)
        for name, _ in pairs
    )


def _background(entry: Entry, names: Names) -> tuple[float, ...]:
    answers, what = names.answers[entry.id], f"{entry.id}: background"
    if not answers:
        return (1.0,)
    usual = dict.fromkeys(answers[1:], DEFAULT_BACKGROUND / max(1, len(answers) - 1))
    chances = dict(usual)
    for name, chance in entry.values.pairs("background"):
        known = names.has("answer", name, what, entry.id)
        if known and names.is_healthy(name.text, entry.id):
            message = f'{what}: "{name.text}" is the healthy answer; it gets what the others leave'
            names.sink.error(name.mark, "link-to-healthy", message)
        elif known and name.text in chances:
            chances[name.text] = chance
    if (total := sum(chances.values())) >= 1.0:
        message = f"{what} adds up to {total:g}; it must stay under 1"
        names.sink.error(entry.values.mark("background"), "sum-over-one", message)
        return (1.0 - DEFAULT_BACKGROUND, *usual.values())
    return (1.0 - total, *chances.values())


def question(entry: Entry, names: Names) -> Question:
    values = entry.values
    choices = []
    entries: tuple[Entry, ...] = values.get("choices", ())
    for choice in entries:
        what = f"{entry.id}: {choice.id}: sets"
        sets = {
            name.text: answer.text
            for name, answer in choice.values.pairs("sets")
            if names.has("observation", name, what) and names.has("answer", answer, what, name.text)
        }
        choices.append(Choice(choice.id, choice.values.text("text"), MappingProxyType(sets), choice.mark))
    if values.has("choices") and values.count("choices") < 2:
        message = f"{entry.id}: a question needs at least two choices"
        names.sink.error(values.mark("choices"), "few-answers", message)
    asked = {"several": False, **_asked(entry, QUESTION, Question, 1.0, names)}
    return Question(**{**asked, "choices": tuple(choices)})
