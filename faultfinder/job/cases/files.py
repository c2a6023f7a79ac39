"""Where the worked cases of a pack are: `cases/` in its folder, or beside its file; one case a file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from faultfinder.errors import FaultFinderError
from faultfinder.job.cases.worked import WorkedCase
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.record import read_record
from faultfinder.knowledge.load import find_pack

FOLDER = "cases"
SUFFIXES = (".yaml", ".yml")


class NoCases(FaultFinderError):
    """There is nothing to run; the message says where it was looked for."""


@dataclass(frozen=True, slots=True)
class CaseFiles:
    """pack: the folder or file of the rules. cases: the files of the cases meant, by name."""

    pack: Path
    cases: tuple[Path, ...]


def find_cases(named: str | Path) -> CaseFiles:
    """The cases of the pack of that path or name, those of a `cases` folder, or one case by its file.

    Raises NoCases where there is none, PackNotFound where there is no such pack.
    """
    path = find_pack(named)
    if path.is_dir() and path.name == FOLDER:
        return CaseFiles(path.parent, _inside(path))
    if path.is_file() and path.parent.name == FOLDER:
        return CaseFiles(path.parent.parent, (path,))
    return CaseFiles(path, _inside((path if path.is_dir() else path.parent) / FOLDER))


def _inside(folder: Path) -> tuple[Path, ...]:
    try:
        names = Disk().names(folder)
    except FileNotFoundError:
        raise NoCases(f"There are no worked cases: no folder {folder}. The guide tells how.") from None
    except OSError as error:
        raise NoCases(f"The folder {folder} cannot be read: {error.strerror}.") from error
    found = tuple(folder / name for name in names if name.endswith(SUFFIXES) and not name.startswith("."))
    if not found:
        raise NoCases(f"There are no worked cases in {folder}: a case is a file that ends in .yaml.")
    return found


def read_cases(paths: Iterable[Path]) -> list[WorkedCase]:
    """Read them. Raises RecordError for one that cannot be read at all; see `problems` for the others."""
    cases = []
    for path in paths:
        contents = read_record(path)
        cases.append(WorkedCase(path.stem, str(path), contents.events, contents.lines, contents.problems))
    return cases
