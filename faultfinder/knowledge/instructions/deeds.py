"""What the words of a text do, whatever its author calls it: running, feeding, opening, measuring, getting round.

Each deed has the acts whose wording it may be and the accesses in which it may stand; one that has none is never
right. Plain patterns (words.yaml), sentence by sentence (see unsafe_text.py), erring on the side of refusing: an
author can say it otherwise, a reader can be hurt. What no pattern knows is still bound by its act (acts.py), which
the gate looks at.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from faultfinder.knowledge.instructions.acts import ACTS, acts_of
from faultfinder.knowledge.instructions.unsafe_text import (
    KEPT,
    denied,
    open_and_running,
    opening,
    probing,
    probing_inside,
    probing_running,
    sentences,
)
from faultfinder.knowledge.instructions.words import DEED_ROWS, NEVER_ROWS, SAYS, in_small_letters
from faultfinder.knowledge.model import Need

_TELLING = frozenset({"ask", "note"})
"""Acts that speak of what others do at another time; an access says nothing of them."""


@dataclass(frozen=True, slots=True)
class Deed:
    """says: what the sentence does, as a message says it. acts, needs: where it is right; never where empty."""

    says: str
    acts: frozenset[str] = frozenset()
    needs: frozenset[Need] = frozenset()
    pattern: re.Pattern[str] = re.compile("(?!)")
    """For a sentence in small letters; what was found otherwise has one that finds nothing."""
    unless: re.Pattern[str] | None = None
    """Words of the same sentence with which it is something else."""
    told: bool = False
    """Whether people may be told of it for another time, whatever the access (`ask`, `note`)."""

    @property
    def never(self) -> bool:
        return not self.acts

    def places(self, sentence: str) -> Iterator[int]:
        """Where a sentence in small letters does it."""
        if self.unless is None or not self.unless.search(sentence):
            yield from (found.start() for found in self.pattern.finditer(sentence))


def _deed(row: Mapping[str, str]) -> Deed:
    """A row of words.yaml. Raises KeyError or ValueError for an act or access that there is not."""
    acts, needs = row.get("acts", ""), row.get("needs", "")
    named = frozenset(acts.removeprefix("all but ").removeprefix("all").split())
    if not named <= ACTS.keys():
        raise KeyError(f"{row['says']}: {acts}")
    unless = row.get("unless")
    return Deed(
        row["says"],
        frozenset(ACTS) - named if acts.startswith("all") else named,
        frozenset(Need if needs == "all" else map(Need, needs.split())),
        in_small_letters(row["pattern"]),
        in_small_letters(unless) if unless else None,
        row.get("told") == "yes",
    )


NEVER: tuple[Deed, ...] = tuple(map(_deed, NEVER_ROWS))
"""Deeds that are never right, under whatever act. The first one is so only where a protective device is spoken of."""
DEEDS: tuple[Deed, ...] = tuple(map(_deed, DEED_ROWS))
"""Deeds that are right under some acts and in some accesses."""

_METER_ON = "puts a meter on electrical parts"
BEHIND_A_COVER = "works on a part behind a cover"
_WORK_ON_PARTS = frozenset("part_off part_on mend clean vacuum lead_off lead_on turn measure_dead".split())
_DONE_BEFORE = re.compile(r"\bbefore\b[^.;,]*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Found:
    """A sentence and what it does."""

    sentence: str
    deed: Deed


def never_right(text: str, subject: str = "") -> Found | None:
    """The first sentence that does what is never right, or None. subject: all that the item says."""
    for sentence in sentences(text):
        for found in _done_in(sentence, never=True):
            if found.deed is not NEVER[0] or _about_a_device(sentence, subject):
                return found
    return None


@lru_cache(maxsize=2 * KEPT)
def _done_in(sentence: str, *, never: bool) -> tuple[Found, ...]:
    """What a sentence does: of the deeds that are never right, or of the others."""
    small = sentence.casefold()

    def said(at: int) -> bool:
        return not denied(small, at) and (never or not _DONE_BEFORE.search(small[:at]))

    return tuple(
        Found(sentence, deed)
        for deed in (NEVER if never else DEEDS)
        if deed.pattern.search(small) and any(map(said, deed.places(small)))
    )


def _about_a_device(sentence: str, subject: str) -> bool:
    if SAYS["device"].search(sentence) and "earth" not in sentence.lower():
        return True
    return SAYS["device"].search(subject) is not None and SAYS["joins_two"].search(sentence) is not None


def against_act(text: str, act: str, need: Need) -> Found | None:
    """The first sentence whose words do what a step of this act, in this access, must not do; or None."""
    for found in deeds_in(text):
        if act not in found.deed.acts:
            return found
        if need not in found.deed.needs and not (act in _TELLING and _is_told(found, need)):
            return found
    if need is not Need.OPEN_DEAD and act not in _TELLING:
        return _against_access(text, act, need)
    return None


def against_need(text: str, need: Need) -> Found | None:
    """The first sentence that does what no step shown with this access may do, whatever its act; or None."""
    here = acts_of(need)
    for found in deeds_in(text):
        right = need in found.deed.needs and not found.deed.acts.isdisjoint(here)
        if not right and not _is_told(found, need):
            return found
    if need in (Need.OPEN_DEAD, Need.ANYWHERE):
        return None
    metered = any(found.deed.says == _METER_ON for found in deeds_in(text))
    return _against_access(text, "measure_dead" if metered else "handle", need)


def _is_told(found: Found, need: Need) -> bool:
    """Whether a sentence speaks of it for another time: people are told of it, or it is written down."""
    if not found.deed.told or need in (Need.ISOLATED, Need.OPEN_DEAD):
        return False
    return SAYS["tells"].search(found.sentence) is not None


def _against_access(text: str, act: str, need: Need) -> Found | None:
    """What belongs behind a cover, in a step that is shown with the covers on."""
    for says, sentence in (
        ("takes off a cover", opening(text)),
        ("puts probes on electrical parts", probing(text) if need is not Need.ISOLATED else None),
        (
            "measures inside the machine",
            probing_running(text) if act == "measure_running" else probing_inside(text),
        ),
    ):
        if sentence is not None:
            return _for_an_open_machine(sentence, says)
    inside = SAYS["inside_word" if act in _WORK_ON_PARTS else "changes"]
    for sentence in sentences(text):
        found = inside.search(sentence)
        if found is not None and not denied(sentence, found.start()):
            return _for_an_open_machine(sentence, BEHIND_A_COVER)
    return None


def _for_an_open_machine(sentence: str, says: str) -> Found:
    return Found(sentence, Deed(says, frozenset(ACTS), frozenset({Need.OPEN_DEAD})))


def deeds_in(text: str) -> Iterator[Found]:
    """Everything that a text does, sentence by sentence, as far as its words are known."""
    for sentence in sentences(text):
        yield from _done_in(sentence, never=False)
    sentence_open = open_and_running(text)
    if sentence_open is not None:
        yield Found(sentence_open, Deed("works on an open, live machine"))
