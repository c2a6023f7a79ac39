"""Every formula says what it answers and where it holds, and every module where its numbers come from."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import faultfinder.trade

FOLDER = Path(faultfinder.trade.__file__).parent
MODULES = sorted(path for path in FOLDER.rglob("*.py") if path.name != "__init__.py")
FORMULAS = [
    path
    for path in MODULES
    if path.parent.name not in ("readings", "cycle") and path.stem not in ("functions", "inputs")
]
RANGE = re.compile(r"Range: |From 0|above 0|below|\d to |[Rr]aises|0 to |infinit", re.ASCII)
SOURCE = re.compile(
    r"[Ss]ource|IEC|IET|ASHRAE|GUM|law|definition|by its|chosen|common practice|[Pp]hysics", re.ASCII
)


def functions(path: Path) -> list[ast.FunctionDef]:
    """Public ones, and those of classes; not what stands inside a function."""
    body = ast.parse(path.read_text(encoding="utf-8")).body
    for node in list(body):
        body += node.body if isinstance(node, ast.ClassDef) else []
    return [node for node in body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")]


def checks_its_input(function: ast.FunctionDef) -> bool:
    return any(
        isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "within"
        for node in ast.walk(function)
    )


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_every_public_function_says_what_it_answers(path: Path) -> None:
    mute = [each.name for each in functions(path) if not ast.get_docstring(each)]
    assert mute == []


@pytest.mark.parametrize("path", FORMULAS, ids=lambda path: path.stem)
def test_every_formula_with_a_range_tells_it(path: Path) -> None:
    silent = [
        each.name
        for each in functions(path)
        if checks_its_input(each) and not RANGE.search(ast.get_docstring(each) or "")
    ]
    assert silent == []


@pytest.mark.parametrize("path", FORMULAS, ids=lambda path: path.stem)
def test_every_module_of_formulas_tells_its_sources(path: Path) -> None:
    assert SOURCE.search(path.read_text(encoding="utf-8"))


def test_the_folder_lists_its_modules() -> None:
    told = set(re.findall(r"\w+", faultfinder.trade.__doc__ or ""))
    missing = [
        path.stem
        for path in MODULES
        if path.stem not in told and path.parent.name not in ("readings", "cycle")
    ]
    assert missing == []
