"""A hint names a command that works as it is typed, however the program was called."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from faultfinder.dialogue.say import Line, Option, Tone, note
from faultfinder.terminal.program_name import as_typed, program


@pytest.fixture
def nowhere(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder to stand in, and a path that finds nothing."""
    monkeypatch.setenv("PATH", str(tmp_path / "empty"))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_what_is_on_the_path_is_called_by_its_name(monkeypatch: pytest.MonkeyPatch, nowhere: Path) -> None:
    found = nowhere / "bin" / "faultfinder"
    found.parent.mkdir()
    found.write_text("#!/bin/sh\n")
    found.chmod(0o755)
    monkeypatch.setenv("PATH", str(found.parent))
    assert program() == "faultfinder"


def test_what_lies_in_an_environment_is_called_by_its_file(
    monkeypatch: pytest.MonkeyPatch, nowhere: Path
) -> None:
    script = nowhere / ".venv" / "bin" / "faultfinder"
    script.parent.mkdir(parents=True)
    script.touch()
    for typed in (str(script), ".venv/bin/faultfinder"):
        monkeypatch.setattr(sys, "argv", [typed])
        assert program() == str(Path(".venv/bin/faultfinder"))
    hint = note("Saved. Go on later with: faultfinder resume a")
    told = as_typed([hint, Line("x: faultfinder y", Tone.PLAIN), Option(1, "a", "b")])
    assert told[0] == note(f"Saved. Go on later with: {Path('.venv/bin/faultfinder')} resume a")
    assert told[1:] == [Line("x: faultfinder y", Tone.PLAIN), Option(1, "a", "b")]


def test_a_module_is_called_by_its_interpreter(monkeypatch: pytest.MonkeyPatch, nowhere: Path) -> None:
    monkeypatch.setattr(sys, "argv", [str(nowhere / "faultfinder" / "__main__.py")])
    assert program().endswith(" -m faultfinder") and sys.executable in program()
