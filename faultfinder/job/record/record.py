"""The file that a job is kept in: read, appended to, and never losing what was acknowledged.

Laws. `append` returns only after every line of the turn, their ends included, has been written in one write and
synced to disk (and the folder too when the file is new). Reading changes nothing. What a turn left unfinished is
told, and cut off before the next line is written; damage is left where it is (see lines.py). A file that can
be anything but a record is never written to. A record that is no longer what was written is left as it was found, and
the job goes on in a file beside it. One process at a time may write.
"""

from __future__ import annotations

import errno
import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import count
from pathlib import Path
from textwrap import wrap

from faultfinder.job.events import Event
from faultfinder.job.record.event_codec import MAX_LINE, Place, mark_of, plain_text, to_line
from faultfinder.job.record.filesystem import Disk, InUse
from faultfinder.job.record.lines import MAX_RECORD, MOST_LINES, Contents, RecordError, parse_record
from faultfinder.job.record.whole_file import reason_of, refusals_told, try_to_remove
from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import WARNING, Problem
from faultfinder.text.catalogue import say

SUFFIX = ".yaml"
TOLD_FROM = 1_000
"""So many lines before a record is full, it is told; chosen."""


def read_record(path: str | Path, files: Disk | None = None) -> Contents:
    """Read a record without changing it. Raises RecordError where there is none or it cannot be read at all."""
    path = Path(path)
    with refusals_told("cannot_be_read", path, reading=True):
        try:
            data = (files or Disk()).read(path)
        except FileNotFoundError:
            raise RecordError(say("record_there_no_record", path=plain_text(str(path)))) from None
    return parse_record(data, str(path))


class Record:
    """An open record, held by this process alone. Use `Record.create` or `Record.open`, then `append`.

    path: where it is kept now. contents: the record as it was found; its problems must be told to the person.
    """

    def __init__(self, path: Path, files: Disk, handle: int, contents: Contents, kept: bytes = b"") -> None:
        self.path = path
        self.contents = contents
        self._files = files
        self._handle: int | None = handle
        self._kept = kept
        """Every byte that is acknowledged."""
        self._tried = b""
        """What a turn that failed may have left behind them."""
        self._place = contents.next_place
        self._lines = contents.entries

    @classmethod
    def create(cls, path: str | Path, first: Event, files: Disk | None = None) -> Record:
        """A new record with its first event on disk. Raises RecordError, leaving nothing behind that counts."""
        path = Path(path)
        files = files or Disk()
        with refusals_told("cannot_be_made", path):
            try:
                files.make_folder(path.parent)
                handle = files.open(path, create=True)
            except FileExistsError:
                told = say("record_there_already_choose_another", path=plain_text(str(path)))
                raise RecordError(told) from None
        contents = _told(parse_record(b"", str(path)), path, _about_lock(files, handle))
        record = cls(path, files, handle, contents)
        record._place = Place(mark_of(first), 1)
        try:
            record.append(first, before=header())
            files.sync_folder(path.parent)
        except (RecordError, OSError) as error:
            record.close()
            try_to_remove(files, path)
            reason = str(error) if isinstance(error, RecordError) else f"{reason_of(error)}."
            raise RecordError(
                say("record_cannot_be_made", path=plain_text(str(path)), reason=reason)
            ) from error
        return record

    @classmethod
    def open(cls, path: str | Path, files: Disk | None = None) -> Record:
        """An existing record, to go on with. Its torn tail is cut off now, and others than its owner may read it no
        longer; see `contents.problems`. Raises RecordError, and has written nothing, where it may be no record."""
        path = Path(path)
        files = files or Disk()
        with refusals_told("record_cannot_opened", path):
            try:
                handle = files.open(path, create=False)
            except FileNotFoundError:
                raise RecordError(say("record_there_no_record", path=plain_text(str(path)))) from None
            except InUse:
                raise RecordError(say("record_open_in_another_window", path=plain_text(str(path)))) from None
        try:
            data = files.read_open(handle)
            contents = parse_record(data, str(path))
            if not contents.known:
                raise RecordError(say("record_not_recognised_as_job", path=plain_text(str(path))))
            if contents.newer:
                raise RecordError(say("record_written_by_newer_version", path=plain_text(str(path))))
            told = [*_about_lock(files, handle), *_made_private(files, handle)]
            record = cls(path, files, handle, _told(contents, path, told), data[: contents.sound])
            record._tried = data[contents.sound :]
            record._mend()
            if not record._kept.endswith(b"\n"):
                # Its own end for a last line that lacks it, before anything else is written near it.
                files.append(handle, b"\n")
                record._kept += b"\n"
            # Whoever wrote it last may have been stopped before it was safe; what is shown as kept must be.
            files.sync(handle)
            files.sync_folder(path.parent)
        except RecordError:
            files.close(handle)
            raise
        except OSError as error:
            files.close(handle)
            raise RecordError(
                say("record_cannot_mended", what=plain_text(str(path)), why=reason_of(error))
            ) from error
        return record

    def append(self, *events: Event, before: str = "") -> str:
        """Keep the events of a turn, all of them or none; when this returns they are on disk. Returns what the person
        must be told of the record, mostly nothing. Raises RecordError: then none is kept.

        Without events it only looks whether all that was acknowledged is still there. before: remarks that stand
        above them, whole lines.
        """
        if self._handle is None:
            raise RecordError(say("record_closed"))
        if self._lines + len(events) > MOST_LINES:
            limit = say("record_limit_lines", count=f"{MOST_LINES:,}")
            raise RecordError(say("record_full", limit=limit))
        data = before.encode("utf-8") + self._lines_of(events)
        if len(self._kept) + len(data) > MAX_RECORD:
            limit = say("record_limit_bytes", count=f"{MAX_RECORD:,}")
            raise RecordError(say("record_full", limit=limit))
        told = [] if self._as_left() else [self._go_on_beside()]
        if data:
            self._write(data)
            self._kept += data
            self._tried = b""
            told += self._nearly_full(len(events))
            self._lines += len(events)
            self._place = replace(self._place, number=self._place.number + len(events))
        return " ".join(told)

    def _lines_of(self, events: Sequence[Event]) -> bytes:
        lines = []
        for number, event in enumerate(events):
            place = Place(self._place.record, self._place.number + number, len(events) - 1 - number)
            line = to_line(event, place)
            if len(line) > MAX_LINE:
                raise RecordError(say("record_line_too_long", count=f"{len(line):,}"))
            lines.append(line + "\n")
        return "".join(lines).encode("utf-8")

    def _write(self, data: bytes) -> None:
        assert self._handle is not None
        self._tried = data
        try:
            self._mend()
            written = self._files.append(self._handle, data)
            if written != len(data):
                raise OSError(errno.ENOSPC, say("no_room_for_line"))
            self._files.sync(self._handle)
        except OSError as error:
            with suppress(OSError):  # the next append, or the next opening, cuts it off
                self._mend()
            raise RecordError(say("record_not_kept", why=reason_of(error))) from error

    def _nearly_full(self, count: int) -> list[str]:
        """Told at every hundred of the last thousand lines, and at each of the last ones."""
        left, before = MOST_LINES - self._lines - count, MOST_LINES - self._lines
        if left >= TOLD_FROM or (left // 100 == before // 100 and left > 20):
            return []
        return [say("record_nearly_full", left=f"{left:,}")]

    # -- whether the file is still what was written -------------------------------------------------------

    def _as_left(self) -> bool:
        """Whether the file under the record's name holds what was acknowledged, and nothing that others put there."""
        assert self._handle is not None
        try:
            if not self._files.is_named(self._handle, self.path):
                return False
            data = self._files.read_open(self._handle)
        except OSError as error:
            raise RecordError(say("record_not_read_not_kept", why=reason_of(error))) from error
        return data.startswith(self._kept) and self._tried.startswith(data[len(self._kept) :])

    def _go_on_beside(self) -> str:
        """Keep every acknowledged line in a new file beside and go on there; what to tell. Raises RecordError."""
        assert self._handle is not None
        there = self._files.exists(self.path)
        gone = say("record_changed_replaced_by_something" if there else "record_removed")
        path = plain_text(str(self.path))
        stem = re.sub(r"-kept-\d+\Z", "", self.path.name.removesuffix(SUFFIX))
        for number in count(1):
            new = self.path.with_name(f"{stem}-kept-{number}{SUFFIX}")
            beside = plain_text(str(new))
            try:
                handle = self._kept_in(new)
                break
            except FileExistsError:
                continue
            except OSError as error:
                why = reason_of(error)
                told = say("record_gone_not_kept", path=path, gone=gone, beside=beside, why=why)
                raise RecordError(told) from error
        self._files.close(self._handle)
        self.path, self._handle, self._tried = new, handle, b""
        return say("record_gone", path=path, gone=gone, beside=beside)

    def _kept_in(self, path: Path) -> int:
        """The handle of a new file of every acknowledged line. Raises OSError, and leaves none then."""
        files = self._files
        files.make_folder(path.parent)
        handle = files.open(path, create=True)
        try:
            if files.append(handle, self._kept) != len(self._kept):
                raise OSError(errno.ENOSPC, say("no_room_for_record"))
            files.sync(handle)
            files.sync_folder(path.parent)
        except OSError:
            files.close(handle)
            try_to_remove(files, path)
            raise
        return handle

    def _mend(self) -> None:
        """Cut off what stands behind the last acknowledged line, and be sure of it before anything follows."""
        if self._handle is not None and self._files.size(self._handle) > len(self._kept):
            self._files.truncate(self._handle, len(self._kept))
            self._files.sync(self._handle)

    def close(self) -> None:
        """Let go of the file; more than once does no harm."""
        if self._handle is not None:
            self._files.close(self._handle)
            self._handle = None

    def __enter__(self) -> Record:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _told(contents: Contents, path: Path, more: Sequence[str]) -> Contents:
    """The contents with more that is to be told of the file."""
    new = [Problem(Mark(str(path), 1, 1), "file", WARNING, text) for text in more]
    return replace(contents, problems=(*contents.problems, *new))


def _about_lock(files: Disk, handle: int) -> list[str]:
    if files.is_alone(handle):
        return []
    return [say("record_disk_has_no_locks")]


def _made_private(files: Disk, handle: int) -> list[str]:
    """Take the record from all others but its owner; a job tells whose machine it was."""
    try:
        changed = files.make_private(handle)
    except OSError as error:
        return [say("record_others_on_computer_can", why=reason_of(error))]
    return [say("record_others_on_computer_could")] if changed else []


def job_path(folder: str | Path, name: str) -> Path:
    """The file of the job of that name in that folder, and nowhere else.

    Letters, digits, '-' and '_' stay; anything else becomes '-'. Raises RecordError for a name with nothing left.
    """
    stem = name[: -len(SUFFIX)] if name.endswith(SUFFIX) else name
    safe = re.sub(r"[^\w-]+", "-", stem, flags=re.UNICODE).strip("-_")[:80]
    if not safe or safe.upper() in _DEVICES:
        raise RecordError(say("record_no_name_for_job", name=plain_text(name)[:40]))
    return Path(folder) / f"{safe}{SUFFIX}"


_DEVICES = frozenset(
    {"CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(10))}
)
"""Names that are no files on Windows."""


def header() -> str:
    """The comment that a record begins with."""
    return "".join(f"# {line}\n" for line in wrap(say("opening_notice"), 76))
