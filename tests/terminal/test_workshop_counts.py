"""What the workshop has seen weighs in only where it is switched on, and is told wherever it does."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from reporting import RECORDS
from running import run_here
from talking import BEGUN, SMALL

from faultfinder.job.events import SeenBefore
from faultfinder.job.record.record import read_record

TOLD = "How common faults are: the rules' numbers (for 50 jobs) and 2 jobs seen here."
NONE = "No job with these rules was closed here yet: the rules' own numbers stand."


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A jobs folder with two closed jobs."""
    place = tmp_path / "jobs"
    place.mkdir()
    for path in RECORDS.glob("*.yaml"):
        shutil.copy(path, place)
    return place


def flat(text: str) -> str:
    return " ".join(text.split())


def chance(folder: Path, *more: str) -> tuple[float, str]:
    done = run_here(folder, "assess", "--pack", str(SMALL), "no_heat yes", "--json", *more)
    assert done.returncode == 0, done.stderr
    result = json.loads(done.stdout)
    return result["confidence"]["cut_out_open"], result["seen"]


@pytest.mark.slow
def test_it_is_off_until_it_is_asked_for_by_option_or_environment(folder: Path) -> None:
    alone, told = chance(folder)
    assert told == ""
    with_counts, told = chance(folder, "--seen")
    assert told == TOLD and with_counts > alone
    assert chance(folder, "--seen", "--jobs", str(folder / "none")) == (alone, NONE)
    done = run_here(folder, "prepare", "--pack", str(SMALL), "no_heat", env={"FAULTFINDER_SEEN": "1"})
    assert TOLD in flat(done.stdout)
    assert TOLD not in flat(run_here(folder, "prepare", "--pack", str(SMALL), "no_heat").stdout)


@pytest.mark.slow
def test_a_job_keeps_the_numbers_it_was_begun_with_and_says_so(folder: Path, tmp_path: Path) -> None:
    begun = run_here(folder, "--pack", str(SMALL), "--seen", lines=[*BEGUN, "likely", "stop"])
    assert begun.returncode == 0 and TOLD in flat(begun.stdout)
    record = next(path for path in folder.glob("*.yaml") if path.stem not in ("element", "isolated"))
    (event,) = [each for each in read_record(record).events if isinstance(each, SeenBefore)]
    assert (event.jobs, event.weight) == (2, 50.0)
    # On a computer that has seen nothing, without the switch: the same numbers, and again they are told.
    other = tmp_path / "other"
    other.mkdir()
    there = shutil.copy(record, other)
    again = run_here(other, "resume", str(there), "--pack", str(SMALL), lines=["likely", "stop"])
    assert TOLD in flat(again.stdout) and "changed" not in again.stderr
    likely = [line for line in begun.stdout.splitlines() if " %: " in line][-3:]
    assert likely and all(line in again.stdout for line in likely)
    report = run_here(other, "report", str(there), "--form", "workshop", "--pack", str(SMALL))
    assert "together with 2 jobs seen by the workshop" in flat(report.stdout)


@pytest.mark.slow
def test_switched_on_where_nothing_was_seen_it_says_so_and_the_rules_stand(tmp_path: Path) -> None:
    done = run_here(tmp_path, "--pack", str(SMALL), "--seen", lines=["stop"])
    assert done.returncode == 0 and NONE in flat(done.stderr)
