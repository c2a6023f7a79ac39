"""Records of other folders brought into this one: nothing is overwritten, and what each one is, is told.

Two records are of one job where they begin with the same entries (BEGINS of them at least). One that holds all of the
other is the longer one; two that go on differently are at odds, and both are kept. What cannot be read whole is named
and left where it is. Files beside a record (who the customer is, pictures) come with a record that is new here.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import FORMAT, Event, opening
from faultfinder.job.history.search import ODD, odd, record_names
from faultfinder.job.record.event_codec import plain_text, to_line
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import Contents, RecordError
from faultfinder.job.record.record import SUFFIX, Record, job_path, read_record
from faultfinder.job.record.whole_file import new_file, reason_of, refusals_told
from faultfinder.job.workshop.attachments import beside, stem_of
from faultfinder.job.workshop.forget import forgotten, is_forgotten
from faultfinder.text.catalogue import say

NEW, KNOWN, LONGER, AT_ODDS, LEFT = "new", "known", "longer", "at odds", "left"
BEGINS = 2
"""So many entries in common make one job of two records: every entry has its time to the second. Chosen."""
LETTERS = "bcdfghjkmnpqrstvwxz"
"""Letters that are taken for no other and make no words."""


@dataclass(frozen=True, slots=True)
class Brought:
    """What became of one record. kind: NEW, KNOWN, LONGER, AT_ODDS or LEFT. name: of the record that holds it here,
    empty for LEFT. why: the reason where it was left."""

    source: Path
    kind: str
    name: str = ""
    why: str = ""


def bring_in(
    folder: Path, sources: Sequence[Path], files: Disk, told: Callable[[str], None] = lambda text: None
) -> list[Brought]:
    """Bring the records of the folders `sources` into `folder`. told: called as it goes on. Raises RecordError where
    a folder cannot be looked at."""
    known = _Known()
    for name in _names(folder, files):
        try:
            known.add(folder / name, _lines(read_record(folder / name, files).events))
        except (FaultFinderError, *ODD):
            continue  # what cannot be read here is told by the list of jobs
    out: list[Brought] = []
    for source in sources:
        for number, name in enumerate(_names(source, files, must=True), 1):
            told(f"{number} {plain_text(name)}")
            out.append(_one(folder, source / name, files, known))
    return out


class _Known:
    """The records here, found by their first entry."""

    def __init__(self) -> None:
        self.by_first: dict[str, list[tuple[Path, tuple[str, ...]]]] = {}

    def add(self, path: Path, lines: tuple[str, ...]) -> None:
        if lines:
            self.by_first.setdefault(lines[0], []).append((path, lines))

    def change(self, path: Path, lines: tuple[str, ...]) -> None:
        known = self.by_first[lines[0]]
        known[:] = [(each, lines if each == path else held) for each, held in known]


def _names(folder: Path, files: Disk, *, must: bool = False) -> list[str]:
    with refusals_told("cannot_be_looked_at", folder, reading=True):
        if must and files.is_file(folder):
            why = say("bring_in_file_named")
            raise RecordError(say("cannot_be_looked_at", what=plain_text(str(folder)), why=why))
        if must:
            files.names(folder)
        return record_names(folder, files)


def _lines(events: Iterable[Event]) -> tuple[str, ...]:
    """The entries as they read, wherever they stand and whoever wrote them."""
    return tuple(to_line(event, check=False) for event in events)


def _one(folder: Path, path: Path, files: Disk, known: _Known) -> Brought:
    reading = True
    try:
        if not files.is_file(path):
            return Brought(path, LEFT, why=say("bring_in_no_file_its_own"))
        data = files.read(path)
        contents = read_record(path, files)
        if why := _why_left(contents):
            return Brought(path, LEFT, why=why)
        reading = False
        return _sorted_in(folder, path, data[: contents.sound], contents.events, files, known)
    except FaultFinderError as error:
        return Brought(path, LEFT, why=str(error))
    except OSError as error:
        return Brought(path, LEFT, why=reason_of(error, reading=reading))
    except ODD as error:
        return Brought(path, LEFT, why=odd(path, error))


def _why_left(contents: Contents) -> str:
    """Why a record that was read is left where it is; empty where it is not."""
    opened = opening(contents.events)
    if not contents.known:
        return say("bring_in_not_recognised_as_job")
    if opened is not None and opened.format > FORMAT:
        return say("bring_in_newer_program_record_format", format=opened.format)
    damage = (str(problem) for problem in contents.problems if problem.is_error)
    return say("bring_in_damaged_newer_program", first=next(damage)) if contents.damaged else ""


def _sorted_in(
    folder: Path, path: Path, data: bytes, events: Sequence[Event], files: Disk, known: _Known
) -> Brought:
    lines, pruned = _lines(events), _lines(forgotten(events))
    odds = False
    for mine, held in known.by_first.get(lines[0], []):
        theirs = pruned if is_forgotten(held) else lines
        common = _common(held, theirs)
        if common == len(theirs):
            return Brought(path, KNOWN, _name(mine))
        if common == len(held) >= BEGINS:
            rest = forgotten(events) if theirs is pruned else events
            with Record.open(mine, files) as record:
                record.append(*rest[common:])
                kept = record.path
            known.change(mine, theirs)
            return Brought(path, LONGER, _name(kept))
        odds = odds or common >= BEGINS
    target = _free(folder, path, data, files, odds)
    _copied(data, target, files)
    if not odds:
        for other in beside(path, files):
            its = target.with_name(stem_of(target) + other.name[len(stem_of(path)) :])
            if files.is_file(other) and not files.exists(its):
                _copied(files.read(other), its, files)
    known.add(target, lines)
    return Brought(path, AT_ODDS if odds else NEW, _name(target))


def _common(one: Sequence[str], other: Sequence[str]) -> int:
    """How many entries two records begin with in common."""
    pairs = zip(one, other, strict=False)
    return next((n for n, (a, b) in enumerate(pairs) if a != b), min(len(one), len(other)))


def _name(path: Path) -> str:
    return path.name.removesuffix(SUFFIX)


def _free(folder: Path, path: Path, data: bytes, files: Disk, odds: bool) -> Path:
    """A name here that nothing has: its own, else with letters behind it that follow from what it holds."""
    own = job_path(folder, path.name)
    if not odds and not files.exists(own):
        return own
    number = int.from_bytes(hashlib.sha256(data).digest()[:16], "big")
    for length in range(4, 24):
        tail = letters(number, length)
        target = job_path(folder, f"{_name(own)[:60]}-{tail}")
        if not files.exists(target):
            return target
    raise RecordError(say("bring_in_no_name_for_free"))


def letters(number: int, length: int) -> str:
    """A number as letters that are taken for no other, the lowest place first."""
    out = []
    for _ in range(length):
        number, place = divmod(number, len(LETTERS))
        out.append(LETTERS[place])
    return "".join(out)


def _copied(data: bytes, target: Path, files: Disk) -> None:
    """A new file of these bytes, or none. Raises OSError."""
    files.make_folder(target.parent)
    new_file(target, data, files)
    files.sync_folder(target.parent)
