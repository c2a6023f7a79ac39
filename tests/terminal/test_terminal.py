"""The command in a real pseudo-terminal of 40 columns: a whole conversation, Ctrl-C and Ctrl-D."""

from __future__ import annotations

from pathlib import Path

import pytest
from running import Terminal
from talking import OPEN

from faultfinder.job import events as happened
from faultfinder.job.record.record import read_record


def say(terminal: Terminal, prompt: str, line: str) -> None:
    terminal.wait_for(prompt)
    terminal.type(line + "\r")


@pytest.mark.slow
def test_a_whole_conversation_in_forty_columns(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    say(terminal, "complaint>", "it stays cold")
    say(terminal, "danger>", "none")
    say(terminal, "machine>", "single phase; connection plug; volts 230; watts 2000")
    say(terminal, "Taken: supply", "inlet look clear; flex look whole")
    terminal.wait_for("flex look: Whole.")
    for line in OPEN:
        say(terminal, "card>", line)
    say(terminal, "resistance>", "OL")
    say(terminal, "remedy>", "done")
    say(terminal, "element resistance>", "26.4")
    say(terminal, ">", "stop")
    assert terminal.end() == 0
    (record,) = tmp_path.glob("*.yaml")
    readings = [e.reads for e in read_record(record).events if isinstance(e, happened.Answered) and e.reads]
    assert readings[:2] == ["OL", "26.4"]


@pytest.mark.slow
def test_ctrl_c_once_loses_nothing_and_twice_leaves(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    terminal.wait_for("complaint>")
    terminal.type("\x03")
    terminal.wait_for("Nothing is lost")
    terminal.wait_for("complaint>")
    terminal.type("\x03")
    assert terminal.end() == 130


@pytest.mark.slow
def test_ctrl_d_on_an_empty_line_saves_and_leaves(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    terminal.wait_for("complaint>")
    terminal.type("\x04")
    assert terminal.end() == 0
