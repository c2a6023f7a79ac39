"""An id by another name, in every file of a pack: where it stands itself, and wherever it is named.

The letters that change are found through the tree of each file, so remarks, texts for people and answers that happen
to have the same name stay as they are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.keys import TABLES, Key
from faultfinder.knowledge.schema.value_lists import Texts
from faultfinder.knowledge.schema.value_types import Drawing, Text
from faultfinder.knowledge.syntax.nodes import ListNode, Node, Scalar, read_nodes

RULES, CASES, PRACTICE = "rules", "cases", "practice"


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the old name stands: line and column, counted from 1."""

    line: int
    column: int


_KEYS: tuple[Key, ...] = tuple(key for table in TABLES for key in table.keys)
_FOR_PEOPLE = frozenset(key.name for key in _KEYS if isinstance(key.shape, Text | Texts | Drawing)) - {
    "unit",
    "version",
}
_OWN_NAMES = frozenset({"answers", "background", "danger", "bands", "choices", "let", "glossary"})
"""Keys whose inner names are answers, choices and the like: never an id of the pack."""
_CASE_WORDS = frozenset({"complaint", "note", "is", "reads", "outcome", "danger", "confirm", "why", "opened"})
_PRACTICE_WORDS = frozenset({"says", "title", "not_simulated"})


def spots(text: str, old: str, part: str) -> list[Spot]:
    """Where a file names the id. part: RULES, CASES or PRACTICE; a file that cannot be read has none."""
    if part == CASES:
        return sorted(
            (
                Spot(number, spot.column)
                for number, line in enumerate(text.split("\n"), 1)
                for spot in _in_line(line, old)
            ),
            key=lambda spot: (spot.line, spot.column),
        )
    tree = read_nodes(text.encode("utf-8"), "", Sink())
    if tree is None:
        return []
    found = _in_rules(tree, old) if part == RULES else _in_practice(tree, old)
    return sorted(set(found), key=lambda spot: (spot.line, spot.column))


def renamed(text: str, old: str, new: str, at: list[Spot]) -> str:
    """The text with the new name at every spot."""
    lines = text.split("\n")
    for spot in reversed(at):
        line, start = lines[spot.line - 1], spot.column - 1
        lines[spot.line - 1] = line[:start] + new + line[start + len(old) :]
    return "\n".join(lines)


def _word(scalar: Scalar, old: str) -> Iterator[Spot]:
    """A scalar that is the name itself."""
    if scalar.text == old:
        yield Spot(scalar.mark.line, scalar.mark.column + (0 if scalar.plain else 1))


def _words(scalar: Scalar, old: str) -> Iterator[Spot]:
    """The name inside an expression of one line."""
    if scalar.below:
        return
    for found in re.finditer(rf"(?<![A-Za-z0-9_]){re.escape(old)}(?![A-Za-z0-9_])", scalar.text):
        yield Spot(scalar.mark.line, scalar.mark.column + found.start() + (0 if scalar.plain else 1))


def _in_rules(node: Node, old: str, key: str = "") -> Iterator[Spot]:
    if isinstance(node, Scalar):
        if key not in _FOR_PEOPLE:
            yield from _words(node, old)
    elif isinstance(node, ListNode):
        for item in node.items:
            yield from _in_rules(item, old, key)
    else:
        for name, value in node.pairs:
            if key not in _OWN_NAMES and key != "plate":
                yield from _word(name, old)
            inside = key in ("answers", "instruments", "glossary") or (
                key == "choices" and isinstance(value, Scalar)
            )
            if not (inside and isinstance(value, Scalar)):
                # Limits stand under the names of bands, and what is computed under those of let.
                yield from _in_rules(value, old, "" if key in ("bands", "let") else name.text)


def _in_practice(node: Node, old: str, path: tuple[str, ...] = ()) -> Iterator[Spot]:
    """path: the keys above. What a solver is given has the solver's own names for keys."""
    if isinstance(node, Scalar):
        if not _PRACTICE_WORDS & set(path):
            yield from _words(node, old)
    elif isinstance(node, ListNode):
        for item in node.items:
            yield from _in_practice(item, old, path)
    else:
        for name, value in node.pairs:
            if len(path) != 2 or path[0] != "solved":
                yield from _word(name, old)
            yield from _in_practice(value, old, (*path, name.text))


def _in_line(line: str, old: str) -> Iterator[Spot]:
    if old not in line or line.lstrip().startswith("#"):
        return
    tree = read_nodes(line.encode("utf-8"), "", Sink())
    if tree is not None:
        yield from _in_case(tree, old)
    else:
        # A line that goes on below: what is there of it is read word by word.
        for found in re.finditer(rf"(?<![A-Za-z0-9_]){re.escape(old)}(?![A-Za-z0-9_])", line):
            yield Spot(1, found.start() + 1)


def _in_case(node: Node, old: str, key: str = "") -> Iterator[Spot]:
    if isinstance(node, Scalar):
        if key not in _CASE_WORDS:
            yield from _word(node, old)
    elif isinstance(node, ListNode):
        for item in node.items:
            yield from _in_case(item, old, key)
    else:
        for name, value in node.pairs:
            yield from _word(name, old)
            yield from _in_case(value, old, name.text)
