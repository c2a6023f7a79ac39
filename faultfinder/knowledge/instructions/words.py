"""The words that texts of a rule file are held against, from words.yaml beside this file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from faultfinder.knowledge.data import beside

_READ: Mapping[str, Any] = beside(__package__, "words")


def _whole(text: str) -> str:
    """A pattern on one line, the parts that it names put in."""
    joined = "".join(line.strip() for line in text.splitlines()).replace("~", "{forms}")
    return re.sub(r"\{([a-z_]+)\}", lambda found: _whole(_READ["parts"][found[1]]), joined)


def _words(key: str) -> frozenset[str]:
    return frozenset(_READ[key].split())


def in_small_letters(text: str) -> re.Pattern[str]:
    """A pattern for a sentence in small letters: a search blind to them takes twice as long."""
    return re.compile(_whole(text))


SAYS: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {name: re.compile(_whole(text), re.IGNORECASE) for name, text in _READ["patterns"].items()}
)
"""What is looked for in a sentence, by name."""
NEVER_ROWS: list[Mapping[str, str]] = _READ["never"]
DEED_ROWS: list[Mapping[str, str]] = _READ["deeds"]
"""The rows of deeds.py."""
CUES: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {act: re.compile(rf"\b(?:{_whole(text)})", re.IGNORECASE) for act, text in _READ["cues"].items()}
)
"""Words of which a step of this act has at least one."""
_SHARED: Mapping[str, str] = _READ["shared_acts"]
WORK: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        verb: frozenset(" ".join(_SHARED.get(act, act) for act in acts.split()).split())
        for verbs, acts in _READ["work"].items()
        for verb in verbs.split()
    }
)
"""Verb of work -> the acts that it can be the wording of."""
LIGHT = _words("light_verbs")
"""Verbs that go with any act."""
NO_VERBS = _words("no_verbs")
"""First words of a sentence that are no verbs."""
AFTER_AN_ORDER = _words("after_an_order")
"""Words after a first word that make it an order."""
