"""The single statements of strength in a pack, one by one: what coverage counts and what a trial takes out.

A *tie* says either that a cause or state pushes an observation to an answer, or that it brings another cause or
state on.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from faultfinder.knowledge.model import Cause, Mark, Pack, State


@dataclass(frozen=True, slots=True, order=True)
class Tie:
    """source: a cause or state. target: the observation, or what is brought on; then `answer` is empty."""

    source: str
    target: str
    answer: str = ""

    @property
    def brings_on(self) -> bool:
        return not self.answer

    def __str__(self) -> str:
        if self.brings_on:
            return f"{self.source} brings on {self.target}"
        return f"{self.source} shows {self.target}: {self.answer}"


def strengths(pack: Pack) -> dict[Tie, float]:
    """Every tie of the pack with its strength, 0..1, in the order of the files."""
    found: dict[Tie, float] = {}
    items: dict[str, Cause | State] = {**pack.causes, **pack.states}
    for name, item in items.items():
        for bringer, chance in item.brought_on_by.items():
            found[Tie(bringer, name)] = chance
        for target, link in item.shows.items():
            answers = pack.observations[target].answers
            for answer, push in zip(answers[1:], link.pushes[1:], strict=True):
                if push > 0.0:
                    found[Tie(name, target, answer.id)] = push
    return found


def place(pack: Pack, tie: Tie) -> Mark:
    """Where the tie stands in the files; for what is brought on, where the item that is stands."""
    if tie.brings_on:
        return _item(pack, tie.target).mark
    return _item(pack, tie.source).shows[tie.target].mark


def without(pack: Pack, tie: Tie) -> Pack:
    """The pack as it would be without that one statement. The pack itself stays as it is."""
    owner = _item(pack, tie.target if tie.brings_on else tie.source)
    changes: dict[str, Any]
    if tie.brings_on:
        rest = {name: chance for name, chance in owner.brought_on_by.items() if name != tie.source}
        changes = {"brought_on_by": MappingProxyType(rest)}
    else:
        link = owner.shows[tie.target]
        index = pack.observations[tie.target].index(tie.answer)
        pushes = list(link.pushes)
        pushes[0] += pushes[index]
        pushes[index] = 0.0
        shows = {**owner.shows, tie.target: replace(link, pushes=tuple(pushes))}
        changes = {"shows": MappingProxyType(shows)}
    part = "causes" if owner.id in pack.causes else "states"
    items = {**getattr(pack, part), owner.id: replace(owner, **changes)}
    parts: dict[str, Any] = {part: MappingProxyType(items)}
    return replace(pack, **parts)


def _item(pack: Pack, name: str) -> Cause | State:
    return pack.causes[name] if name in pack.causes else pack.states[name]
