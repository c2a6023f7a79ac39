"""Which keys of a table of sentences the program says, read from its code: so that a key for nothing is found."""

from __future__ import annotations

import ast
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import faultfinder

PACKAGE = Path(faultfinder.__file__).parent
_WORD = re.compile(r"[a-z0-9_]+")


@dataclass(frozen=True)
class Said:
    """named: keys written out in a call of `say`; words: short literals of the modules that say something, among
    which the keys in variables and tables are; made: how keys are put together, `sign_{sign}` as (`sign_`, ``)."""

    named: frozenset[str]
    words: frozenset[str]
    made: frozenset[tuple[str, str]]

    def has(self, key: str) -> bool:
        """Whether the key is said, or put together with a word that stands somewhere in the program."""
        return key in self.words or any(
            key.startswith(before) and key.endswith(behind) and _middle(key, before, behind) in _all_words()
            for before, behind in self.made
        )


def _middle(key: str, before: str, behind: str) -> str:
    return key[len(before) : len(key) - len(behind)]


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def _all_words() -> frozenset[str]:
    """Every short literal of the program that is no key of a table, and the numbers that are counted to."""
    found: set[str] = {"1", "2"}
    for path in PACKAGE.rglob("*.py"):
        tree = _tree(path)
        keys = _keys(tree)
        found |= {node.value for node in _constants(tree) if id(node) not in keys}
    return frozenset(found)


def _keys(tree: ast.Module) -> set[int]:
    return {id(key) for node in ast.walk(tree) if isinstance(node, ast.Dict) for key in node.keys if key}


def _constants(tree: ast.Module) -> list[ast.Constant]:
    return [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and _WORD.fullmatch(node.value)
    ]


def said(table: str) -> Said:
    """What is said of the table in this module, such as `faultfinder.dialogue.messages`."""
    named: set[str] = set()
    words: set[str] = set()
    made: set[tuple[str, str]] = set()
    own = PACKAGE.joinpath(*table.split(".")[1:]).with_suffix(".py")
    for path in PACKAGE.rglob("*.py"):
        tree = _tree(path)
        if path != own and not any(
            isinstance(node, ast.ImportFrom) and node.module == table for node in ast.walk(tree)
        ):
            continue
        # In the table itself a key begins its entry, which says nothing.
        keys = _keys(tree) if path == own else set()
        words |= {node.value for node in _constants(tree) if id(node) not in keys}
        for node in ast.walk(tree):
            if (
                isinstance(node, ast.JoinedStr)
                and sum(isinstance(p, ast.FormattedValue) for p in node.values) == 1
            ):
                at = next(n for n, p in enumerate(node.values) if isinstance(p, ast.FormattedValue))
                before = "".join(str(p.value) for p in node.values[:at] if isinstance(p, ast.Constant))
                behind = "".join(str(p.value) for p in node.values[at + 1 :] if isinstance(p, ast.Constant))
                if len(before + behind) > 3 and _WORD.fullmatch(before + behind):
                    made.add((before, behind))
            if isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] == "say" and node.args:
                if isinstance(node.args[0], ast.Constant):
                    named.add(str(node.args[0].value))
    return Said(frozenset(named), frozenset(words), frozenset(made))
