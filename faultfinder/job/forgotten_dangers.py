"""What a record holds of danger that the rules of today do not know any more: it stands until somebody says by name
what was done about it.

A pack may rename an observation or a cause, and it may drop what an answer meant. So each answer is written down with
what it meant for safety when it was given (`marked` in `job/state.py`), and that is held against the rules that fold
it (`forgotten`).
No electrical test can settle it: it may have been anything.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from faultfinder.errors import BadAnswer, UnknownName
from faultfinder.job.events import REMOVED, DealtWith
from faultfinder.knowledge.model import Observation
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.text.catalogue import say

UNSAFE = "unsafe"
"""What an answer meant that was a hazard in itself; every other word is a danger sign."""
LEAST_WORDS = 2
"""Words that tell what was done: a bare yes tells nothing. Chosen."""


@dataclass(frozen=True, slots=True)
class Lost:
    """One thing that is not known any more: its name in the record, and what stands there, for people."""

    name: str
    told: str


def meant(items: Iterable[tuple[Observation, Iterable[str]]]) -> tuple[str, ...]:
    """What answers mean for safety by the rules of now: danger signs, and UNSAFE; in no order but the alphabet's."""
    found = set()
    for item, answers in items:
        for answer in answers:
            found |= {item.danger[answer]} if answer in item.danger else set()
            found |= {UNSAFE} if answer in item.unsafe else set()
    return tuple(sorted(found))


def without(lost: tuple[Lost, ...], name: str) -> tuple[Lost, ...]:
    return tuple(each for each in lost if each.name != name)


def dealt_with(lost: tuple[Lost, ...], event: DealtWith) -> tuple[Lost, ...]:
    """What is left of it. Raises UnknownName for a name that nothing lost has, BadAnswer where what was done is not
    told."""
    names = [each.name for each in lost]
    if event.name not in names:
        hint = did_you_mean(event.name[:80], names)
        told = say("forgotten_dangers_nothing_name_dealt_with", name=event.name[:40], hint=hint)
        raise UnknownName(told.strip("; "))
    if event.done != REMOVED and len(event.done.split()) < LEAST_WORDS:
        raise BadAnswer(say("forgotten_dangers_say_in_words_what"))
    return without(lost, event.name)


def titles(lost: Iterable[Lost]) -> list[str]:
    """As a person reads it, with what deals with it."""
    return [say("forgotten_dangers_type_dealt_with_what", told=each.told, name=each.name) for each in lost]
