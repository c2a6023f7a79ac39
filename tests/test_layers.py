"""The folders are the architecture: imports point downwards only, and only one layer talks to a terminal."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "faultfinder"
LAYERS = ("trade", "knowledge", "reasoning", "safety", "job", "practice", "report", "dialogue", "terminal")
"""Lowest first; a module may import from its own layer and those before it."""
ANYWHERE = {"faultfinder.errors", "faultfinder.exits", "faultfinder.arguments"}
RUNTIME = {"yaml", "prompt_toolkit"}

FLOORS = ("evidence", "inference", "decision")
"""The folders inside reasoning/, lowest first; what stands beside them is the front of them all."""

MODULES = sorted(PACKAGE.rglob("*.py"))


@cache
def nodes_of(path: Path) -> tuple[ast.AST, ...]:
    """Everything that a file is made of."""
    return tuple(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))


@cache
def imported(path: Path) -> frozenset[str]:
    """Names of the modules that a file imports, wherever in it."""
    names: set[str] = set()
    for node in nodes_of(path):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return frozenset(names)


def layer_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE).parts
    return parts[0] if len(parts) > 1 else "top"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_downwards_only(path: Path) -> None:
    layer = layer_of(path)
    if layer == "top":
        return
    assert layer in LAYERS
    allowed = {f"faultfinder.{name}" for name in LAYERS[: LAYERS.index(layer) + 1]} | ANYWHERE
    for name in imported(path):
        if name.startswith("faultfinder."):
            assert any(name == each or name.startswith(each + ".") for each in allowed), name


@pytest.mark.parametrize(
    "path",
    sorted((PACKAGE / "reasoning").rglob("*.py")),
    ids=lambda path: str(path.relative_to(PACKAGE / "reasoning")),
)
def test_each_floor_of_the_reasoning_rests_on_those_below_it(path: Path) -> None:
    floor = path.relative_to(PACKAGE / "reasoning").parts[0]
    if floor not in FLOORS:
        return
    below = {f"faultfinder.reasoning.{name}" for name in FLOORS[: FLOORS.index(floor) + 1]}
    below.add("faultfinder.reasoning.constants")
    for name in imported(path):
        if name.startswith("faultfinder.reasoning."):
            assert any(name == each or name.startswith(each + ".") for each in below), name


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_only_the_terminal_imports_prompt_toolkit_and_nothing_else_is_needed(path: Path) -> None:
    import sys

    outside = {name.split(".")[0] for name in imported(path)} - set(sys.stdlib_module_names) - {"faultfinder"}
    assert outside <= RUNTIME
    if layer_of(path) != "terminal":
        assert "prompt_toolkit" not in outside


SEEDED = {"elimination_order.py", "chance.py"}
"""Below the practice, where a generator with a given seed may be made."""
CLOCK_AND_CHANCE = {"time", "random", "secrets", "subprocess", "socket", "threading"}


@pytest.mark.parametrize(
    "path",
    [path for path in MODULES if layer_of(path) not in ("terminal", "top")],
    ids=lambda path: str(path.relative_to(PACKAGE)),
)
def test_the_core_has_no_clock_no_chance_and_prints_nothing(path: Path) -> None:
    # A generator with a fixed or a given seed is no chance: the same in, the same out.
    allowed = {"random"} if layer_of(path) == "practice" or path.name in SEEDED else set()
    assert not (imported(path) & (CLOCK_AND_CHANCE - allowed))
    calls = {
        node.func.id
        for node in nodes_of(path)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert not calls & {"print", "input", "eval", "exec", "compile", "__import__"}
    if layer_of(path) not in ("job", "knowledge"):
        assert "open" not in calls
    for node in nodes_of(path):
        if isinstance(node, ast.Attribute) and node.attr in {"now", "utcnow", "today", "system", "popen"}:
            assert ast.unparse(node.value) not in ("datetime", "date", "os", "datetime.datetime"), node.lineno


INSTRUCTION_TEXTS = {"how", "how_steps", "probes", "remedy_how", "remedy_steps", "then_run"}


@pytest.mark.parametrize(
    "path",
    [
        path
        for path in MODULES
        if layer_of(path) in ("reasoning", "dialogue", "terminal", "job", "report", "practice")
    ],
    ids=lambda path: str(path.relative_to(PACKAGE)),
)
def test_no_instruction_text_is_read_but_by_the_safety_gate(path: Path) -> None:
    """What to do and where the probes go leaves the rules through safety/ alone; elsewhere only an Instruction
    that the gate gave is read, or a fact's own `how`, which is no work on the machine."""
    for node in nodes_of(path):
        if isinstance(node, ast.Attribute) and node.attr in INSTRUCTION_TEXTS:
            owner = ast.unparse(node.value)
            # `how` is also how an answer came to be known, and how a fault was proved; the audit reads the texts
            # only to see that none tells to bridge anything.
            if path.name in ("audit.py", "sections.py") or (path.name, owner) == ("state.py", "event"):
                continue
            assert owner in ("instruction", "fact", "event", "answer", "answered"), (
                f"{path.name}:{node.lineno}: {owner}.{node.attr}"
            )


def test_nothing_in_the_package_names_an_appliance() -> None:
    for path in MODULES:
        text = path.read_text(encoding="utf-8").casefold()
        found = re.search(r"\b(dryers?|tumble\w*|ovens?|\w+_oven|toasters?|kettles?)\b", text)
        assert found is None, f"{path.name}: {found and found.group()}"
