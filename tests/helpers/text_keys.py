"""Which keys of the catalogue the program says, read from its code: so that a key for nothing is found."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import faultfinder

PACKAGE = Path(faultfinder.__file__).parent
LANGUAGES = PACKAGE / "text"
_WORD = re.compile(r"[a-z0-9_]+")


@cache
def trees() -> dict[Path, ast.Module]:
    """Every module of the program but those that hold the sentences."""
    return {
        path: ast.parse(path.read_text(encoding="utf-8"))
        for path in sorted(PACKAGE.rglob("*.py"))
        if LANGUAGES not in path.parent.parents
    }


@cache
def words() -> frozenset[str]:
    """Every short literal of the program, among which the keys in variables and tables are; 'put right' as an id."""
    found = {"1", "2"}  # what is counted to
    for tree in trees().values():
        found |= {
            node.value.lower().replace(" ", "_")
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and _WORD.fullmatch(node.value.lower().replace(" ", "_"))
        }
    return frozenset(found)


@cache
def made() -> frozenset[tuple[str, str]]:
    """How keys are put together: `sign_{sign}` as (`sign_`, ``)."""
    found: set[tuple[str, str]] = set()
    for tree in trees().values():
        for node in ast.walk(tree):
            if not isinstance(node, ast.JoinedStr):
                continue
            parts = [part.value if isinstance(part, ast.Constant) else None for part in node.values]
            if parts.count(None) == 1:
                at = parts.index(None)
                before, behind = "".join(map(str, parts[:at])), "".join(map(str, parts[at + 1 :]))
                if len(before + behind) > 3 and _WORD.fullmatch(before + behind):
                    found.add((before, behind))
    return frozenset(found)


def is_said(key: str) -> bool:
    """Whether the key stands in the program, or is put together with a word that does."""
    return key in words() or any(
        key.startswith(before)
        and key.endswith(behind)
        and key[len(before) : len(key) - len(behind)] in words()
        for before, behind in made()
    )


@cache
def calls() -> tuple[tuple[str, frozenset[str], str], ...]:
    """Every call of `say` and `tell` whose key is written out: the key, the values given, and where."""
    return tuple(
        (str(node.args[0].value), frozenset(str(each.arg) for each in node.keywords), f"{path}:{node.lineno}")
        for path, tree in trees().items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and ast.unparse(node.func) in ("say", "tell")
        and node.args
        and isinstance(node.args[0], ast.Constant)
    )
