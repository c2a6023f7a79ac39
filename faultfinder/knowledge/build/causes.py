"""Causes and states with their links: what brings them on and what they show. See pack.py."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from faultfinder.knowledge.build.fields import given_fields
from faultfinder.knowledge.build.names import Names
from faultfinder.knowledge.instructions.placing import placed
from faultfinder.knowledge.model import Cause, Hazard, Link, Need, State
from faultfinder.knowledge.schema.keys import CAUSE, STATE
from faultfinder.knowledge.schema.read import Entry, Values
from faultfinder.knowledge.schema.strength_words import TAKES
from faultfinder.knowledge.schema.value_types import Name


def _link(entry: Entry, name: Name, strength: object, names: Names) -> Link | None:
    answers, sink = names.answers[name.text], names.sink
    what = f"{entry.id}: shows, {name.text}"
    if len(answers) < 2:
        return None
    pushes = dict.fromkeys(answers[1:], 0.0)
    if isinstance(strength, float):
        if len(answers) > 2:
            message = f"{what}: to which of its answers? ({', '.join(answers[1:])})"
            hint = f"write {name.text}: {{{answers[1]}: ...}}"
            sink.error(entry.values.mark("shows", name.text), "which-answer", message, hint)
            return None
        strength = ((Name(answers[1], name.mark), strength),)
    assert isinstance(strength, tuple)
    for answer, chance in strength:
        known = names.has("answer", answer, what, name.text)
        if known and names.is_healthy(answer.text, name.text):
            message = f'{what}: "{answer.text}" is the healthy answer; what is not said is healthy already'
            hint = f"leave it out; if it is the trouble, turn the answers of {name.text} round: healthy first"
            sink.error(answer.mark, "link-to-healthy", message, hint)
        elif known and answer.text in pushes:
            pushes[answer.text] = chance
    total = sum(pushes.values())
    if total > 1.0 + 1e-9:
        sink.error(name.mark, "sum-over-one", f"{what} adds up to {total:g}, over 1")
        return None
    return Link(name.text, (max(0.0, 1.0 - total), *pushes.values()), name.mark)


def _ties(entry: Entry, names: Names) -> Mapping[str, Any]:
    """What causes and states alike have: what brings them on, and what they show."""
    shows: dict[str, Link] = {}
    for name, strength in entry.values.pairs("shows"):
        if names.has("observation", name, f"{entry.id}: shows"):
            link = _link(entry, name, strength, names)
            if link is not None:
                shows[name.text] = link
    what = f"{entry.id}: brought_on_by"
    bringers = entry.values.pairs("brought_on_by")
    brought_on_by = {
        name.text: chance for name, chance in bringers if names.has("cause or state", name, what)
    }
    return {"shows": MappingProxyType(shows), "brought_on_by": MappingProxyType(brought_on_by)}


def state(entry: Entry, names: Names) -> State:
    title = entry.values.text("title")
    usual = {"title": title, "accounts_for": title[:1].lower() + title[1:]}
    return State(**{**usual, **given_fields(entry, STATE, State, names), **_ties(entry, names)})


def _usual_takes(values: Values) -> float:
    """The chance that a remedy of its kind works."""
    if values.has("hand_to") or values.text("remedy_need") == Need.ANYWHERE:
        return TAKES["others"][0]
    return TAKES["part" if values.get("parts", ()) else "work"][0]


_STAND_INS = {"title": "", "how_common": 0.01, "remedy": "", "minutes": 0.0, "if_missed": 0.0}
"""For required keys that are missing, which is told."""


def cause(entry: Entry, names: Names) -> Cause:
    values = entry.values
    need = Need(values.text("remedy_need", Need.OPEN_DEAD))
    alone = values.get("returns", 0.0) and not values.has("brought_on_by")
    if alone and not values.told_inside("brought_on_by", entry.id, names.sink):
        message = f"{entry.id}: nothing brings it on, so nothing brings it back"
        names.sink.error(values.mark("returns"), "key-not-here", message, "say what does, in brought_on_by")
    worked_out = {
        "hazard": Hazard(values.text("hazard", Hazard.NONE)),
        "remedy_need": need,
        "remedy_steps": placed(values.get("remedy_how", ()), need),
        "then_run": placed(values.get("then_run", ()), Need.IN_USE),
    }
    given = {"takes": _usual_takes(values), **given_fields(entry, CAUSE, Cause, names)}
    return Cause(**{**_STAND_INS, **given, **worked_out, **_ties(entry, names)})
