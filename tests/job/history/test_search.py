"""The list of jobs: open and closed, found by any words in them, damaged ones told."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from memory_files import MemoryFiles
from reporting import ISOLATE, events

from faultfinder.job import events as happened
from faultfinder.job.events import Event, Opened
from faultfinder.job.history.search import Job, as_mapping, jobs, record_names
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.record import Record

FOLDER = Path("/jobs")
CLOSE = ("fact: connection, is: plug", *ISOLATE)


def kept(files: MemoryFiles, name: str, *told: Event, at: str = "2026-03-02T09:00:00") -> None:
    with Record.create(FOLDER / f"{name}.yaml", Opened("small_pack", at=at), files) as record:
        for event in told:
            record.append(event)


@pytest.fixture
def files() -> MemoryFiles:
    """Three jobs: one open, one closed, one closed and taken up again."""
    files = MemoryFiles()
    kept(
        files,
        "monday",
        happened.Complaint("Stays COLD since the cat slept on it", at="2026-03-02T09:05:00"),
        happened.Answered("element_resistance", "", "OL", at="2026-03-02T09:30:00"),
    )
    kept(
        files,
        "tuesday",
        happened.Complaint("squeals"),
        *events(*CLOSE),
        happened.Closed("left_isolated", ("fan_worn",), (), 42.0, at="2026-03-03T11:00:00"),
        at="2026-03-03T10:00:00",
    )
    kept(
        files,
        "wednesday",
        *events(*CLOSE, "closed: left_isolated, minutes: 10"),
        happened.Resumed("it squeals again", at="2026-03-09T08:00:00"),
        at="2026-03-04T10:00:00",
    )
    return files


def names(found: list[Job]) -> list[str]:
    return [job.name for job in found]


def test_all_jobs_stand_there_the_latest_first_with_their_state(files: MemoryFiles) -> None:
    assert [(job.name, job.state, job.minutes) for job in jobs(FOLDER, files)] == [
        ("wednesday", "open", None),
        ("tuesday", "left_isolated", 42.0),
        ("monday", "open", None),
    ]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (["cold"], ["monday"]),
        (["CAT", "cold"], ["monday"]),
        (["cat", "squeals"], []),
        (["squeals"], ["wednesday", "tuesday"]),
        (["open"], ["wednesday", "monday"]),
        (["closed"], ["tuesday"]),
        (["left isolated", "fan worn"], ["tuesday"]),
        (["fan_worn"], ["tuesday"]),
        (["element resistance"], ["monday"]),
        (["2026-03-02"], ["monday"]),
        (["2026-03-02 09:30"], ["monday"]),
        (["42 min"], ["tuesday"]),
        (["wednes"], ["wednesday"]),
        (["small"], ["wednesday", "tuesday", "monday"]),
        (["no such word"], []),
    ],
)
def test_a_job_is_found_by_any_words_in_it(files: MemoryFiles, words: list[str], found: list[str]) -> None:
    assert names(jobs(FOLDER, files, words)) == found


def test_no_folder_means_no_jobs() -> None:
    assert jobs(Path("/nowhere"), MemoryFiles()) == []


def test_what_is_no_record_is_not_listed(tmp_path: Path) -> None:
    for name in (".a.yaml.part", "notes.txt", ".hidden.yaml", "good.yaml"):
        (tmp_path / name).write_text("- {opened: small_pack}\n")
    (tmp_path / "folder.yaml").mkdir()
    assert record_names(tmp_path, Disk()) == ["good.yaml"]


def test_a_damaged_record_is_listed_with_what_can_be_read_and_told(tmp_path: Path) -> None:
    (tmp_path / "one.yaml").write_text(
        '- {opened: small_pack}\n- {nonsense: 1}\n- {complaint: "cold", at: "2026-03-02T09:00:00"}\n'
    )
    (job,) = jobs(tmp_path, Disk())
    assert job.damaged and job.complaint == "cold"
    assert 'there is no event "nonsense"' in job.problems[0]
    assert names(jobs(tmp_path, Disk(), ["damaged"])) == ["one"]


def test_a_torn_record_is_told_and_not_called_damaged(tmp_path: Path) -> None:
    (tmp_path / "one.yaml").write_text("- {opened: small_pack}\n- {compl")
    (job,) = jobs(tmp_path, Disk())
    assert not job.damaged
    assert "unfinished" in job.problems[0]


def test_a_record_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "one.yaml").symlink_to(tmp_path / "gone")
    (tmp_path / "two.yaml").write_bytes(b"\x00\xff" * 100)
    os.truncate(tmp_path / "two.yaml", 30_000_000)
    found = jobs(tmp_path, Disk())
    assert "two" in names(found)
    (two,) = [job for job in found if job.name == "two"]
    assert (two.state, two.damaged) == ("unreadable", True)
    assert "too many for a job record" in two.problems[0]


def test_many_problems_are_counted_instead_of_all_told(tmp_path: Path) -> None:
    (tmp_path / "one.yaml").write_text("- {nonsense: 1}\n" * 50)
    (job,) = jobs(tmp_path, Disk())
    assert len(job.problems) == 4 and job.problems[-1] == "and 47 more"


def test_times_of_different_zones_are_put_in_their_true_order() -> None:
    files = MemoryFiles()
    kept(files, "east", at="2026-03-02T10:00:00+05:00")
    kept(files, "west", at="2026-03-02T09:00:00-05:00")
    kept(files, "none", at="2026-03-02T08:00:00")
    files.open(FOLDER / "empty.yaml", create=True)
    assert names(jobs(FOLDER, files)) == ["west", "none", "east", "empty"]


def test_the_mapping_is_plain(files: MemoryFiles) -> None:
    (job,) = jobs(FOLDER, files, ["fan worn"])
    assert as_mapping(job) == {
        "name": "tuesday",
        "path": "/jobs/tuesday.yaml",
        "state": "left_isolated",
        "pack": "small_pack",
        "began": "2026-03-03T10:00:00",
        "last": "2026-03-03T11:00:00",
        "complaint": "squeals",
        "minutes": 42.0,
        "found": ["fan_worn"],
        "damaged": False,
        "problems": [],
    }
