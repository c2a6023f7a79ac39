"""A fact as it is typed by name: 'total watts 2400', 'volts=240', 'class: class_i'."""

from __future__ import annotations

import re
from collections.abc import Mapping

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.model import Fact
from faultfinder.reasoning.evidence.facts import read_fact

_LONGEST_NAME = 8
"""Words in the name of a fact; chosen."""


def fact_and_value(facts: Mapping[str, Fact], piece: str) -> tuple[str, str] | None:
    """Which fact a typed 'name value' means; the name by the beginnings of its words, and where that fits several,
    by which of them could have the value ('high 1500 W' are no ohms). None: no one fact fits."""
    tokens = piece.replace("=", " ").replace(":", " ").split()
    for size in range(min(len(tokens) - 1, _LONGEST_NAME), 0, -1):
        name = [word for token in tokens[:size] for word in re.findall(r"[^\W_]+", token.casefold())]
        fits = [fact for fact in facts if name and _name_fits(fact, name)]
        exact = [fact for fact in fits if fact.split("_") == name]
        value = " ".join(tokens[size:])
        fits = exact or fits
        if len(fits) > 1:
            fits = [fact for fact in fits if could_be(facts[fact], value)]
        if len(fits) == 1:
            return fits[0], value
    return None


def could_be(fact: Fact, value: str) -> bool:
    """Whether the fact could have this value."""
    try:
        read_fact(fact, value)
    except FaultFinderError:
        return False
    return True


def _name_fits(fact: str, name: list[str]) -> bool:
    own = fact.split("_")
    return all(any(word.startswith(part) for word in own) for part in name)
