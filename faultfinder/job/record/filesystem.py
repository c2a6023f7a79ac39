"""The few things that this package asks of a disk, and nothing else: the seam that tests cut through.

Every operation either is done when it returns or raises OSError. A handle is a number that `open` gave. `append` is
one write of the whole of the data to the end of the file; what it has written is safe only after `sync`.
"""

from __future__ import annotations

import errno
import os
import stat
import sys
from pathlib import Path

from faultfinder.text.catalogue import say

MOST_READ = 60_000_000
"""Largest file that is read at all, in bytes; the largest one that may be right is a history of 50 MB. Chosen."""


class InUse(OSError):
    """Another process holds the file."""


class NoFile(OSError):
    """There is something of that name, and it is no file that can be read: a pipe, a device, or far too big."""


class Disk:
    """The real files, private to the user (mode 0600, folders 0700)."""

    def __init__(self) -> None:
        self._held: set[int] = set()

    def exists(self, path: Path) -> bool:
        """Whether something has that name, a link to nowhere as well."""
        return os.path.lexists(path)

    def is_file(self, path: Path) -> bool:
        """Whether it is a file itself: no link, no pipe, no device."""
        try:
            return stat.S_ISREG(os.lstat(path).st_mode)
        except OSError:
            return False

    def read(self, path: Path) -> bytes:
        """The whole file; NoFile for what is none, at once and without waiting."""
        handle = os.open(path, os.O_RDONLY | _AT_ONCE)
        try:
            return _whole(handle, path)
        finally:
            os.close(handle)

    def open(self, path: Path, *, create: bool) -> int:
        """Open for appending and hold the file alone (InUse where another has it). create: it must be new."""
        flags = os.O_RDWR | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0) | _AT_ONCE
        handle = os.open(path, flags | (os.O_CREAT | os.O_EXCL if create else 0), 0o600)
        try:
            _must_be_file(handle, path)
            if _hold(handle, path):
                self._held.add(handle)
        except OSError:
            os.close(handle)
            raise
        return handle

    def read_open(self, handle: int) -> bytes:
        """All that an open file holds now."""
        os.lseek(handle, 0, os.SEEK_SET)
        return _whole(handle, Path())

    def is_named(self, handle: int, path: Path) -> bool:
        """Whether the path still names this open file itself."""
        try:
            named = os.lstat(path)
        except FileNotFoundError:
            return False
        return os.path.samestat(os.fstat(handle), named)

    def is_alone(self, handle: int) -> bool:
        """Whether the file is really held; a disk without locks cannot."""
        return handle in self._held

    def make_private(self, handle: int) -> bool:
        """Take the file from all but its owner; whether others had a right to it."""
        if sys.platform == "win32" or not os.fstat(handle).st_mode & 0o077:
            return False
        os.fchmod(handle, 0o600)
        return True

    def size(self, handle: int) -> int:
        return os.fstat(handle).st_size

    def append(self, handle: int, data: bytes) -> int:
        """One write at the end; how many bytes went in."""
        return os.write(handle, data)

    def truncate(self, handle: int, size: int) -> None:
        os.ftruncate(handle, size)

    def sync(self, handle: int) -> None:
        if sys.platform == "darwin":  # fsync alone leaves it in the drive's own memory there
            import fcntl

            fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
        else:
            os.fsync(handle)

    def close(self, handle: int) -> None:
        self._held.discard(handle)
        os.close(handle)

    def sync_folder(self, folder: Path) -> None:
        if sys.platform == "win32":  # folders cannot be opened there
            return
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

    def make_folder(self, folder: Path) -> None:
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        except FileExistsError:
            raise NotADirectoryError(errno.ENOTDIR, say("its_folder_is_a_file"), str(folder)) from None

    def replace(self, old: Path, new: Path) -> None:
        os.replace(old, new)

    def remove(self, path: Path) -> None:
        path.unlink()

    def names(self, folder: Path) -> list[str]:
        """Everything in a folder but folders, in order."""
        with os.scandir(folder) as entries:
            return sorted(entry.name for entry in entries if not _is_folder(entry))


def _is_folder(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError:  # a link that leads round in a circle
        return False


_AT_ONCE = getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0)
"""Opening never waits: a named pipe would, for whoever writes to it."""


def _must_be_file(handle: int, path: Path) -> None:
    found = os.fstat(handle)
    if stat.S_ISDIR(found.st_mode):
        raise IsADirectoryError(errno.EISDIR, say("is_a_folder"), str(path))
    if not stat.S_ISREG(found.st_mode):
        raise NoFile(0, say("filesystem_pipe_device_no_file"), str(path))
    if found.st_size > MOST_READ:
        raise NoFile(0, say("filesystem_has_bytes_far_too", size=f"{found.st_size:,}"), str(path))


def _whole(handle: int, path: Path) -> bytes:
    _must_be_file(handle, path)
    parts = []
    left = MOST_READ
    while left > 0 and (part := os.read(handle, min(left, 1 << 20))):
        parts.append(part)
        left -= len(part)
    return b"".join(parts)


_NO_LOCKS = frozenset({errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOTSUP, errno.EINVAL})


def _hold(handle: int, path: Path) -> bool:
    """Lock the file for this process; the lock goes when the process does, however it ends. False where the disk has
    no locks at all."""
    try:
        if sys.platform == "win32":
            import msvcrt

            # A byte far behind any record: a lock there leaves reading free.
            os.lseek(handle, 1 << 40, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except ImportError:  # a Python built without them
        return False
    except OSError as error:
        if error.errno in _NO_LOCKS:
            return False
        raise InUse(error.errno, say("filesystem_in_use_by_another"), str(path)) from error
    return True
