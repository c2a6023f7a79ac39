"""Records where the platform is another one: its branch forced, its locks stood in for."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pytest

from faultfinder.job.events import Complaint, Noted, Opened
from faultfinder.job.record import filesystem
from faultfinder.job.record.filesystem import Disk, InUse
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import Record, read_record
from faultfinder.terminal.commands.new_job import new_path

BEHIND = 1 << 30
"""A lock that leaves reading free stands behind every byte that a record can have."""


class Locks(ModuleType):
    """Stands for msvcrt: one holder for each byte of each file, let go when its handle is closed."""

    LK_NBLCK = 2

    def __init__(self, trouble: int = 0) -> None:
        super().__init__("msvcrt")
        self.held: dict[tuple[int, int, int], int] = {}
        self.trouble = trouble

    def locking(self, handle: int, mode: int, count: int) -> None:
        assert (mode, count) == (self.LK_NBLCK, 1)
        if self.trouble:
            raise OSError(self.trouble, os.strerror(self.trouble))
        at = os.lseek(handle, 0, os.SEEK_CUR)
        assert at > BEHIND
        found = os.fstat(handle)
        key = (found.st_dev, found.st_ino, at)
        holder = self.held.get(key)
        if holder is not None and holder != handle and _is_open(holder, key):
            raise PermissionError(errno.EACCES, "Permission denied")
        self.held[key] = handle


def _is_open(handle: int, key: tuple[int, int, int]) -> bool:
    try:
        found = os.fstat(handle)
    except OSError:
        return False
    return (found.st_dev, found.st_ino) == key[:2]


@pytest.fixture
def on_windows(monkeypatch: pytest.MonkeyPatch) -> Iterator[Locks]:
    """The branch of Windows: no fcntl, no file modes, no folder that could be opened."""
    locks = Locks()
    monkeypatch.setattr(filesystem, "sys", SimpleNamespace(platform="win32"))
    monkeypatch.setitem(sys.modules, "msvcrt", locks)
    monkeypatch.setitem(sys.modules, "fcntl", None)
    monkeypatch.delattr(os, "fchmod")
    yield locks


OPENED = Opened("tumble_dryer", "1.1", "0" * 64)


def test_a_record_is_held_by_one_alone_and_free_again_once_it_is_closed(
    on_windows: Locks, tmp_path: Path
) -> None:
    path = tmp_path / "2031-05-14-1.yaml"
    with Record.create(path, OPENED) as record:
        record.append(Complaint("stays cold"))
        assert on_windows.held
        with pytest.raises(RecordError, match="open in another window"):
            Record.open(path)
        assert read_record(path).events[-1] == Complaint("stays cold")  # held, and still read by others
    with Record.open(path) as again:
        again.append(Noted("next day"))
    assert [type(event) for event in read_record(path).events][-2:] == [Complaint, Noted]


def test_another_process_is_told_as_one(on_windows: Locks, tmp_path: Path) -> None:
    disk = Disk()
    first = disk.open(tmp_path / "a", create=True)
    with pytest.raises(InUse):
        disk.open(tmp_path / "a", create=False)
    disk.close(first)
    second = disk.open(tmp_path / "a", create=False)
    assert disk.is_alone(second)
    disk.close(second)


@pytest.mark.parametrize("trouble", [errno.ENOLCK, errno.EINVAL, errno.ENOSYS])
def test_a_disk_without_locks_is_written_to_all_the_same(
    on_windows: Locks, trouble: int, tmp_path: Path
) -> None:
    on_windows.trouble = trouble
    disk = Disk()
    handle = disk.open(tmp_path / "a", create=True)
    assert not disk.is_alone(handle)
    assert disk.append(handle, b"x\n") == 2
    disk.close(handle)


def test_neither_modes_nor_folders_are_touched_there(on_windows: Locks, tmp_path: Path) -> None:
    disk = Disk()
    handle = disk.open(tmp_path / "a", create=True)
    os.chmod(tmp_path / "a", 0o644)
    assert disk.make_private(handle) is False
    disk.sync_folder(tmp_path / "nowhere")
    disk.close(handle)


def test_a_python_without_any_locks_is_one_without_locks(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setitem(sys.modules, "fcntl", None)
    monkeypatch.setitem(sys.modules, "msvcrt", None)
    disk = Disk()
    handle = disk.open(tmp_path / "a", create=True)
    assert not disk.is_alone(handle)
    disk.close(handle)


def test_a_record_has_a_name_that_every_disk_takes(tmp_path: Path) -> None:
    """What no name may hold, and how none may end: Microsoft, Naming Files, Paths, and Namespaces (from memory)."""
    for _ in range(50):
        name = new_path(tmp_path).name
        assert not set('<>:"/\\|?*') & set(name) and not name.endswith((" ", "."))
        assert name.isascii() and len(name) < 60
