"""A whole file written (a report, counts for other vans): the old one or the new one after a crash, never a half, and
nothing lost that somebody kept there."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.record.filesystem import Disk, InUse
from faultfinder.job.record.lines import RecordError, parse_record
from faultfinder.text.catalogue import say

_HALF = ".part"
"""Ends the name under which a file is written before it takes the place of the old one."""


def write_whole(path: str | Path, text: str, files: Disk | None = None, *, over: bool = False) -> None:
    """Write a whole file so that a crash leaves the old one or the new one. over: write over a file that is there;
    never over a job's record, nor what is no file. Raises RecordError."""
    path = Path(path)
    files = files or Disk()
    if not path.name:
        raise RecordError(say("whole_file_cannot_written_folder", path=plain_text(str(path))))
    with refusals_told("cannot_be_written", path):
        if files.exists(path):
            _may_go(path, files, over)
        put_in_place(path, text.encode("utf-8", "replace"), files)


def put_in_place(path: Path, data: bytes, files: Disk) -> None:
    """These bytes at this place, whatever is there: after a crash the old file or the new one. Raises OSError."""
    half = path.with_name(f".{path.name}{_HALF}")
    files.make_folder(path.parent)
    if files.exists(half):
        files.remove(half)
    new_file(half, data, files)
    files.replace(half, path)
    files.sync_folder(path.parent)


def new_file(path: Path, data: bytes, files: Disk) -> None:
    """A new file of these bytes, or none. Raises OSError, FileExistsError where there is one already."""
    handle = files.open(path, create=True)
    try:
        if files.append(handle, data) != len(data):
            raise OSError(errno.ENOSPC, say("no_room_for_file"))
        files.sync(handle)
    except OSError:
        try_to_remove(files, path)
        raise
    finally:
        files.close(handle)


def clear_halves(folder: Path, files: Disk) -> tuple[str, ...]:
    """Take away what writes that were cut off left in a folder; their names. What another window is writing now, and
    what cannot be removed, stays."""
    gone = []
    for name in files.names(folder):
        path = folder / name
        if not (name.startswith(".") and name.endswith(_HALF) and files.is_file(path)):
            continue
        try:
            files.close(files.open(path, create=False))
            files.remove(path)
        except OSError:
            continue
        gone.append(name)
    return tuple(gone)


def _may_go(path: Path, files: Disk, over: bool) -> None:
    """Raises RecordError, or OSError for what is no file, where a file must stay as it is."""
    try:
        # However much of it can be read: a damaged record is one all the same.
        record = bool(parse_record(files.read(path)).events)
    except (RecordError, FileNotFoundError):  # no record, or a link to nowhere
        record = False
    if record:
        raise RecordError(say("whole_file_jobs_record_not_written", path=plain_text(str(path))))
    if not over:
        raise RecordError(say("whole_file_there_already_name_another", path=plain_text(str(path))))


def try_to_remove(files: Disk, path: Path) -> None:
    """Take away what could not be finished, so that it does not stand in the way of the next try."""
    with suppress(OSError):
        files.remove(path)


@contextmanager
def refusals_told(key: str, what: object, *, reading: bool = False) -> Iterator[None]:
    """What the disk refuses in here is raised as RecordError, in this sentence of the catalogue."""
    try:
        yield
    except OSError as error:
        told = say(key, what=plain_text(str(what)), why=reason_of(error, reading=reading))
        raise RecordError(told) from error


def reason_of(error: OSError, *, reading: bool = False) -> str:
    """Why the disk refused to write, or to read, in words for people."""
    if reading and error.errno in (errno.EACCES, errno.EPERM):
        return say("whole_file_no_permission_read")
    reasons = {
        errno.ENOSPC: say("disk_full"),
        errno.EDQUOT: say("disk_full"),
        errno.EFBIG: say("whole_file_file_may_not_grow"),
        errno.EACCES: say("whole_file_no_permission_write_there"),
        errno.EPERM: say("whole_file_no_permission_write_there"),
        errno.EROFS: say("whole_file_disk_can_only_read"),
        errno.EISDIR: say("is_a_folder"),
        errno.ENOTDIR: say("its_folder_is_a_file"),
        errno.ELOOP: say("whole_file_link_somewhere_else"),
        errno.ENAMETOOLONG: say("whole_file_name_too_long"),
        errno.EIO: say("whole_file_disk_does_not_answer"),
    }
    if isinstance(error, InUse):
        return say("whole_file_another_window_has_open")
    return reasons.get(error.errno or 0, plain_text(str(error.strerror or error)))
