"""The jobs of a folder without an index, each record taken apart: what the index must agree with."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from faultfinder.errors import FaultFinderError
from faultfinder.job.history.search import ODD, Job, fitting, job_of, odd, record_names, unreadable
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.record import read_record


def jobs(folder: Path, files: Disk, words: Sequence[str] = ()) -> list[Job]:
    """The jobs of a folder that hold all the words, latest first."""
    return fitting((_job(folder / name, files) for name in record_names(folder, files)), words)


def _job(path: Path, files: Disk) -> Job:
    try:
        return job_of(path, read_record(path, files))
    except FaultFinderError as error:
        return unreadable(path, str(error))
    except ODD as error:
        return unreadable(path, odd(path, error))
