"""An id by another name, in every file of a pack: where it stands itself, and wherever it is named.

The letters that change are found through the tree of each file, so remarks, texts for people and answers that happen
to have the same name stay as they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.keys import TABLES, Key
from faultfinder.knowledge.schema.value_types import Shape, Sort
from faultfinder.knowledge.syntax.nodes import ListNode, Node, Scalar, read_nodes

RULES, CASES, PRACTICE = "rules", "cases", "practice"


class Spot(NamedTuple):
    """Where the old name stands: line and column, counted from 1."""

    line: int
    column: int


_KEYS: tuple[Key, ...] = tuple(key for table in TABLES for key in table.keys)
_FOR_PEOPLE = frozenset(
    key.name for key in _KEYS if isinstance(key.shape, Shape) and key.shape.sort is Sort.WORDS
) - {"unit", "version"}
_OWN_NAMES = frozenset({"answers", "background", "danger", "bands", "choices", "let", "glossary"})
"""Keys whose inner names are answers, choices and the like: never an id of the pack."""
_TEXTS_BY_NAME = frozenset({"answers", "instruments", "glossary", "choices"})
"""Keys under whose names texts stand."""
_CASE_WORDS = frozenset({"complaint", "note", "is", "reads", "outcome", "danger", "confirm", "why", "opened"})
_PRACTICE_WORDS = frozenset({"says", "title", "not_simulated"})


def spots(text: str, old: str, part: str) -> list[Spot]:
    """Where a file names the id. part: RULES, CASES or PRACTICE; a file that cannot be read has none."""
    if part == CASES:
        lines = enumerate(text.split("\n"), 1)
        return sorted(Spot(number, spot.column) for number, line in lines for spot in _in_line(line, old))
    tree = read_nodes(text.encode("utf-8"), "", Sink())
    if tree is None:
        return []
    return sorted(set(_walked(tree, old, _rule_names if part == RULES else _practice_names)))


def renamed(text: str, old: str, new: str, at: list[Spot]) -> str:
    """The text with the new name at every spot."""
    lines = text.split("\n")
    for spot in reversed(at):
        line, start = lines[spot.line - 1], spot.column - 1
        lines[spot.line - 1] = line[:start] + new + line[start + len(old) :]
    return "\n".join(lines)


def _named(name: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![A-Za-z0-9_]){re.escape(name)}(?![A-Za-z0-9_])")


def _word(scalar: Scalar, old: str) -> Iterator[Spot]:
    """A scalar that is the name itself."""
    if scalar.text == old:
        yield Spot(scalar.mark.line, scalar.mark.column + (not scalar.plain))


def _words(scalar: Scalar, old: str) -> Iterator[Spot]:
    """The name inside an expression of one line."""
    for found in _named(old).finditer(scalar.text) if not scalar.below else ():
        yield Spot(scalar.mark.line, scalar.mark.column + found.start() + (not scalar.plain))


_Names = Callable[[Scalar, str, tuple[str, ...]], Iterator[Spot]]
"""Where a scalar has a name in it. The keys above it; for a key itself, an empty one is the last."""


def _walked(node: Node, old: str, names: _Names, path: tuple[str, ...] = ()) -> Iterator[Spot]:
    if isinstance(node, Scalar):
        yield from names(node, old, path)
    elif isinstance(node, ListNode):
        for item in node.items:
            yield from _walked(item, old, names, path)
    else:
        for name, value in node.pairs:
            yield from names(name, old, (*path, ""))
            yield from _walked(value, old, names, (*path, name.text))


def _rule_names(scalar: Scalar, old: str, path: tuple[str, ...]) -> Iterator[Spot]:
    """Limits stand under the names of bands, and what is computed under those of let."""
    under, key = ("", "", *path)[-2:]
    if path and not key:
        return iter(()) if under in _OWN_NAMES or under == "plate" else _word(scalar, old)
    for_people = key in _FOR_PEOPLE and under not in ("bands", "let")
    return iter(()) if for_people or under in _TEXTS_BY_NAME else _words(scalar, old)


def _practice_names(scalar: Scalar, old: str, path: tuple[str, ...]) -> Iterator[Spot]:
    """What a solver is given has the solver's own names for keys."""
    if path[-1:] == ("",):
        return iter(()) if path[0] == "solved" and len(path) == 3 else _word(scalar, old)
    return iter(()) if _PRACTICE_WORDS & set(path) else _words(scalar, old)


def _case_names(scalar: Scalar, old: str, path: tuple[str, ...]) -> Iterator[Spot]:
    return iter(()) if path and path[-1] in _CASE_WORDS else _word(scalar, old)


def _in_line(line: str, old: str) -> Iterator[Spot]:
    if old not in line or line.lstrip().startswith("#"):
        return
    tree = read_nodes(line.encode("utf-8"), "", Sink())
    if tree is not None:
        yield from _walked(tree, old, _case_names)
    else:
        # A line that goes on below: what is there of it is read word by word.
        yield from (Spot(1, found.start() + 1) for found in _named(old).finditer(line))
