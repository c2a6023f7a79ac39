"""Accepting a warning with a reason: what is taken out, and what a remark is told that is not needed."""

from __future__ import annotations

from pathlib import Path

import pytest
from rule_files import BASE

from faultfinder.terminal.commands.check import all_told

TAKES_NO_TIME = "    access: open_dead\n    minutes: 3\n"


def told(folder: Path, minutes_line: str) -> tuple[list[str], list[str]]:
    """(codes told, codes accepted) of the kettle whose cut-out is read in no time at all."""
    pack = folder / "base.yaml"
    text = BASE.read_text(encoding="utf-8")
    assert TAKES_NO_TIME in text
    pack.write_text(text.replace(TAKES_NO_TIME, f"    access: open_dead\n{minutes_line}\n"), encoding="utf-8")
    _, left, accepted = all_told(str(pack))
    return [problem.code for problem in left], [problem.code for problem in accepted]


@pytest.mark.parametrize(
    "line",
    [
        "    minutes: 0  # accept no-time: read with the one before",
        "    # accept no-time: read with the one before\n    minutes: 0",
        "    # accept no-time: read with the one before\n    # whatever else is said here\n    minutes: 0",
    ],
)
def test_a_warning_is_accepted_on_its_line_or_above_it(line: str, tmp_path: Path) -> None:
    assert told(tmp_path, line) == ([], ["no-time"])


def test_a_reason_must_be_given(tmp_path: Path) -> None:
    assert told(tmp_path, "    minutes: 0  # accept no-time") == (["accept-no-reason"], ["no-time"])


def test_a_remark_that_is_not_needed_any_more_is_told(tmp_path: Path) -> None:
    assert told(tmp_path, "    minutes: 3  # accept no-time: read with the one before") == (
        ["accept-unneeded"],
        [],
    )


def test_while_there_are_errors_no_remark_is_called_unneeded(tmp_path: Path) -> None:
    """Not every check is made then: the warning may come back with the error mended."""
    kept = "    minutes: 3  # accept no-time: read with the one before\n    minuts: 3"
    assert told(tmp_path, kept) == (["unknown-key"], [])


def test_a_remark_for_another_code_accepts_nothing(tmp_path: Path) -> None:
    assert told(tmp_path, "    minutes: 0  # accept no-proof: why not") == (
        ["no-time", "accept-unneeded"],
        [],
    )


def test_a_code_that_does_not_exist_is_told(tmp_path: Path) -> None:
    assert told(tmp_path, "    minutes: 3  # accept no-tyme: why not")[0] == ["accept-unneeded"]


def test_an_error_is_never_accepted(tmp_path: Path) -> None:
    assert told(tmp_path, "    minutes: -1  # accept number-out-of-range: I know better")[0][:1] == [
        "number-out-of-range"
    ]


def test_other_remarks_are_left_alone(tmp_path: Path) -> None:
    assert told(tmp_path, "    minutes: 3  # we accept this; no-time is lost") == ([], [])
