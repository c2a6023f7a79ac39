"""`faultfinder resume` without a job offers the open ones."""

from __future__ import annotations

from pathlib import Path

import pytest
from running import run_here
from talking import SMALL


def begun(folder: Path, complaint: str) -> str:
    before = {path.stem for path in folder.glob("*.yaml")}
    run_here(folder, "--pack", str(SMALL), lines=[complaint])
    (new,) = {path.stem for path in folder.glob("*.yaml")} - before
    return new


def test_the_open_jobs_are_offered_and_the_one_chosen_goes_on(tmp_path: Path) -> None:
    names = {begun(tmp_path, "stays cold"), begun(tmp_path, "it blows cold air")}
    done = run_here(tmp_path, "resume", "--pack", str(SMALL), lines=["9", "nonsense", "2", "stop"])
    assert done.returncode == 0
    # Begun in the same second, they may stand in either order.
    second = next(name for name in names if f"2  {name}" in done.stdout)
    (first,) = names - {second}
    assert f"1  {first}" in done.stdout
    assert "it blows cold air" in done.stdout
    assert done.stdout.count("Type a number or part of a name") == 2
    assert f"going on with job {second}" in done.stdout
    by_part = run_here(tmp_path, "resume", "--pack", str(SMALL), lines=[first[-6:], "stop"])
    assert f"going on with job {first}" in by_part.stdout


@pytest.mark.parametrize("lines", [[], ["stop"]])
def test_whoever_chooses_none_leaves_and_nothing_is_written(tmp_path: Path, lines: list[str]) -> None:
    name = begun(tmp_path, "stays cold")
    before = (tmp_path / f"{name}.yaml").read_bytes()
    done = run_here(tmp_path, "resume", "--pack", str(SMALL), lines=lines)
    assert done.returncode == 0 and "going on" not in done.stdout
    assert (tmp_path / f"{name}.yaml").read_bytes() == before


def test_without_an_open_job_it_says_what_there_is_instead(tmp_path: Path) -> None:
    done = run_here(tmp_path, "resume")
    assert done.returncode == 2 and "No job is open in" in done.stderr
    assert "Traceback" not in done.stderr


def test_enter_takes_up_the_only_open_job_and_chooses_none_of_two(tmp_path: Path) -> None:
    name = begun(tmp_path, "stays cold")
    done = run_here(tmp_path, "resume", "--pack", str(SMALL), lines=["", "stop"])
    assert f"going on with job {name}" in done.stdout
    begun(tmp_path, "it blows cold air")
    done = run_here(tmp_path, "resume", "--pack", str(SMALL), lines=["", "stop"])
    assert "going on" not in done.stdout and "Type a number" in done.stdout
