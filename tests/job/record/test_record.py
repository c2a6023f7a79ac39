"""The record: nothing acknowledged is lost, nothing wrong is skipped in silence, and one line tells the person."""

from __future__ import annotations

import errno
import os
import resource
import shutil
import stat
import subprocess
import sys
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import pytest
from memory_files import MemoryFiles, Stopped

from faultfinder.job.events import Answered, Complaint, Confirmed, Event, Noted, Opened, Paused
from faultfinder.job.record.event_codec import Place, mark_of, parse_line, to_line
from faultfinder.job.record.lines import RecordError, parse_record
from faultfinder.job.record.record import Record, header, job_path, read_record
from faultfinder.job.record.whole_file import write_whole
from faultfinder.text.catalogue import say

OPENED = Opened("pack", "1.0", "f00d", at="2031-05-14T09:30:00")
EVENTS: tuple[Event, ...] = (
    OPENED,
    Complaint("takes ages, smells funny: «since we moved it»", at="2031-05-14T09:31:00"),
    Answered("takes_too_long", "yes", at="2031-05-14T09:32:00"),
    Answered("high_section", reads="33 \u03a9", access="open_dead", inside=True),
    Confirmed("plug_out"),
    Paused(-3.5),
    Noted('brackets } ] { [ and "quotes", commas, # and : colons'),
)
PATH = Path("jobs/one.yaml")


def whole() -> bytes:
    return "".join(to_line(event) + "\n" for event in EVENTS).encode()


def fill(files: MemoryFiles, events: tuple[Event, ...] = EVENTS) -> Record:
    record = Record.create(PATH, events[0], files)
    for event in events[1:]:
        record.append(event)
    return record


# -- what is on disk --------------------------------------------------------------------------------------


def test_what_is_appended_is_read_back(tmp_path: Path) -> None:
    with Record.create(tmp_path / "jobs" / "one.yaml", OPENED) as record:
        for event in EVENTS[1:]:
            record.append(event)
    contents = read_record(record.path)
    assert contents.events == EVENTS and contents.problems == () and contents.torn == 0
    head = header().count("\n")
    assert contents.lines == tuple(range(head + 1, head + len(EVENTS) + 1))


def test_every_record_begins_with_the_notice_whose_rules_come_first(tmp_path: Path) -> None:
    with Record.create(tmp_path / "one.yaml", OPENED) as record:
        lines = record.path.read_text().splitlines()
    notice = " ".join(line.removeprefix("# ") for line in lines if line.startswith("# "))
    assert notice == say("opening_notice") and lines[-1].startswith("- {opened:")


def test_a_record_is_private_to_its_user(tmp_path: Path) -> None:
    with Record.create(tmp_path / "jobs" / "one.yaml", OPENED) as record:
        assert stat.S_IMODE(record.path.stat().st_mode) == 0o600
        assert stat.S_IMODE(record.path.parent.stat().st_mode) == 0o700


def test_a_record_is_taken_up_again_where_it_was_left(tmp_path: Path) -> None:
    path = tmp_path / "one.yaml"
    Record.create(path, OPENED).close()
    with Record.open(path) as record:
        assert record.contents.events == (OPENED,)
        record.append(EVENTS[1])
    assert read_record(path).events == EVENTS[:2]


def test_a_record_is_not_begun_over_another(tmp_path: Path) -> None:
    Record.create(tmp_path / "one.yaml", OPENED).close()
    with pytest.raises(RecordError, match="exists already; choose another name"):
        Record.create(tmp_path / "one.yaml", OPENED)


def test_reading_what_is_not_there_says_so(tmp_path: Path) -> None:
    for read in (read_record, Record.open):
        with pytest.raises(RecordError, match="There is no record"):
            read(tmp_path / "none.yaml")
    with pytest.raises(RecordError, match="it is a folder"):
        read_record(tmp_path)


def test_a_record_is_not_followed_through_a_link(tmp_path: Path) -> None:
    (tmp_path / "elsewhere.yaml").write_bytes(whole())
    (tmp_path / "one.yaml").symlink_to(tmp_path / "elsewhere.yaml")
    with pytest.raises(RecordError, match="link to somewhere else"):
        Record.open(tmp_path / "one.yaml")


def test_a_closed_record_takes_nothing_more(tmp_path: Path) -> None:
    record = Record.create(tmp_path / "one.yaml", OPENED)
    record.close()
    record.close()
    with pytest.raises(RecordError, match="closed"):
        record.append(EVENTS[1])


# -- torn and damaged -------------------------------------------------------------------------------------


@pytest.mark.slow
def test_cut_at_every_byte_the_rest_is_kept_and_the_next_event_follows_it() -> None:
    """The sweep: for every length the record could have been cut to, read, then go on."""
    data = whole()
    ends = [0]
    for line in data.splitlines(keepends=True):
        ends.append(ends[-1] + len(line))
    for cut in range(len(data) + 1):
        kept = max(n for n, end in enumerate(ends) if end <= cut)
        # A line that lacks only its end is whole: it may count, though nobody was told that it does.
        kept += cut + 1 in ends
        contents = parse_record(data[:cut])
        assert contents.events == EVENTS[:kept], cut
        assert bool(contents.torn) == (cut not in ends and cut + 1 not in ends), cut
        assert [problem.code for problem in contents.problems] == (["torn"] if contents.torn else []), cut

        disk = MemoryFiles()
        handle = disk.open(PATH, create=True)
        disk.append(handle, data[:cut])
        disk.close(handle)
        if not kept:
            # Nothing tells that this is a record: nothing is written to it.
            with pytest.raises(RecordError, match="not recognised as a job record"):
                Record.open(PATH, disk)
            assert disk.read(PATH) == data[:cut]
            continue
        with Record.open(PATH, disk) as record:
            record.append(Noted("after the cut"))
        after = parse_record(disk.read(PATH))
        assert after.events == (*EVENTS[:kept], Noted("after the cut")), cut
        assert after.problems == (), cut


def test_a_torn_line_is_told_in_one_line() -> None:
    (problem,) = parse_record(whole()[:-20], "one.yaml").problems
    assert str(problem) == (
        "one.yaml:7:1: warning: the last line is unfinished and is left out: "
        "the answer before it is the last one kept [torn]"
    )


def test_reading_changes_nothing(tmp_path: Path) -> None:
    (tmp_path / "one.yaml").write_bytes(whole()[:-20])
    read_record(tmp_path / "one.yaml")
    assert (tmp_path / "one.yaml").read_bytes() == whole()[:-20]


@pytest.fixture
def each_line_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same few lines are read over and over in these records; what a line says hangs on nothing but the line."""
    monkeypatch.setattr("faultfinder.job.record.lines.parse_line", lru_cache(maxsize=50_000)(parse_line))


@pytest.mark.slow
@pytest.mark.usefixtures("each_line_read_once")
def test_every_damaged_byte_of_a_finished_line_is_told() -> None:
    """Each byte of each line changed (some bits, and to what means something): told, never taken nor skipped."""
    data = whole()
    tried = 0
    for place in range(len(data) - 1):
        for new in {*(data[place] ^ (1 << bit) for bit in (0, 3, 7)), *b"#- \n\0}", 0xFF} - {data[place]}:
            damaged = data[:place] + bytes([new]) + data[place + 1 :]
            contents = parse_record(damaged, "one.yaml")
            tried += 1
            assert contents.damaged, (place, new)
            assert set(contents.events) < set(EVENTS)
    assert tried > 3_000


def test_a_damaged_line_in_the_middle_leaves_the_others_and_is_never_rewritten(tmp_path: Path) -> None:
    path = tmp_path / "one.yaml"
    damaged = whole().replace(b"takes_too_long", b"takes_too_lung")
    path.write_bytes(damaged)
    path.chmod(0o600)
    with Record.open(path) as record:
        assert record.contents.events == EVENTS[:2] + EVENTS[3:]
        (problem,) = record.contents.problems
        assert str(problem) == (
            f"{path}:3:1: error: the line does not agree with its check: it is damaged or was changed by hand; "
            "if you changed it, delete its 'check'; else put it right or delete the line [damaged]"
        )
        record.append(EVENTS[2])
    place = Place(mark_of(OPENED), len(EVENTS) + 1)
    assert path.read_bytes() == damaged + to_line(EVENTS[2], place).encode() + b"\n"


def test_what_is_no_text_is_damage() -> None:
    contents = parse_record(whole() + b"- {note: \xff\xfe}\n" + whole().splitlines()[4] + b"\n", "one.yaml")
    assert [str(problem) for problem in contents.problems] == [
        "one.yaml:8:1: error: the line is not UTF-8 text [damaged]"
    ]
    assert contents.events == (*EVENTS, EVENTS[4])


# -- what is no record, or no longer the one it was -------------------------------------------------------


NO_RECORDS = {
    "json": b'{"facts": [1, 2], "note": "three"}',
    "json in lines": b'{\n  "facts": [\n    1\n  ]\n}\n',
    "rules": b"causes:\n  a:\n    title: A\n- {note: x}\n",
    "readme": b"# Title\n\nSome text, then a line of a record:\n\n"
    + to_line(Noted("x")).encode()
    + b"\n\nAnd more.\n",
    "shopping": b"- milk\n- bread\n",
    "history": b"- {history: 1}\n- {job: 0123456789abcdef, pack: p}\n",
    "csv": b"time,power\n0,1\n1,2",
    "nothing": b"",
    "remarks": b"# one\n# two\n",
    "zeros": bytes(5_000),
    "noise": bytes(range(256)) * 9,
    "a worked case": b"- {answer: a, is: yes}\n- {likely: {b: 0.6}}\n",
    "text without an end": b"- {note: x}\n- {note: y}\nsome more words\n",
}


@pytest.mark.parametrize("name", NO_RECORDS)
def test_what_is_not_recognised_as_a_record_is_left_byte_for_byte_as_it_is(tmp_path: Path, name: str) -> None:
    path = tmp_path / "file"
    path.write_bytes(NO_RECORDS[name])
    path.chmod(0o644)
    before = path.stat()
    with pytest.raises(RecordError, match="is not recognised as a job record: it was left as it is"):
        Record.open(path)
    assert path.read_bytes() == NO_RECORDS[name]
    assert (path.stat().st_mtime_ns, path.stat().st_mode) == (before.st_mtime_ns, before.st_mode)


def test_a_record_that_others_could_read_is_made_private_and_that_is_told(tmp_path: Path) -> None:
    path = tmp_path / "one.yaml"
    path.write_bytes(whole())
    for mode in (0o644, 0o640, 0o606):
        path.chmod(mode)
        with Record.open(path) as record:
            (problem,) = record.contents.problems
        assert "could read it; from now on only you can" in problem.message and not problem.is_error
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    with Record.open(path) as record:
        assert record.contents.problems == ()


def _replaced(path: Path) -> None:
    (path.parent / "new").write_bytes(whole())
    (path.parent / "new").replace(path)


def _in_place(path: Path) -> None:
    data = path.read_bytes()
    with path.open("r+b") as file:
        file.write(data[:-9] + b"X" + data[-8:])


def _appended(path: Path) -> None:
    with path.open("ab") as file:
        file.write(b"- {note: by somebody else}\n")


def _to_a_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


CHANGES: dict[str, Callable[[Path], object]] = {
    "removed": Path.unlink,
    "the folder removed": lambda path: shutil.rmtree(path.parent),
    "moved": lambda path: path.rename(path.with_name("elsewhere")),
    "replaced": _replaced,
    "replaced by the same": lambda path: (
        path.rename(path.with_name("x")),
        shutil.copy(path.with_name("x"), path),
    ),
    "replaced by a link to itself": lambda path: (path.rename(path.with_name("x")), path.symlink_to("x")),
    "emptied": lambda path: path.write_bytes(b""),
    "cut": lambda path: os.truncate(path, 400),
    "cut by one byte": lambda path: os.truncate(path, path.stat().st_size - 1),
    "changed in place": _in_place,
    "something appended": _appended,
    "became a folder": _to_a_folder,
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_record_that_changes_while_it_is_open_is_noticed_and_its_lines_are_kept_beside(
    tmp_path: Path, change: str
) -> None:
    path = tmp_path / "jobs" / "one.yaml"
    with Record.create(path, OPENED) as record:
        record.append(EVENTS[1])
        CHANGES[change](path)
        left = path.read_bytes() if path.is_file() else None
        told = record.append(EVENTS[2], EVENTS[3])
        assert record.path == path.with_name("one-kept-1.yaml")
        assert str(path) in told and str(record.path) in told and "goes on there" in told
        assert record.append(EVENTS[4]) == ""
        with pytest.raises(RecordError, match="open in another window"):
            Record.open(record.path)
    kept = read_record(record.path)
    assert kept.events == EVENTS[:5] and kept.problems == ()
    assert stat.S_IMODE(record.path.stat().st_mode) == 0o600
    assert (path.read_bytes() if path.is_file() else None) == left


def test_a_change_is_noticed_without_anything_to_write_and_no_file_beside_is_written_over(
    tmp_path: Path,
) -> None:
    with Record.create(tmp_path / "one.yaml", OPENED) as record:
        assert record.append() == ""
        (tmp_path / "one-kept-1.yaml").write_text("mine")
        record.path.unlink()
        assert "goes on there" in record.append()
        assert record.path == tmp_path / "one-kept-2.yaml"
    assert (tmp_path / "one-kept-1.yaml").read_text() == "mine"
    assert read_record(record.path).events == (OPENED,)


def test_what_cannot_be_kept_beside_either_is_not_acknowledged(tmp_path: Path) -> None:
    disk = MemoryFiles()
    record = fill(disk)
    data = disk.read(PATH)
    disk.remove(PATH)
    disk.room = 100
    for _ in range(2):
        with pytest.raises(
            RecordError, match="was removed while this job was open, and .* cannot be written"
        ):
            record.append(Noted("new"))
        assert disk.names(PATH.parent) == []
    disk.room = None
    assert "was removed" in record.append(Noted("new"))
    assert disk.read(record.path).startswith(data)
    assert parse_record(disk.read(record.path)).events == (*EVENTS, Noted("new"))


def test_a_disk_without_locks_is_told_and_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fcntl = pytest.importorskip("fcntl")

    def none(handle: int, what: int) -> None:
        raise OSError(errno.ENOLCK, "no locks available")

    monkeypatch.setattr(fcntl, "flock", none)
    path = tmp_path / "one.yaml"
    for begun in (lambda: Record.create(path, OPENED), lambda: Record.open(path)):
        with begun() as record:
            (problem,) = record.contents.problems
            assert "this disk has no file locks" in problem.message
            record.append(Noted("x"))
    assert read_record(path).events == (OPENED, Noted("x"), Noted("x"))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name there")
def test_what_is_no_file_is_told_at_once_and_far_too_much_is_not_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "zero").symlink_to("/dev/zero")
    with (tmp_path / "sparse").open("wb") as file:
        file.truncate(4 << 30)
    for name, told in (
        ("pipe", "pipe or a device"),
        ("zero", "pipe or a device"),
        ("sparse", "4,294,967,296 bytes"),
    ):
        with pytest.raises(RecordError, match=told):
            read_record(tmp_path / name)
        with pytest.raises(RecordError, match=f"{told}|link to somewhere else"):
            Record.open(tmp_path / name)
    with pytest.raises(RecordError, match="the name is too long"):
        read_record(tmp_path / ("x" * 300))


# -- by hand ----------------------------------------------------------------------------------------------


def test_a_hand_writes_without_checks_with_remarks_and_over_several_lines() -> None:
    contents = parse_record(
        b"# a job written by hand\n\n"
        b"- {answer: takes_too_long, is: yes}   # said on the telephone\n"
        b"- {likely: {hose_crushed: 0.6,\n"
        b"           filter_clogged: 0.1},\n"
        b"   minutes_at_most: 40}\r\n"
        b"- {note: last line without an end}"
    )
    assert contents.problems == () and contents.torn == 0
    assert [to_line(event, check=False) for event in contents.events] == [
        "- {answer: takes_too_long, is: yes}",
        "- {likely: {hose_crushed: 0.6, filter_clogged: 0.1}, minutes_at_most: 40}",
        '- {note: "last line without an end"}',
    ]
    assert contents.lines == (3, 4, 7)


def test_a_mistake_by_hand_is_told_with_its_place() -> None:
    contents = parse_record(b"- {answer: a, is: yes}\n- {likely: {a: 0.6,\n  b: much}}\n", "case.yaml")
    assert [str(problem) for problem in contents.problems] == [
        'case.yaml:3:6: error: "b" must be a probability from 0 to 1 [wrong-type]'
    ]


def test_a_record_can_be_continued_behind_a_last_line_without_an_end(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_bytes(b"- {opened: pack}\n- {answer: a, is: yes}")
    with Record.open(tmp_path / "job.yaml") as record:
        record.append(Noted("next"))
    assert read_record(tmp_path / "job.yaml").events == (Opened("pack"), Answered("a", "yes"), Noted("next"))


def test_a_record_of_another_version_is_told_and_read() -> None:
    for number, age in ((0, "an older"), (2, "a newer")):
        data = f"- {{opened: pack, format: {number}}}\n- {{answer: a, is: yes}}\n- {{glow: x}}\n".encode()
        contents = parse_record(data, "old.yaml")
        assert contents.events[1] == Answered("a", "yes")
        assert [str(problem) for problem in contents.problems] == [
            'old.yaml:3:4: error: there is no event "glow"; the first word of a line names the event [unknown-event]',
            f"old.yaml:1:1: warning: written by {age} version (record format {number}, this is 1); "
            "what can be read is read [other-format]",
        ]


def test_a_clock_that_went_back_is_told_and_costs_nothing() -> None:
    events = (
        Noted("a", at="2031-05-14T09:30:00"),
        Noted("b", at="2031-05-14T09:20:00"),
        Noted("c"),
        Noted("d", at="2031-05-14T08:21:00+01:00"),
    )
    contents = parse_record("".join(to_line(event) + "\n" for event in events).encode(), "one.yaml")
    assert contents.events == events
    told = "warning: the clock went back here; the order of the lines is what counts [clock-back]"
    assert [str(problem) for problem in contents.problems] == [
        f"one.yaml:2:1: {told}",
        f"one.yaml:4:1: {told}",
    ]


@pytest.mark.slow
def test_what_is_far_too_big_is_no_record() -> None:
    with pytest.raises(RecordError, match="too many for a job record"):
        parse_record(b"#" * 20_000_001)
    with pytest.raises(RecordError, match="more than 10,000 lines"):
        parse_record(b"- {note: x}\n" * 10_001)
    assert parse_line("- {note: " + "x" * 60_000 + "}").problems[0].code == "too-long"


# -- the power goes ---------------------------------------------------------------------------------------


SHORT: tuple[Event, ...] = (Opened("p"), Answered("a", reads="33 \u03a9"), Noted("}"))
NEXT = Noted("next")


def written_until(stop: int) -> tuple[int, MemoryFiles]:
    """Write until the power goes; how many events were acknowledged, and the disk."""
    disk = MemoryFiles(stop_after=stop)
    acknowledged = 0
    try:
        record = Record.create(PATH, SHORT[0], disk)
        acknowledged = 1
        for event in SHORT[1:]:
            record.append(event)
            acknowledged += 1
    except Stopped:
        pass
    return acknowledged, disk


def continued_until(disk: MemoryFiles, stop: int | None) -> list[Event]:
    """Take the record up and give it one more event, until the power goes; what was shown as kept."""
    disk.operations, disk.stop_after = 0, stop
    shown: list[Event] = []
    try:
        with Record.open(PATH, disk) as record:
            shown = list(record.contents.events)
            record.append(NEXT)
            shown.append(NEXT)
    except Stopped:
        pass
    except RecordError:
        # Nothing in it was ever acknowledged, so that nothing tells that it is a record.
        assert not parse_record(disk.read(PATH)).known
    return shown


def holds(disk: MemoryFiles, shown: list[Event]) -> None:
    """Everything shown as kept is there, in order; what is not right is told."""
    contents = read_record(PATH, disk)
    assert list(contents.events[: len(shown)]) == shown
    assert set(contents.events) <= {*SHORT, NEXT}
    if contents.damaged:  # the end of a line came through and its beginning did not: seen as damage, and told
        assert b"\0" in disk.read(PATH)


@pytest.mark.slow
@pytest.mark.usefixtures("each_line_read_once")
def test_stopped_after_every_operation_nothing_acknowledged_is_lost(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stop after operation k for every k; take every disk that may be found then; mend it and go on, and stop once
    more after every operation of that; in the end everything that was ever shown as kept is there."""
    # A short notice: each of its bytes may be the last one found, and all of them are alike.
    monkeypatch.setattr("faultfinder.job.record.record.header", lambda: "# notice\n")
    states = again = 0
    seen: set[tuple[bytes, object]] = set()
    for stop in range(100):
        acknowledged, disk = written_until(stop)
        for found in disk.survivors():
            states += 1
            if not found.exists(PATH):
                assert acknowledged == 0
                continue
            holds(found, list(SHORT[:acknowledged]))
            if (found.read(PATH), acknowledged) in seen:
                continue
            seen.add((found.read(PATH), acknowledged))
            for second in (*range(6), None):
                copy = next(found.survivors())
                shown = continued_until(copy, second)
                shown = shown or list(SHORT[:acknowledged])  # stopped before it showed anything
                for last in copy.survivors():
                    again += 1
                    if (last.read(PATH), tuple(shown)) in seen:
                        continue
                    seen.add((last.read(PATH), tuple(shown)))
                    holds(last, shown)
                    assert continued_until(last, None)[: len(shown)] == shown
        if disk.operations < stop:
            break
    else:
        raise AssertionError("it never came to an end")
    with capsys.disabled():
        print(f" {stop} operations, {states:,} disks found, {again:,} after a second stop;", end="")
    assert stop >= 8 and states > 200 and again > 5_000


def test_what_a_killed_writer_left_unsafe_is_made_safe_before_it_is_shown() -> None:
    """The writer was killed between write and sync; the next one shows its line as kept, then the power goes."""
    acknowledged, disk = written_until(stop=5)
    for handle in list(disk._open):
        disk.close(handle)
    disk.stop_after = None
    with Record.open(PATH, disk) as record:
        shown = list(record.contents.events)
    assert len(shown) > acknowledged
    for found in disk.survivors():
        holds(found, shown)


def test_a_report_is_there_whole_or_as_it_was() -> None:
    for stop in range(12):
        disk = MemoryFiles()
        write_whole(Path("out/report.html"), "old", disk)
        with pytest.raises(RecordError, match="exists already"):
            write_whole(Path("out/report.html"), "new", disk)
        disk.operations, disk.stop_after = 0, stop
        try:
            write_whole(Path("out/report.html"), "new and longer", disk, over=True)
        except Stopped:
            for found in disk.survivors():
                assert found.read(Path("out/report.html")) in (b"old", b"new and longer")
        else:
            assert all(found.read(Path("out/report.html")) == b"new and longer" for found in disk.survivors())


# -- the disk does not do as it is told -------------------------------------------------------------------


def test_a_full_disk_is_told_and_the_answer_can_be_given_again() -> None:
    disk = MemoryFiles()
    record = fill(disk)
    for left in (0, 1, 30):
        disk.room = len(disk.read(PATH)) + left
        with pytest.raises(RecordError) as refusal:
            record.append(Noted("one more line that does not fit any more"))
        assert (
            str(refusal.value) == "This was not kept: the disk is full. Put that right, then enter it again."
        )
        assert parse_record(disk.read(PATH)).events == EVENTS
    disk.room = None
    record.append(Noted("again"))
    assert parse_record(disk.read(PATH)).events == (*EVENTS, Noted("again"))


def test_a_record_that_does_not_fit_on_the_disk_leaves_nothing_in_the_way() -> None:
    disk = MemoryFiles(room=10)
    with pytest.raises(RecordError, match="cannot be made: This was not kept: the disk is full"):
        Record.create(PATH, OPENED, disk)
    disk.room = None
    fill(disk)
    assert parse_record(disk.read(PATH)).events == EVENTS


def test_a_disk_that_can_only_be_read_is_told() -> None:
    disk = MemoryFiles(read_only=True)
    with pytest.raises(RecordError, match="cannot be made: no permission to write there"):
        Record.create(PATH, OPENED, disk)
    disk.read_only = False
    record = fill(disk)
    disk.read_only = True
    with pytest.raises(RecordError, match="This was not kept: no permission"):
        record.append(EVENTS[1])
    assert parse_record(disk.read(PATH)).events == EVENTS


def test_a_sync_that_fails_is_no_acknowledgement(monkeypatch: pytest.MonkeyPatch) -> None:
    disk = MemoryFiles()
    record = fill(disk)

    def broken(handle: int) -> None:
        raise OSError(errno.EIO, "input/output error")

    with monkeypatch.context() as patch:
        patch.setattr(disk, "sync", broken)
        with pytest.raises(RecordError, match="the disk does not answer properly"):
            record.append(Noted("lost?"))
    record.append(Noted("kept"))
    assert parse_record(disk.read(PATH)).events == (*EVENTS, Noted("kept"))


@pytest.mark.slow
def test_a_real_file_that_may_not_grow_is_cut_back_to_its_last_line(tmp_path: Path) -> None:
    """A real partial write: the system lets a file grow by 250 bytes and no further."""
    script = (
        "import resource, sys\n"
        "from faultfinder.job.record.record import Record, RecordError\n"
        "from faultfinder.job.events import Noted, Opened\n"
        "record = Record.create(sys.argv[1], Opened('pack'))\n"
        "most = len(open(sys.argv[1]).read()) + 250\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))\n"
        "for number in range(9):\n"
        "    try:\n"
        "        record.append(Noted(f'{number} ' + 'x' * 60))\n"
        "    except RecordError as error:\n"
        "        sys.exit(f'{number} kept. {error}')\n"
    )
    assert resource.RLIM_INFINITY is not None
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path / "one.yaml")], capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 1
    assert done.stderr.splitlines() == [
        "2 kept. This was not kept: the disk is full. Put that right, then enter it again."
    ]
    contents = read_record(tmp_path / "one.yaml")
    assert len(contents.events) == 3 and contents.problems == ()


@pytest.mark.slow
@pytest.mark.skipif(
    not hasattr(os, "setuid") or os.geteuid() != 0, reason="only root can try it as somebody else"
)
def test_a_folder_that_is_somebody_elses_is_told(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    script = (
        "import os, sys\n"
        "from faultfinder.job.record.record import Record, RecordError\n"
        "from faultfinder.job.events import Opened\n"
        "os.setuid(65534)\n"
        "try:\n"
        "    Record.create(sys.argv[1], Opened('pack'))\n"
        "except RecordError as error:\n"
        "    sys.exit(str(error))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path / "one.yaml")], capture_output=True, text=True, timeout=60
    )
    assert done.stderr == f"{tmp_path}/one.yaml cannot be made: no permission to write there.\n"


@pytest.mark.slow
def test_two_processes_cannot_write_one_record(tmp_path: Path) -> None:
    script = (
        "import sys\n"
        "from faultfinder.job.record.record import Record, RecordError\n"
        "try:\n"
        "    Record.open(sys.argv[1])\n"
        "except RecordError as error:\n"
        "    sys.exit(str(error))\n"
    )
    command = [sys.executable, "-c", script, str(tmp_path / "one.yaml")]
    with Record.create(tmp_path / "one.yaml", OPENED):
        second = subprocess.run(command, capture_output=True, text=True, timeout=60)
        assert second.stderr == f"{tmp_path}/one.yaml is open in another window; close that one first.\n"
        assert read_record(tmp_path / "one.yaml").events == (OPENED,)
    assert subprocess.run(command, capture_output=True, text=True, timeout=60).returncode == 0


# -- names ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Mrs K, kitchen", "Mrs-K-kitchen.yaml"),
        ("job.yaml", "job.yaml"),
        ("../../etc/passwd", "etc-passwd.yaml"),
        ("..", None),
        ("/tmp/x", "tmp-x.yaml"),
        ("a\\b\0c\n", "a-b-c.yaml"),
        ("\u202etxt.exe", "txt-exe.yaml"),
        ("Küche 2", "Küche-2.yaml"),
        ("nul", None),
        ("", None),
        ("x" * 300, "x" * 80 + ".yaml"),
    ],
)
def test_a_name_writes_into_its_folder_and_nowhere_else(tmp_path: Path, name: str, file: str | None) -> None:
    if file is None:
        with pytest.raises(RecordError, match="cannot be the name of a job"):
            job_path(tmp_path, name)
    else:
        assert job_path(tmp_path, name) == tmp_path / file


def test_a_line_too_long_to_be_read_again_is_not_written(tmp_path: Path) -> None:
    """Better told at once than found damaged later."""
    with Record.create(tmp_path / "job.yaml", Opened("pack")) as record:
        with pytest.raises(RecordError, match="too long"):
            record.append(Noted("x" * 60_000))
        record.append(Noted("y"))
    assert [type(event) for event in read_record(tmp_path / "job.yaml").events] == [Opened, Noted]
