"""Hostile and broken input of every kind ends in a right answer or a clear error.

The long run, 100,000 inputs: python tests/helpers/fuzz.py 100000
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import fuzz
import pytest
from fuzz import KINDS, REFUSED, TAKEN, Kind

from faultfinder.errors import FaultFinderError


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fuzz, "PLACE", [tmp_path])


@pytest.mark.slow
def test_some_of_each_kind_end_well(capsys: pytest.CaptureFixture[str]) -> None:
    done = fuzz.fuzz(600, seed=7, big=False)
    with capsys.disabled():
        print(f" {done.inputs:,} hostile inputs, {done.memory:.0f} MB;", end="")
    assert done.faults == []
    for kind in KINDS:
        # Neither is everything refused, nor everything taken.
        assert done.outcomes[kind.name, REFUSED] > 0, kind.name
        assert done.outcomes[kind.name, TAKEN] > 0 or kind.weight < 5, kind.name


@pytest.mark.slow
def test_what_is_ten_million_characters_long_or_grows_is_refused_in_time_and_memory() -> None:
    """In a process of its own: the limit is to its memory, not to that of the whole suite."""
    done = subprocess.run(
        [sys.executable, fuzz.__file__, "--big", "0", "1", "9", "16", "18", "19", "20"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert int(done.stdout.split()[0]) >= 35


def test_the_fuzz_finds_what_it_is_there_to_find() -> None:
    """A fault, an unclear error, a wrong answer, and a good input refused are each told."""

    def fault(data: bytes, known: object) -> str:
        raise RecursionError("too deep")

    def unclear(data: bytes, known: object) -> str:
        raise FaultFinderError("x" * 5_000)

    def wrong(data: bytes, known: object) -> str:
        fuzz.expect(False, "not what it is")
        return TAKEN

    def refused(data: bytes, known: object) -> str:
        raise FaultFinderError("no")

    for run, told in (
        (fault, "RecursionError"),
        (unclear, "5000"),
        (wrong, "not what"),
        (refused, "good input"),
    ):
        done = fuzz.Fuzzed(memory=fuzz.peak())
        fuzz.try_one(Kind("x", 1, lambda choose: (b"x", 1), run), "0", done)
        assert len(done.faults) == 1 and told in done.faults[0]
        assert done.outcomes["x", "FAULT"] == 1
