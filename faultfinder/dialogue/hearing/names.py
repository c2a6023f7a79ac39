"""Typed words against names: by the beginnings of their words, with slips of the finger, with a value behind them.

'total watts 2400', 'volts=240', 'class: class_i' are facts; 'curent hgih 7.4' is put right to 'current high 7.4',
to be offered and never applied by itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from difflib import get_close_matches

from faultfinder.errors import BadAnswer, FaultFinderError
from faultfinder.knowledge.model import Fact, Observation
from faultfinder.reasoning.evidence.answers import understand
from faultfinder.reasoning.evidence.facts import read_fact

_LONGEST_NAME = 8
"""Words in the name of a fact; chosen."""
_LEAST = 4
"""Letters that a word has at the least to be put right; chosen: shorter ones are near to everything."""
_CUTOFF = 0.72
"""Chosen: one slip in four letters and up."""


def plain_words(text: str) -> list[str]:
    """The words and figures of a text or a name in small letters."""
    return re.findall(r"[^\W_]+", text.casefold())


def begins(typed: Iterable[str], own: Iterable[str]) -> bool:
    """Whether each typed word begins one of a name's own words."""
    words = list(own)
    return all(any(word.startswith(part) for word in words) for part in typed)


def named(names: Iterable[str], typed: list[str]) -> list[str]:
    """The names whose words the typed ones begin; the one of just these words alone, where there is one."""
    fits = [name for name in names if typed and begins(typed, name.split("_"))]
    return [name for name in fits if name.split("_") == typed] or fits


def asks_if(item: Observation) -> bool:
    """Whether it is asked if something is so: its answers are yes and no."""
    return {answer.id for answer in item.answers} == {"yes", "no"}


def quantity_of(item: Observation | None) -> str:
    """What is measured; empty for what is only looked at."""
    return item.reading.quantity if item is not None and item.reading is not None else ""


def is_over(text: str) -> bool:
    """Whether a reading is OL, however it is written."""
    return re.fullmatch(r"o\.?l\.?", text, re.IGNORECASE) is not None


def why_not(item: Observation, answer: str) -> str:
    """Why an answer does not fit an observation; empty where it does."""
    try:
        understand(item, answer, 0)
    except BadAnswer as problem:
        return str(problem)
    return ""


def could_be(fact: Fact, value: str) -> bool:
    """Whether the fact could have this value."""
    try:
        read_fact(fact, value)
    except FaultFinderError:
        return False
    return True


def fact_and_value(facts: Mapping[str, Fact], piece: str) -> tuple[str, str] | None:
    """Which fact a typed 'name value' means; where its name fits several, by which of them could have the value
    ('high 1500 W' are no ohms). None: no one fact fits."""
    tokens = piece.replace("=", " ").replace(":", " ").split()
    for size in range(min(len(tokens) - 1, _LONGEST_NAME), 0, -1):
        value = " ".join(tokens[size:])
        fits = named(facts, plain_words(" ".join(tokens[:size])))
        if len(fits) > 1:
            fits = [fact for fact in fits if could_be(facts[fact], value)]
        if len(fits) == 1:
            return fits[0], value
    return None


def respelled(piece: str, words: Iterable[str]) -> str:
    """The piece with its misspelt words replaced by the nearest of these; empty where one is near to none, or nothing
    is misspelt."""
    known = sorted(set(words))
    long = [each for each in known if len(each) >= _LEAST]
    tokens = piece.split()
    for place, token in enumerate(tokens):
        word = token.casefold()
        if len(word) >= _LEAST and word.isalpha() and not any(each.startswith(word) for each in known):
            near = get_close_matches(word, long, n=1, cutoff=_CUTOFF)
            if not near:
                return ""
            tokens[place] = near[0]
    return " ".join(tokens) if tokens != piece.split() else ""
