"""The file that a job is kept in: read, appended to, and never losing what was acknowledged.

Laws. `append` returns only after the whole line, its end included, has been written in one write and synced to
disk (and the folder too when the file is new). Reading changes nothing. A last line that was never finished is
*torn*: left out, told, and cut off before the next line is written. A finished line that cannot be right is
*damage*: told with its place, left where it is, never skipped in silence. A line without a check was written by
a hand and is taken as it stands. One process at a time may write.
"""

from __future__ import annotations

import errno
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from textwrap import wrap

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import FORMAT, Event, Opened
from faultfinder.job.line import MAX_LINE, parse_line, plain_text, to_line
from faultfinder.job.seam import Disk, Files, InUse
from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import ERROR, WARNING, Problem
from faultfinder.safety.actions import OPENING_NOTICE

SUFFIX = ".yaml"
MAX_RECORD = 20_000_000
"""Largest record in bytes; a long job has some 100 kB. Chosen."""
MOST_LINES = 10_000
"""Most events in a record; a long job has some 500. Chosen."""


HEADER = "".join(f"# {line}\n" for line in wrap(OPENING_NOTICE, 76))
"""What stands at the top of every record, for whoever opens the file."""


class RecordError(FaultFinderError):
    """The record cannot be opened, read or written; the message says what is wrong and what to do."""


@dataclass(frozen=True, slots=True)
class Contents:
    """What a record holds. `problems`: damage (errors) and what else is to be told (warnings), by place.

    sound: how many bytes from the start are finished lines; torn: how many unfinished ones follow.
    """

    events: tuple[Event, ...]
    lines: tuple[int, ...]
    """The line number of each event."""
    problems: tuple[Problem, ...]
    sound: int
    torn: int

    @property
    def damaged(self) -> bool:
        return any(problem.is_error for problem in self.problems)


def read_record(path: str | Path, files: Files | None = None) -> Contents:
    """Read a record without changing it. Raises RecordError where there is none or it cannot be read at all."""
    path = Path(path)
    try:
        data = (files or Disk()).read(path)
    except FileNotFoundError:
        raise RecordError(f"There is no record {plain_text(str(path))}.") from None
    except OSError as error:
        raise RecordError(f"{plain_text(str(path))} cannot be read: {_reason(error)}.") from error
    return parse_record(data, str(path))


def parse_record(data: bytes, file: str = "") -> Contents:
    """What the bytes of a record hold; see `Contents`. Raises RecordError for what cannot be a record."""
    if len(data) > MAX_RECORD:
        raise RecordError(f"{plain_text(file)} has {len(data):,} bytes: that is no job record.")
    sound, torn = _tail(data)
    events: list[Event] = []
    lines: list[int] = []
    problems: list[Problem] = []
    for count, (number, raw) in enumerate(_entries(data[:sound])):
        if count >= MOST_LINES:
            raise RecordError(
                f"{plain_text(file)} has more than {MOST_LINES:,} lines: that is no job record."
            )
        try:
            text = raw.decode("utf-8")
        except UnicodeDecodeError:
            problems.append(Problem(Mark(file, number, 1), "damaged", ERROR, "the line is no UTF-8 text"))
            continue
        if text.startswith("#"):
            message = "a finished line whose first character is no '-' any more"
            problems.append(Problem(Mark(file, number, 1), "damaged", ERROR, message, "put it right"))
            continue
        line = parse_line(text, file, number)
        problems += line.problems
        if line.event is not None:
            events.append(line.event)
            lines.append(number)
    if torn:
        number = data.count(b"\n", 0, sound) + 1
        message = (
            "the last line was never finished and is left out: the answer before it is the last one kept"
        )
        problems.append(Problem(Mark(file, number, 1), "torn", WARNING, message))
    problems += _about_format(events, file)
    problems += _about_clock(events, lines, file)
    return Contents(tuple(events), tuple(lines), tuple(problems), sound, torn)


def _tail(data: bytes) -> tuple[int, int]:
    """Where the sound part ends and how much is torn behind it."""
    end = data.rfind(b"\n") + 1
    rest = data[end:]
    if not rest:
        return end, 0
    try:
        text = rest.decode("utf-8")
    except UnicodeDecodeError:
        return end, len(rest)
    # A whole line whose end alone is missing: cut there by bad luck, or typed by hand without a last Enter.
    whole = not text.strip() or text.lstrip().startswith("#") or parse_line(text).event is not None
    return (len(data), 0) if whole else (end, len(rest))


def _entries(data: bytes) -> Iterable[tuple[int, bytes]]:
    """(line number, bytes) of each event; a hand may break one over further lines that begin with a space."""
    entry: list[bytes] = []
    start = 0
    for number, raw in enumerate(data.split(b"\n"), start=1):
        line = raw.rstrip(b"\r")
        if not line.strip() or (line.lstrip().startswith(b"#") and not _was_a_line(line)):
            continue
        if line[:1] in (b" ", b"\t") and entry:
            entry.append(line)
            continue
        if entry:
            yield start, b"\n".join(entry)
        entry, start = [line], number
    if entry:
        yield start, b"\n".join(entry)


def _was_a_line(line: bytes) -> bool:
    """Whether a remark is a line that the program wrote, but for its first character."""
    return parse_line("-" + line[1:].decode("utf-8", "replace")).checked


def _about_format(events: list[Event], file: str) -> list[Problem]:
    opened = next((event for event in events if isinstance(event, Opened)), None)
    if opened is None or opened.format == FORMAT:
        return []
    age = "an older" if opened.format < FORMAT else "a newer"
    message = f"written by {age} version (record format {opened.format}, this is {FORMAT}); "
    message += "what can be read is read"
    return [Problem(Mark(file, 1, 1), "other-format", WARNING, message)]


def _about_clock(events: list[Event], lines: list[int], file: str) -> list[Problem]:
    """Where the times in a record go back: told, and nothing is left out for it."""
    problems: list[Problem] = []
    latest: datetime | None = None
    for event, number in zip(events, lines, strict=True):
        text = getattr(event, "at", "")
        at = datetime.fromisoformat(text) if text else None
        if at is None:
            continue
        at = at.astimezone(UTC) if at.tzinfo else at.replace(tzinfo=UTC)
        if latest is not None and at < latest:
            message = "the clock went back here; the order of the lines is what counts"
            problems.append(Problem(Mark(file, number, 1), "clock-back", WARNING, message))
        latest = at
    return problems


class Record:
    """An open record, held by this process alone. Use `Record.create` or `Record.open`, then `append`.

    contents: the record as it was found; its problems must be told to the person.
    """

    def __init__(self, path: Path, files: Files, handle: int, contents: Contents) -> None:
        self.path = path
        self.contents = contents
        self._files = files
        self._handle: int | None = handle
        self._size = contents.sound

    @classmethod
    def create(cls, path: str | Path, first: Event, files: Files | None = None) -> Record:
        """A new record with its first event on disk. Raises RecordError, leaving nothing behind that counts."""
        path = Path(path)
        files = files or Disk()
        try:
            files.make_folder(path.parent)
            handle = files.open(path, create=True)
        except FileExistsError:
            raise RecordError(f"{plain_text(str(path))} is there already; choose another name.") from None
        except OSError as error:
            raise RecordError(f"{plain_text(str(path))} cannot be made: {_reason(error)}.") from error
        record = cls(path, files, handle, parse_record(b"", str(path)))
        try:
            record.append(first, HEADER)
            files.sync_folder(path.parent)
        except (RecordError, OSError) as error:
            record.close()
            _try_to_remove(files, path)
            reason = str(error) if isinstance(error, RecordError) else f"{_reason(error)}."
            raise RecordError(f"{plain_text(str(path))} cannot be made: {reason}") from error
        return record

    @classmethod
    def open(cls, path: str | Path, files: Files | None = None) -> Record:
        """An existing record, to go on with. Its torn tail is cut off now; see `contents.problems`."""
        path = Path(path)
        files = files or Disk()
        try:
            handle = files.open(path, create=False)
        except FileNotFoundError:
            raise RecordError(f"There is no record {plain_text(str(path))}.") from None
        except InUse:
            raise RecordError(
                f"{plain_text(str(path))} is open in another window; close that one first."
            ) from None
        except OSError as error:
            raise RecordError(f"{plain_text(str(path))} cannot be opened: {_reason(error)}.") from error
        try:
            data = files.read(path)
            record = cls(path, files, handle, parse_record(data, str(path)))
            record._mend()
            if record._size and data[record._size - 1 : record._size] != b"\n":
                # Its own end for a last line that lacks it, before anything else is written near it.
                record._size += files.append(handle, b"\n")
            # Whoever wrote it last may have been stopped before it was safe; what is shown as kept must be.
            files.sync(handle)
            files.sync_folder(path.parent)
        except RecordError:
            files.close(handle)
            raise
        except OSError as error:
            files.close(handle)
            raise RecordError(f"{plain_text(str(path))} cannot be mended: {_reason(error)}.") from error
        return record

    def append(self, event: Event, before: str = "") -> None:
        """Keep an event; when this returns it is on disk. Raises RecordError: then it is not kept.

        before: remarks that stand above it, whole lines.
        """
        if self._handle is None:
            raise RecordError("The record is closed.")
        line = to_line(event)
        if len(line) > MAX_LINE:
            raise RecordError(
                f"This was not kept: a line of {len(line):,} characters is too long. Shorten it."
            )
        data = (before + line + "\n").encode("utf-8")
        try:
            self._mend()
            written = self._files.append(self._handle, data)
            if written != len(data):
                raise OSError(errno.ENOSPC, "no room for the whole line")
            self._files.sync(self._handle)
        except OSError as error:
            self._try_to_mend()
            raise RecordError(
                f"This was not kept: {_reason(error)}. Put that right, then give it again."
            ) from error
        self._size += len(data)

    def _mend(self) -> None:
        """Cut off what stands behind the last acknowledged line, and be sure of it before anything follows."""
        if self._handle is not None and self._files.size(self._handle) > self._size:
            self._files.truncate(self._handle, self._size)
            self._files.sync(self._handle)

    def _try_to_mend(self) -> None:
        try:
            self._mend()
        except OSError:
            pass  # The next append, or the next opening, cuts it off.

    def close(self) -> None:
        """Let go of the file; more than once does no harm."""
        if self._handle is not None:
            self._files.close(self._handle)
            self._handle = None

    def __enter__(self) -> Record:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _try_to_remove(files: Files, path: Path) -> None:
    """A record that could not be begun shall not stand in the way of the next try."""
    try:
        files.remove(path)
    except OSError:
        pass


def job_path(folder: str | Path, name: str) -> Path:
    """The file of the job of that name in that folder, and nowhere else.

    Letters, digits, '-' and '_' stay; anything else becomes '-'. Raises RecordError for a name with nothing left.
    """
    stem = name[: -len(SUFFIX)] if name.endswith(SUFFIX) else name
    safe = re.sub(r"[^\w-]+", "-", stem, flags=re.UNICODE).strip("-_")[:80]
    if not safe or safe.upper() in _DEVICES:
        raise RecordError(f"'{plain_text(name)[:40]}' is no name for a job: use letters and digits.")
    return Path(folder) / f"{safe}{SUFFIX}"


_DEVICES = frozenset(
    {"CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(10))}
)
"""Names that are no files on Windows."""


def write_whole(path: str | Path, text: str, files: Files | None = None) -> None:
    """Write a whole file (a report, settings) so that a crash leaves the old one or the new one, never a half.

    Raises RecordError.
    """
    path = Path(path)
    files = files or Disk()
    half = path.with_name(f".{path.name}.part")
    try:
        files.make_folder(path.parent)
        if files.exists(half):
            files.remove(half)
        handle = files.open(half, create=True)
        try:
            data = text.encode("utf-8")
            if files.append(handle, data) != len(data):
                raise OSError(errno.ENOSPC, "no room for the whole file")
            files.sync(handle)
        finally:
            files.close(handle)
        files.replace(half, path)
        files.sync_folder(path.parent)
    except OSError as error:
        raise RecordError(f"{plain_text(str(path))} cannot be written: {_reason(error)}.") from error


def _reason(error: OSError) -> str:
    reasons = {
        errno.ENOSPC: "the disk is full",
        errno.EDQUOT: "the disk is full",
        errno.EFBIG: "the file may not grow any more",
        errno.EACCES: "no permission to write there",
        errno.EPERM: "no permission to write there",
        errno.EROFS: "the disk can only be read",
        errno.EISDIR: "it is a folder",
        errno.ENOTDIR: "its folder is a file",
        errno.ELOOP: "it is a link to somewhere else",
        errno.ENAMETOOLONG: "the name is too long",
        errno.EIO: "the disk does not answer properly",
    }
    if isinstance(error, InUse):
        return "another window has it open"
    return reasons.get(error.errno or 0, plain_text(str(error.strerror or error)))
