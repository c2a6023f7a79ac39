"""What somebody says of a remedy that they carried out: which parts it took, and the minutes it really took.

'done' takes the parts that the rules propose; 'cleaned, no part' none; 'replaced the belt, 40 min' that one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from faultfinder.dialogue.hearing.free_text import is_question
from faultfinder.dialogue.hearing.names import plain_words
from faultfinder.knowledge.model import Cause

FITTED = ("replaced", "changed", "renewed", "swapped", "fitted", "exchanged")
"""Words for a remedy that took a part."""
WITHOUT = (
    "cleaned",
    "cleared",
    "straightened",
    "tightened",
    "unblocked",
    "adjusted",
    "brushed",
    "emptied",
    *("hoovered", "vacuumed", "washed", "wiped"),
)
"""Words for one that took none."""
DONE = ("done", "fixed", "mended", "repaired", "yes", "y", "ok", "finished", "sorted")
"""Words for either."""
PUT = "put"
"""A word for a remedy that took a part, where a new one is named: 'put a new seal on'."""
_BESIDE = frozenset(
    "it the a an new now all and with took in on one about is was i ive we have just ve yep yeah s its out up lot "
    "whole thing mate boss them everything".split()
)
_CLEAN = frozenset({"clean", "clear"})
_NO_PART = re.compile(
    r"\b(?:no|without(?: an?)?) (?:parts?|spares?)(?: used| needed)?\b|\bnothing (?:fitted|replaced)\b"
)
_MINUTES = re.compile(r"\b([0-9]{1,3}(?:\.[0-9]+)?) ?(min|mins|minutes?|h|hrs?|hours?)\b")


@dataclass(frozen=True, slots=True)
class WorkTold:
    """parts: those used, as the rules call them. minutes: really taken; 0 where nobody said."""

    parts: tuple[str, ...]
    minutes: float = 0.0


def work_told(cause: Cause, line: str) -> WorkTold | None:
    """What a line says of this remedy as one that is done; None where it does not say so, or says it of something
    else."""
    if is_question(line):
        return None
    plain = " ".join(line.casefold().split()).strip(" .!")
    minutes = 0.0
    if found := _MINUTES.search(plain):
        minutes = float(found.group(1)) * (60.0 if found.group(2).startswith("h") else 1.0)
        plain = f"{plain[: found.start()]} {plain[found.end() :]}"
    none = _NO_PART.search(plain)
    if none:
        plain = f"{plain[: none.start()]} {plain[none.end() :]}"
    words = plain_words(plain)
    if _CLEAN & set(words) and set(words) <= _CLEAN | _BESIDE and not cause.parts:
        return WorkTold((), minutes)  # 'its all clean now'
    own = plain_words(f"{cause.id} {cause.title} {cause.remedy} {' '.join(cause.parts)}")
    known, new = (*FITTED, *WITHOUT, *DONE), "new" in words
    verbs = [
        word
        for word in words
        if word in known or (word.endswith("ed") and _is_in(word, own)) or (new and word == PUT)
    ]
    rest = [word for word in words if word not in verbs and word not in _BESIDE]
    # 'replaced heater', and 'new heater fitted' as well.
    first = next((word for word in words if word not in _BESIDE), "")
    told = bool(words) and (first in verbs or words[-1] in known)
    if not told or not all(_is_in(word, own) for word in rest):
        return None
    if none or not (new or any(verb in (*FITTED, *DONE) for verb in verbs)):
        return WorkTold((), minutes)
    named = [part for part in cause.parts if all(_is_in(word, part.casefold().split()) for word in rest)]
    return WorkTold(tuple(named[:1]) if rest and named else cause.parts, minutes)


def line_of_work(cause: Cause, parts: tuple[str, ...], minutes: float) -> str:
    """The line that says of a remedy that it was done like this."""
    took = f", {minutes:g} min" if minutes else ""
    if parts == cause.parts:
        return f"done{took}"
    return f"replaced {parts[0]}{took}" if parts else f"done, no part{took}"


def _is_in(word: str, own: list[str]) -> bool:
    return any(_stem(word) == _stem(each) for each in own)


def _stem(word: str) -> str:
    return re.sub(r"(ened|ed|en|ing|es|s|e)$", "", word)
