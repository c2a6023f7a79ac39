"""How this program is called here, so that a command named in a hint works as it is typed.

In a virtual environment that nothing put on the path the first command of the README is `.venv/bin/faultfinder`.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from faultfinder.dialogue.say import Line, Said, Tone

NAME = "faultfinder"


def program() -> str:
    """The words that call it: its name where the path finds it, else as it was called, else by the interpreter."""
    if shutil.which(NAME):
        return NAME
    called = Path(sys.argv[0])
    if called.stem == NAME and called.exists():
        return _quoted(_near(called))
    if called.name == "__main__.py":
        found = shutil.which(Path(sys.executable).name)
        same = found is not None and os.path.samefile(found, sys.executable)
        return f"{Path(sys.executable).name if same else _quoted(_near(Path(sys.executable)))} -m {NAME}"
    return NAME


def _near(path: Path) -> str:
    """A path as it is shortest from here, still with a folder in it."""
    try:
        return str(path.absolute().relative_to(Path.cwd()))
    except ValueError:
        return str(path)


def _quoted(path: str) -> str:
    return f'"{path}"' if " " in path else path


def as_typed(said: Iterable[Said]) -> list[Said]:
    """The same, the commands in hints named as they work here."""
    name = program()
    return [
        _named(item, name) if isinstance(item, Line) and item.tone is Tone.NOTE else item for item in said
    ]


def _named(line: Line, name: str) -> Line:
    return replace(line, text=line.text.replace(f": {NAME} ", f": {name} "))
