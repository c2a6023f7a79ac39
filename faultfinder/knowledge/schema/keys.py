"""The one table of every key of the rule language (keys.yaml), with the shapes of their values.

From it are made: loading (read.py), the offer of the nearest known key, the key reference in rules/GUIDE.md
(tests/helpers/render_guide.py) and the editor schema (editor_schema.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

from faultfinder.knowledge.data import beside
from faultfinder.knowledge.instructions.acts import ACTS
from faultfinder.knowledge.model import Access, Kind, Need
from faultfinder.knowledge.schema.strength_words import (
    DANGER_SIGNS,
    HOW_COMMON,
    PART_COSTS,
    RELIABILITY,
    RETURN_TESTS,
    STRENGTH,
    TAKES,
    WORDS,
)
from faultfinder.knowledge.schema.typo_hints import acts_meant
from faultfinder.knowledge.schema.value_lists import ids, pair, steps, texts
from faultfinder.knowledge.schema.value_mappings import answers, bands, conditions, glossary, links, map_to
from faultfinder.knowledge.schema.value_types import (
    AN_ID,
    Shape,
    Sort,
    drawing,
    expression,
    number,
    read_name,
    text,
    word,
    yes_or_no,
)
from faultfinder.trade.cycle.figures import FIGURES
from faultfinder.trade.readings.units import QUANTITIES

DEFAULT_ACCESS_MINUTES = {
    Access.AS_FOUND: 0.0,
    Access.IN_USE: 2.0,
    Access.ISOLATED: 2.0,
    Access.OPEN_UNPROVED: 8.0,
    Access.OPEN_DEAD: 5.0,
}
"""Minutes to get into each access state from the one before it. Chosen."""
DEFAULT_MINUTES = {Kind.TOLD: 0.5, Kind.LOOK: 1.0, Kind.SOUND: 1.0, Kind.SMELL: 1.0}
"""Minutes an observation takes where its rule does not say. Chosen."""
DEFAULT_BACKGROUND = 0.01
"""Chance of an abnormal answer without any known cause, shared over the abnormal answers. Chosen."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key: how its value reads, what it is for, and what holds when it is left out."""

    name: str
    shape: Shape | Table
    help: str
    required: bool = False
    default: str = ""
    several: bool = False
    """Whether `shape` is a table for each of several items: a mapping from id, or a list (see `listed`)."""
    listed: bool = False
    example: str = ""


@dataclass(frozen=True, slots=True)
class OfKind:
    """Keys that an item of one kind needs besides the required ones, and keys that it may not have."""

    needed: tuple[str, ...]
    refused: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """The keys that may stand together in one mapping. `of` is what it describes, with its article.

    by_kind: what the value of the key `kind` asks for besides.
    """

    name: str
    of: str
    keys: tuple[Key, ...]
    by_kind: Mapping[str, OfKind]

    @cached_property
    def _by_name(self) -> dict[str, Key]:
        return {key.name: key for key in self.keys}

    def key(self, name: str) -> Key | None:
        return self._by_name.get(name)

    @property
    def names(self) -> list[str]:
        return list(self._by_name)


_TOLD = beside(__package__, "keys")
_NO_LIVE = (
    "open-live",
    "there is no open machine that may be live to work in; behind a cover it is open_dead",
)
_REFUSED = dict.fromkeys(
    ("open_unproved", "open_live", "live", "open", "covers_off", "in_use_open"), _NO_LIVE
)
_NO_REMEDY = {Need.IN_USE: ("remedy-in-use", "no remedy is done on a machine in use")}


def _but(words: Mapping[str, str], one: str) -> dict[str, str]:
    return {word: meaning for word, meaning in words.items() if word != one}


_MINUTES = number(0.0, 1440.0, unit="minutes")
_STRENGTH = number(0.0, 1.0, STRENGTH)
_SHAPES: Mapping[str, Shape] = {
    "text": text(),
    "texts": texts(),
    "drawing": drawing(),
    "yes or no": yes_or_no(),
    "steps": steps(),
    "minutes": _MINUTES,
    "strength": _STRENGTH,
    "how common": number(0.0, 1.0, HOW_COMMON, inside=True),
    "part costs": number(0.0, 10_000.0, PART_COSTS, "minutes of labour"),
    "expression": expression(),
    "class value": expression("number, choice id, or expression on other facts"),
    "facts": conditions("fact", "choice"),
    "findings": conditions("observation", "answer"),
    "links": links(_STRENGTH),
    "answers": answers(),
    "bands": bands(),
    "glossary": glossary(),
    "range": pair("lowest", "highest", ordered=True),
    "access minutes": map_to("access states", _MINUTES, list(Access)),
    "meter": map_to("quantities", pair("relative", "absolute"), QUANTITIES),
    "cautions": map_to("acts", texts(200), ACTS, acts_meant),
    "fact kind": word(WORDS["fact kind"]),
    "licensed": word(WORDS["licensed"]),
    "hazard": word(WORDS["hazard"]),
    "kind": word(WORDS["kind"]),
    "question kind": word(_but(WORDS["kind"], Kind.READING)),
    "access": word(WORDS["access"], _REFUSED),
    "remedy access": word(_but(WORDS["access"], Need.IN_USE), _REFUSED | _NO_REMEDY),
    "danger sign": word(DANGER_SIGNS),
    "return test": word(RETURN_TESTS),
    "quantity": word(dict.fromkeys(QUANTITIES, "")),
    "logged": word({name: figure.says for name, figure in FIGURES.items()}),
}
"""Shapes by their names in keys.yaml; `_shape` makes those with a number or a sort of thing in the name."""
_DEFAULTS = {
    "access_minutes": ", ".join(f"{state} {value:g}" for state, value in DEFAULT_ACCESS_MINUTES.items()),
    "minutes": ", ".join(f"{kind} {value:g}" for kind, value in DEFAULT_MINUTES.items()),
    "reliability": ", ".join(f"{kind} {value:g}" for kind, value in RELIABILITY.items()),
    "takes": ", ".join(f"{value:g} where {words}" for value, words in TAKES.values()),
    "background": f"{DEFAULT_BACKGROUND}",
}
"""What stands in { } in a default of keys.yaml."""


def _shape(told: str) -> Shape:
    """The shape of a name, such as `ids of cause`, `text 80`, `number 0 to 2` or `answer ids -> danger sign`."""
    if told in _SHAPES:
        return _SHAPES[told]
    names, arrow, value = told.partition(" -> ")
    if arrow:
        return map_to(names, _shape(value))
    match told.split():
        case "id", "of", sort:
            return Shape(read_name, f"{sort} id", AN_ID, Sort.ID, sort)
        case "ids", "of", sort:
            return ids(sort)
        case "text", longest:
            return text(int(longest))
        case "texts", longest:
            return texts(int(longest))
        case "number", low, "to", high, *unit:
            return number(float(low), float(high), unit=" ".join(unit))
    raise KeyError(told)


def _keys(rows: Mapping[str, Mapping[str, str]]) -> Iterator[Key]:
    for name, row in rows.items():
        told = row["is"]
        before, of, table = told.rpartition(" of ")
        if before == "the keys":
            yield from _keys(_TOLD[table]["keys"])
            continue
        nested = before in ("one", "each", "list")
        yield Key(
            name,
            _table(table) if nested else _shape(told),
            row["help"],
            row.get("required") == "yes",
            row.get("default", "").format_map(_DEFAULTS),
            several=before in ("each", "list"),
            listed=before == "list",
            example=row.get("example", ""),
        )


@cache
def _table(name: str) -> Table:
    told: Mapping[str, Any] = _TOLD[name]
    by_kind = {
        kind: OfKind(tuple(of.get("needs", "").split()), tuple(of.get("refuses", "").split()))
        for kinds, of in told.get("kinds", {}).items()
        for kind in kinds.split()
    }
    return Table(name, told["of"], tuple(_keys(told["keys"])), by_kind)


TABLES = tuple(_table(name) for name in _TOLD if name != "asked")
FILE, PACK, FACT, CAUSE, STATE, OBSERVATION, QUESTION = map(
    _table, ("file", "pack", "facts", "causes", "states", "observations", "asks")
)
