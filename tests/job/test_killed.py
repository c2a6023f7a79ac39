"""A process killed at any moment loses nothing that it had acknowledged, and leaves no part of a turn.

The long run, 500 kills: python tests/helpers/kill_record.py 500
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from kill_record import kill_again_and_again


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="no such signal there")
def test_twenty_kills_lose_nothing_acknowledged(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done = kill_again_and_again(tmp_path, 20, seed=3)
    with capsys.disabled():
        print(f" {done.kills} kills, {done.in_a_write} in an append, {done.torn} torn;", end="")
    assert done.kills == 20 and done.in_a_write >= 1


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="no such signal there")
def test_a_writer_without_the_care_is_found_out(tmp_path: Path) -> None:
    """The kills prove something: a buffered writer that acknowledges at once loses what it acknowledged."""
    with pytest.raises(AssertionError):
        kill_again_and_again(tmp_path, 20, seed=3, victim_is="careless")


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="no such signal there")
def test_a_writer_that_keeps_a_turn_line_by_line_is_found_out(tmp_path: Path) -> None:
    with pytest.raises(AssertionError):
        kill_again_and_again(tmp_path, 40, seed=3, victim_is="line by line")
