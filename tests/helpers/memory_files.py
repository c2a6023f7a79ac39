"""Files in memory that can lose their battery: a disk (job/record/filesystem.py) for tests.

What is written is kept as a list of changes that are not yet safe; `sync` makes a file's changes safe, and
`sync_folder` the names in a folder. After `stop_after` operations the next one raises `Stopped`. `survivors` gives
every state a disk may be found in afterwards: of the unsafe changes a beginning, the next one torn at any byte, its
end or its beginning still zeros; of the unsafe names each there or not.
"""

from __future__ import annotations

import errno
import itertools
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from faultfinder.job.record.filesystem import Disk, InUse


class Stopped(Exception):
    """The power went at this operation; nothing after it happens."""


@dataclass(slots=True)
class _File:
    safe: bytes = b""
    unsafe: list[bytes | int] = field(default_factory=list)
    """Changes since the last sync: bytes appended, or a size cut down to."""
    held: bool = False

    def now(self) -> bytes:
        return _changed(self.safe, self.unsafe)


def _changed(data: bytes, changes: list[bytes | int]) -> bytes:
    for change in changes:
        data = data + change if isinstance(change, bytes) else data[:change]
    return data


class MemoryFiles(Disk):
    """See the head of this file. room: bytes that fit on the disk; read_only: nothing can be made or written."""

    def __init__(
        self, stop_after: int | None = None, room: int | None = None, read_only: bool = False
    ) -> None:
        self.stop_after = stop_after
        self.room = room
        self.read_only = read_only
        self.operations = 0
        self._safe_names: dict[Path, _File] = {}
        self._names: dict[Path, _File] = {}
        self._open: dict[int, _File] = {}
        self._handles = itertools.count(3)

    def _operation(self) -> None:
        """Count an operation that changes something, and stop when it is one too many."""
        if self.stop_after is not None and self.operations >= self.stop_after:
            raise Stopped
        self.operations += 1

    # -- the seam -------------------------------------------------------------------------------------

    def exists(self, path: Path) -> bool:
        return path in self._names

    def is_file(self, path: Path) -> bool:
        return path in self._names

    def read(self, path: Path) -> bytes:
        if path not in self._names:
            raise FileNotFoundError(errno.ENOENT, "no such file", str(path))
        return self._names[path].now()

    def open(self, path: Path, *, create: bool) -> int:
        if create:
            if path in self._names:
                raise FileExistsError(errno.EEXIST, "file exists", str(path))
            self._may_write()
            self._operation()
            self._names[path] = _File()
        elif path not in self._names:
            raise FileNotFoundError(errno.ENOENT, "no such file", str(path))
        file = self._names[path]
        if file.held:
            raise InUse(errno.EWOULDBLOCK, "in use by another process", str(path))
        file.held = True
        handle = next(self._handles)
        self._open[handle] = file
        return handle

    def read_open(self, handle: int) -> bytes:
        return self._open[handle].now()

    def is_named(self, handle: int, path: Path) -> bool:
        return self._names.get(path) is self._open[handle]

    def is_alone(self, handle: int) -> bool:
        return self._open[handle].held

    def make_private(self, handle: int) -> bool:
        """Nobody else is here."""
        return False

    def size(self, handle: int) -> int:
        return len(self._open[handle].now())

    def append(self, handle: int, data: bytes) -> int:
        self._may_write()
        self._operation()
        if self.room is not None:
            data = data[: max(0, self.room - sum(len(file.now()) for file in self._names.values()))]
            if not data:
                raise OSError(errno.ENOSPC, "no space left on device")
        self._open[handle].unsafe.append(data)
        return len(data)

    def truncate(self, handle: int, size: int) -> None:
        self._may_write()
        self._operation()
        self._open[handle].unsafe.append(size)

    def sync(self, handle: int) -> None:
        self._operation()
        file = self._open[handle]
        file.safe, file.unsafe = file.now(), []

    def close(self, handle: int) -> None:
        self._open.pop(handle).held = False

    def sync_folder(self, folder: Path) -> None:
        self._operation()
        for path in {*self._names, *self._safe_names}:
            if path.parent == folder:
                _copy_name(path, self._names, self._safe_names)

    def make_folder(self, folder: Path) -> None:
        """Folders need no making here."""

    def replace(self, old: Path, new: Path) -> None:
        self._may_write()
        self._operation()
        self._names[new] = self._names.pop(old)

    def remove(self, path: Path) -> None:
        self._may_write()
        self._operation()
        if path not in self._names:
            raise FileNotFoundError(errno.ENOENT, "no such file", str(path))
        del self._names[path]

    def names(self, folder: Path) -> list[str]:
        return sorted(path.name for path in self._names if path.parent == folder)

    def _may_write(self) -> None:
        if self.read_only:
            raise PermissionError(errno.EACCES, "permission denied")

    # -- after the power went -------------------------------------------------------------------------

    def survivors(self) -> Iterator[MemoryFiles]:
        """Every state in which the disk may be found, each a disk of its own; the same state may come twice."""
        unsure = [
            path
            for path in {*self._names, *self._safe_names}
            if self._names.get(path) is not self._safe_names.get(path)
        ]
        for kept in itertools.product((True, False), repeat=len(unsure)):
            names = dict(self._safe_names)
            for path, keep in zip(unsure, kept, strict=True):
                if keep:
                    _copy_name(path, self._names, names)
            paths = list(names)
            for contents in itertools.product(*(set(_remains(names[path])) for path in paths)):
                disk = MemoryFiles()
                for path, data in zip(paths, contents, strict=True):
                    disk._names[path] = disk._safe_names[path] = _File(data)
                yield disk


def _copy_name(path: Path, source: dict[Path, _File], target: dict[Path, _File]) -> None:
    if path in source:
        target[path] = source[path]
    else:
        target.pop(path, None)


def _remains(file: _File) -> Iterator[bytes]:
    """What may be left of a file: a beginning of its unsafe changes, the next one torn, or some of it still zeros."""
    for done in range(len(file.unsafe) + 1):
        data = _changed(file.safe, file.unsafe[:done])
        yield data
        if done == len(file.unsafe):
            return
        torn = file.unsafe[done]
        if isinstance(torn, bytes):
            for cut in range(len(torn) + 1):
                yield data + torn[:cut]
                yield data + torn[:cut] + bytes(len(torn) - cut)
                yield data + bytes(cut) + torn[cut:]
