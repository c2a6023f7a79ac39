"""Causes and states with their links: what brings them on and what they show. See pack.py."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.knowledge.build.names import Names
from faultfinder.knowledge.instructions.placing import placed
from faultfinder.knowledge.model import (
    Cause,
    Hazard,
    Link,
    Need,
    State,
)
from faultfinder.knowledge.schema.read import Entry, Values
from faultfinder.knowledge.schema.strength_words import TAKES
from faultfinder.knowledge.schema.value_types import Name


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
                    f"leave it out; if it is the trouble, turn the answers of {name.text} round: healthy first",
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


def state(entry: Entry, names: Names) -> State:
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


def _usual_takes(values: Values) -> float:
    """The chance that a remedy of its kind works."""
    if values.has("hand_to") or values.text("remedy_need") == Need.ANYWHERE:
        return TAKES["others"][0]
    return TAKES["part" if values.texts("parts") else "work"][0]


def cause(entry: Entry, names: Names) -> Cause:
    values = entry.values
    group = values.name("group")
    remedy_need = Need(values.text("remedy_need", Need.OPEN_DEAD))
    if values.number("returns") and not values.has("brought_on_by"):
        names.sink.error(
            values.mark("returns"),
            "key-not-here",
            f"{entry.id}: nothing brings it on, so nothing brings it back",
            "say what does, in brought_on_by",
        )
    return Cause(
        id=entry.id,
        title=values.text("title"),
        how_common=values.number("how_common", 0.01),
        hazard=Hazard(values.text("hazard", Hazard.NONE)),
        remedy=values.text("remedy"),
        minutes=values.number("minutes"),
        if_missed=values.number("if_missed"),
        shows=_shows(entry, names),
        remedy_steps=placed(values.steps("remedy_how"), remedy_need),
        remedy_need=remedy_need,
        touches_electrics=values.flag("touches_electrics"),
        parts=values.texts("parts"),
        part_costs=values.number("part_costs"),
        applies=names.applies(values.conditions("applies"), f"{entry.id}: applies"),
        brought_on_by=_brought_on_by(entry, names),
        proof=names.listed_under("proof", "observation", entry),
        takes=values.number("takes", _usual_takes(values)),
        also_mends=names.listed_under("also_mends", "cause", entry),
        returns=values.number("returns"),
        hand_to=values.text("hand_to"),
        advice=values.text("advice"),
        look_again=values.number("look_again"),
        group=group.text if group is not None else "",
        after_our_work=values.flag("after_our_work"),
        then_run=placed(values.steps("then_run"), Need.IN_USE),
        sub_system=entry.sub_system,
        mark=entry.mark,
    )
