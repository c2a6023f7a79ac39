"""A report or a history is written over nothing that somebody wants to keep."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from faultfinder.job.events import Noted, Opened
from faultfinder.job.record.event_codec import to_line
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import Record
from faultfinder.job.record.whole_file import write_whole


def test_a_file_that_is_there_is_written_over_only_with_leave(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    write_whole(page, "old")
    with pytest.raises(RecordError, match="exists already: name another file, or give --replace"):
        write_whole(page, "new")
    assert page.read_text() == "old"
    write_whole(page, "new", over=True)
    assert page.read_text() == "new" and os.listdir(tmp_path) == ["page.html"]


def test_a_record_is_never_written_over_however_damaged_it_is(tmp_path: Path) -> None:
    path = tmp_path / "one.yaml"
    with Record.create(path, Opened("pack")) as record:
        record.append(Noted("a"), Noted("b"))
    whole = path.read_bytes()
    torn = whole[:-10]
    damaged = whole.replace(b"opened", b"opmned")
    for data in (whole, torn, damaged, (to_line(Opened("p")) + "\n").encode(), b"- {answer: a, is: yes}"):
        path.write_bytes(data)
        for over in (False, True):
            with pytest.raises(RecordError, match="is a job's record, which is never written over"):
                write_whole(path, "page", over=over)
            assert path.read_bytes() == data


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name there")
def test_a_pipe_or_a_device_is_not_replaced_by_a_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "null").symlink_to(os.devnull)
    for name in ("pipe", "null"):
        with pytest.raises(RecordError, match="a pipe or a device, not a file"):
            write_whole(tmp_path / name, "page", over=True)
    assert sorted(os.listdir(tmp_path)) == ["null", "pipe"] and (tmp_path / "null").is_symlink()


def test_what_could_not_be_finished_is_taken_away(tmp_path: Path) -> None:
    class Full(Disk):
        def append(self, handle: int, data: bytes) -> int:
            return super().append(handle, data[:3])

    with pytest.raises(RecordError, match="the disk is full"):
        write_whole(tmp_path / "page.html", "a page", Full())
    assert os.listdir(tmp_path) == []
