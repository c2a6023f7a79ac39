"""The customer's own words against the symptoms that the pack lists: a suggestion, never evidence.

Each symptom names words that customers use for it. A phrase counts when all its words of weight are in what was
said, one slip of spelling a word allowed.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable

from faultfinder.knowledge.model import Observation

EMPTY = frozenset(
    "a an and are as at be but by for from has have i in is it its my no not of on or our so that the there "
    "this to too was we when with".split()
)
"""Words that carry no weight in a phrase."""
CLOSE = 0.8
"""Likeness (difflib ratio) from which two words count as the same, slips included; chosen."""


def words_of(text: str) -> list[str]:
    """The words of a text in lower case."""
    return re.findall(r"[^\W_]+", text.casefold())


def same(one: str, other: str) -> bool:
    """Whether two words are the same but for a slip or an ending."""
    if one == other:
        return True
    if min(len(one), len(other)) < 4:
        return False
    return (
        one.startswith(other)
        or other.startswith(one)
        or difflib.SequenceMatcher(None, one, other).ratio() >= CLOSE
    )


def phrase_fits(phrase: str, said: list[str]) -> bool:
    """Whether every word of weight of the phrase is among the words said."""
    wanted = [word for word in words_of(phrase) if word not in EMPTY] or words_of(phrase)
    return bool(wanted) and all(any(same(word, other) for other in said) for word in wanted)


def matched(symptoms: Iterable[Observation], text: str) -> list[str]:
    """Ids of the symptoms that the text seems to speak of, the one with most fitting words first."""
    said = words_of(text)
    found: list[tuple[int, str]] = []
    for symptom in symptoms:
        fits = [phrase for phrase in symptom.said if phrase_fits(phrase, said)]
        if fits:
            found.append((max(len(words_of(phrase)) for phrase in fits), symptom.id))
    return [name for _, name in sorted(found, key=lambda pair: -pair[0])]
