"""The folders are the architecture: imports point downwards only, and only one layer talks to a terminal."""

from __future__ import annotations

import ast
import re
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "faultfinder"
LAYERS = (
    "text",
    "trade",
    "knowledge",
    "reasoning",
    "safety",
    "job",
    "practice",
    "report",
    "dialogue",
    "terminal",
)
"""Lowest first; a module may import from its own layer and those before it."""
ANYWHERE = {"faultfinder.errors", "faultfinder.exits", "faultfinder.arguments"}
RUNTIME = {"yaml", "prompt_toolkit"}

ROOMS = {
    "text": ("english",),
    "trade": ("readings", "air", "electrical", "cycle"),
    "knowledge": ("instructions", "syntax", "schema", "formulas", "build", "analysis", "checks", "authoring"),
    "reasoning": ("evidence", "inference", "decision"),
    "job": ("record", "history", "workshop", "cases"),
    "dialogue": ("hearing", "showing", "queries", "agenda", "prompts"),
    "terminal": ("console", "commands"),
}
"""The rooms of a layer, lowest first: each may import those before it. Beside them stand single modules."""

LATE = {("faultfinder.knowledge.schema.typo_hints", "faultfinder.knowledge.schema.keys")}
"""Imported inside a function and needed there alone: the keys stand on the shapes that ask for their names."""

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


@cache
def needed(path: Path) -> frozenset[str]:
    """Names of the modules that a file imports when it runs, not for its type hints alone."""
    hints = {
        id(inner)
        for node in nodes_of(path)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    names: set[str] = set()
    for node in nodes_of(path):
        if isinstance(node, ast.ImportFrom) and node.module and id(node) not in hints:
            names |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return frozenset(names)


def module_name(path: Path) -> str:
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(("faultfinder", *(part for part in parts if part != "__init__")))


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


def test_every_folder_is_a_layer_or_a_room_that_is_known() -> None:
    folders = {path.relative_to(PACKAGE).parts for path in PACKAGE.rglob("*") if path.is_dir()}
    folders = {parts for parts in folders if "__pycache__" not in parts}
    # A language is a folder like the English one, and nothing else knows of it.
    folders -= {
        (layer, *rooms) for layer, *rooms in folders if layer == "text" and rooms not in ([], ["english"])
    }
    assert folders == {(layer,) for layer in LAYERS} | {
        (layer, room) for layer in ROOMS for room in ROOMS[layer]
    }


def test_the_picture_for_contributors_shows_every_layer_in_its_order_with_its_rooms() -> None:
    text = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    picture = text.partition("```text\n")[2].partition("```")[0]
    shown = {name: line for line in picture.split("\n") if (name := line.partition("/ ")[0]) in LAYERS}
    assert tuple(shown) == LAYERS[::-1]
    for layer, line in shown.items():
        assert set(re.findall(r"(\w+)/", line)) == {layer, *ROOMS.get(layer, ())}, layer


@pytest.mark.parametrize(
    ("layer", "room"),
    [pytest.param(layer, room, id=f"{layer}/{room}") for layer in ROOMS for room in ROOMS[layer]],
)
def test_a_room_imports_only_from_the_rooms_before_it(layer: str, room: str) -> None:
    later = ROOMS[layer][ROOMS[layer].index(room) + 1 :]
    for path in (PACKAGE / layer / room).glob("*.py"):
        found = {
            name
            for name in needed(path)
            if name.startswith(tuple(f"faultfinder.{layer}.{r}." for r in later))
        }
        assert not found, f"{path.relative_to(PACKAGE)} imports {found}"


def test_no_module_imports_itself_round_a_corner() -> None:
    names = {module_name(path): path for path in MODULES}
    graph = {name: {each for each in needed(path) if each in names} - {name} for name, path in names.items()}
    for name, other in LATE:
        graph[name].remove(other)
    list(TopologicalSorter(graph).static_order())


@pytest.mark.parametrize("layer", LAYERS)
def test_rooms_and_the_modules_beside_them_lean_one_way(layer: str) -> None:
    """A room is taken whole: nothing that one of its modules stands on stands on another of them."""
    graph: dict[str, set[str]] = {}
    for path in (PACKAGE / layer).rglob("*.py"):
        here = module_name(path).split(".")[2:3]
        for name in needed(path):
            parts = name.split(".")
            if parts[:2] == ["faultfinder", layer] and here and parts[2:3] not in ([], here):
                graph.setdefault(here[0], set()).add(parts[2])
    list(TopologicalSorter(graph).static_order())


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
UNSEEN = {"importlib", "runpy", "ctypes"}
"""What would bring in a module past these tests; the catalogue brings in the language that is chosen."""


@pytest.mark.parametrize(
    "path",
    [path for path in MODULES if layer_of(path) not in ("terminal", "top")],
    ids=lambda path: str(path.relative_to(PACKAGE)),
)
def test_the_core_has_no_clock_no_chance_and_prints_nothing(path: Path) -> None:
    # A generator with a fixed or a given seed is no chance: the same in, the same out.
    allowed = {"random"} if layer_of(path) == "practice" or path.name in SEEDED else set()
    assert not (imported(path) & (CLOCK_AND_CHANCE - allowed))
    assert path.name == "catalogue.py" or not imported(path) & UNSEEN
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
