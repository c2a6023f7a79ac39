"""Files that documents and module texts name are there."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

TOP = Path(__file__).parents[1]
DOCUMENTS = ("README.md", "DEVELOPERS.md", "rules/GUIDE.md", "rules/PRACTICE.md")
PARTS = ("faultfinder", "tests", "rules", "transcripts_demo", ".ci")
FILES = [path.relative_to(TOP) for part in PARTS for path in (TOP / part).rglob("*.*") if path.is_file()]
FILES += [Path(name) for name in (*DOCUMENTS, "pyproject.toml")]
ENDINGS = {"/".join(path.parts[-length:]) for path in FILES for length in range(1, len(path.parts) + 1)}


def named(text: str) -> set[str]:
    """Python files that a text names, with as much of their folders as it says."""
    return set(re.findall(r"(?<![\w/.<])(?:[\w-]+/)*\w+\.py\b", text))


def module_texts(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if (
            isinstance(node, ast.Expr)
            and isinstance(node.value, ast.Constant)
            and isinstance(node.value.value, str)
        ):
            yield node.value.value


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_file_that_a_document_names_is_there(name: str) -> None:
    assert named((TOP / name).read_text(encoding="utf-8")) - ENDINGS == set()


@pytest.mark.slow
@pytest.mark.parametrize("part", ["faultfinder", "tests"])
def test_every_file_that_a_module_speaks_of_is_there(part: str) -> None:
    told = {
        (str(path.relative_to(TOP)), file)
        for path in (TOP / part).rglob("*.py")
        for text in module_texts(path)
        for file in named(text) - ENDINGS
    }
    assert told == set()


def test_a_file_that_is_not_there_is_found() -> None:
    assert named("as `safety/no_such.py` and gate.py say") - ENDINGS == {"safety/no_such.py"}


CODE = re.compile(r"[A-Za-z_]\w*(?:\.\w+)*")


@cache
def names() -> frozenset[str]:
    """Every name in the code of the package, every short text there, what the tests define, every part of a file's
    name, and the words of pyproject.toml."""
    found = {part for path in FILES for part in (*path.parts, path.stem)}
    found |= set(re.findall(r"\w+", (TOP / "pyproject.toml").read_text(encoding="utf-8")))
    for path in FILES:
        if path.suffix == ".py":
            nodes = list(ast.walk(ast.parse((TOP / path).read_text(encoding="utf-8"))))
            found |= {node.name for node in nodes if isinstance(node, ast.FunctionDef | ast.ClassDef)}
            found |= {
                node.id for node in nodes if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)
            }
            if path.parts[0] == "faultfinder":
                found |= {word for node in nodes for word in said_by(node)}
    return frozenset(found)


def said_by(node: ast.AST) -> Iterator[str]:
    """The names in a piece of code, or the words of a short text there."""
    match node:
        case ast.Name(id=name) | ast.Attribute(attr=name) | ast.arg(arg=name):
            yield name
        case ast.Constant(value=str(text)) if len(text) < 40:
            yield from re.findall(r"\w+", text)


def strange(text: str) -> set[str]:
    """Names of code that a document puts between backticks and that stand nowhere in it."""
    told = {span for span in re.findall(r"`([^`\n]+)`", text) if CODE.fullmatch(span)}
    return {span for span in told if span not in ENDINGS and not set(span.split(".")) <= names()}


@pytest.mark.slow
def test_every_name_that_the_text_for_contributors_gives_is_one_of_the_code() -> None:
    assert strange((TOP / "DEVELOPERS.md").read_text(encoding="utf-8")) == set()


@pytest.mark.slow
def test_a_name_that_is_not_there_is_found() -> None:
    assert strange("`Prompt.no_such` and `Gate`") == {"Prompt.no_such"}


def test_the_nine_small_changes_name_files_of_the_package() -> None:
    text = (TOP / "DEVELOPERS.md").read_text(encoding="utf-8").partition("### Nine small changes")[2]
    rows = [line for line in text.partition("\n## ")[0].split("\n") if line.startswith("| ")][1:]
    assert len(rows) == 9
    assert all(named(row) or "rules/<pack>" in row for row in rows)
