"""Danger signs in words that no prompt asks for, beside the urgent ones that are heard before everything else.

What makes a machine unfit to be used ('plug is melted', 'keeps blowing the fuse') is an answer at many prompts, so
it is heard only in what no prompt understands, and asked back. A sign that is denied beside an answer ('strong, no
smell of gas') says nothing more of what is asked. Lists chosen by us, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from faultfinder.dialogue.hearing.free_text import NEGATING, words_of
from faultfinder.safety.urgent import heard

_SUPPLY = r"(?:plug|socket|outlet|flex|cable|cord|mains lead|lead|casing)"
_SIGNS: tuple[tuple[str, str], ...] = (
    ("refrigerant_signs", r"hiss(?:es|ing)?|oily (?:patch|stuff|mess|puddle|spot)"),
    (
        "scorching",
        rf"(?=.*\b{_SUPPLY}s?\b).*"
        r"\b(?:scorch\w*|melt\w*|burnt|charred|brown\w*(?! (?:wire|core|lead))|blackened|singed)",
    ),
    (
        "supply_parts_damaged",
        rf"(?=.*\b{_SUPPLY}s?\b).*"
        r"\b(?:cut(?! (?:the |off|out|power))|damaged|cracked|frayed|broken|split|chewed|crushed|nicked|bare|exposed)"
        r"|"
        r"(?:bare|exposed) (?:wires?|copper|cores?)",
    ),
    (
        "repeated_tripping",
        r"keeps? (?:on )?(?:tripping|blowing)|(?:trip|blow)\w*\b.* (?:every|each|all the) time|"
        r"(?:trip|blow)\w* again",
    ),
)
_PATTERNS = {sign: re.compile(rf"\b(?:{words})\b", re.IGNORECASE) for sign, words in _SIGNS}
_CLAUSE = re.compile(r"\s*[,.;:!]+\s+|\s+(?:but|and|though|just)\s+|\s+(?=no\s)", re.IGNORECASE)


def unasked_signs(line: str, asked: Iterable[str]) -> tuple[str, ...]:
    """The signs of a machine unfit for use that a line seems to tell of; that of a refrigerant only where it is
    `asked` for. A clause that denies says none."""
    clauses = [part for part in _CLAUSE.split(line) if NEGATING.isdisjoint(words_of(part))]
    there = {sign for sign in _PATTERNS if sign != "refrigerant_signs"} | set(asked)
    return tuple(
        sign
        for sign, pattern in _PATTERNS.items()
        if sign in there and any(pattern.search(part) for part in clauses)
    )


def without_denied(line: str) -> str:
    """A line without the clauses that only deny a danger sign, where it says something else as well."""
    parts = [part for part in _CLAUSE.split(line) if part.strip()]
    left = [part for part in parts if not _denies(part)]
    return ", ".join(left) if left and len(left) < len(parts) else line


def _denies(clause: str) -> bool:
    first, *rest = words_of(clause) or [""]
    return first in NEGATING and bool(heard(" ".join(rest))) and not heard(clause)
