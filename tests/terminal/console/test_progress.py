"""The line that says that something goes on: at a terminal, and elsewhere once or not at all."""

from __future__ import annotations

import io
import sys

import pytest

from faultfinder.terminal.console import progress
from faultfinder.terminal.console.progress import Progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def told(monkeypatch: pytest.MonkeyPatch, sink: io.StringIO, *, terminal_only: bool) -> str:
    """What is written while something goes on until it was told, or until nothing can be told any more."""
    monkeypatch.setattr(sys, "stderr", sink)
    monkeypatch.setattr(progress, "AFTER_S", 0.0)
    with Progress("Working", terminal_only=terminal_only) as shown:
        while shown._thread.is_alive() and not sink.getvalue():
            shown._thread.join(0.01)
    return sink.getvalue()


def test_at_a_terminal_it_is_told_and_wiped_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    written = told(monkeypatch, Terminal(), terminal_only=True)
    assert "Working ..." in written and written.endswith("\r")
    assert all(len(line) < 40 for line in written.split("\r"))


def test_through_a_pipe_it_is_told_once_or_where_only_a_terminal_is_told_never(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert told(monkeypatch, io.StringIO(), terminal_only=False) == "Working ...\n"
    assert told(monkeypatch, io.StringIO(), terminal_only=True) == ""
