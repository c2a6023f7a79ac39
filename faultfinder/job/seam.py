"""The few things that this package asks of a disk, and nothing else: the seam that tests cut through.

`Disk` is the real one. Every operation either is done when it returns or raises OSError. `append` is one write
of the whole of the data to the end of the file; what it has written is safe only after `sync`.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Protocol


class InUse(OSError):
    """Another process holds the file."""


class Files(Protocol):
    """A handle is a number that `open` gave; paths are `Path`."""

    def exists(self, path: Path) -> bool: ...

    def read(self, path: Path) -> bytes: ...

    def open(self, path: Path, *, create: bool) -> int:
        """Open for appending and hold the file alone (InUse where another has it). create: it must be new."""
        ...

    def size(self, handle: int) -> int: ...

    def append(self, handle: int, data: bytes) -> int:
        """One write at the end; how many bytes went in."""
        ...

    def truncate(self, handle: int, size: int) -> None: ...

    def sync(self, handle: int) -> None: ...

    def close(self, handle: int) -> None: ...

    def sync_folder(self, folder: Path) -> None: ...

    def make_folder(self, folder: Path) -> None: ...

    def replace(self, old: Path, new: Path) -> None: ...

    def remove(self, path: Path) -> None: ...

    def names(self, folder: Path) -> list[str]: ...


class Disk:
    """The real files, private to the user (mode 0600, folders 0700)."""

    def exists(self, path: Path) -> bool:
        return path.exists()

    def read(self, path: Path) -> bytes:
        return path.read_bytes()

    def open(self, path: Path, *, create: bool) -> int:
        flags = os.O_RDWR | os.O_APPEND | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)
        handle = os.open(path, flags | (os.O_CREAT | os.O_EXCL if create else 0), 0o600)
        try:
            _hold(handle, path)
        except OSError:
            os.close(handle)
            raise
        return handle

    def size(self, handle: int) -> int:
        return os.fstat(handle).st_size

    def append(self, handle: int, data: bytes) -> int:
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
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)

    def replace(self, old: Path, new: Path) -> None:
        os.replace(old, new)

    def remove(self, path: Path) -> None:
        path.unlink()

    def names(self, folder: Path) -> list[str]:
        return sorted(entry.name for entry in folder.iterdir() if entry.is_file())


def _hold(handle: int, path: Path) -> None:
    """Lock the file for this process; the lock goes when the process does, however it ends."""
    try:
        if sys.platform == "win32":
            import msvcrt

            # A byte far behind any record: a lock there leaves reading free.
            os.lseek(handle, 1 << 40, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        raise InUse(error.errno, "in use by another process", str(path)) from error
