"""Lines know their place: what is missing, doubled, or from another record is told; a turn is whole or not there."""

from __future__ import annotations

import itertools
import random
from pathlib import Path

import pytest
from memory_files import MemoryFiles, Stopped

from faultfinder.job.events import Answered, Complaint, DangerSeen, Event, Noted, Opened, PutRight
from faultfinder.job.record.event_codec import Place, mark_of, parse_line, to_line
from faultfinder.job.record.lines import MOST_LINES, Contents, RecordError, parse_record
from faultfinder.job.record.record import Record, read_record

PATH = Path("jobs/one.yaml")
TURNS: tuple[tuple[Event, ...], ...] = (
    (Complaint("takes ages"),),
    (Answered("flex_look", "scorched"), DangerSeen("scorching")),
    (Noted("a"),),
    (PutRight("flex_damaged"), Answered("runs", "yes"), Noted("b")),
    (Noted("c"),),
)


def kept(*turns: tuple[Event, ...], first: Event | None = None) -> list[bytes]:
    """The lines of a record of these turns, each with its end."""
    disk = MemoryFiles()
    with Record.create(PATH, first or Opened("pack", at="2031-05-14T09:30:00"), disk) as record:
        for turn in turns:
            record.append(*turn)
    return [line for line in disk.read(PATH).splitlines(keepends=True) if not line.startswith(b"#")]


LINES = kept(*TURNS)
OTHER = kept(*TURNS, first=Opened("pack", at="2031-05-14T10:00:00"))


def codes(lines: list[bytes]) -> list[str]:
    return [problem.code for problem in parse_record(b"".join(lines), "one.yaml").problems]


def test_what_is_written_is_in_order() -> None:
    contents = parse_record(b"".join(LINES))
    assert contents.problems == () and contents.last == Place(mark_of(contents.events[0]), len(LINES))
    assert contents.events[1:] == tuple(itertools.chain(*TURNS))


@pytest.mark.parametrize("first", [b"", b"# by hand\n"])
def test_a_mark_of_order_that_an_editor_set_is_no_damage(first: bytes) -> None:
    plain = first + b"".join(LINES)
    marked = parse_record(b"\xef\xbb\xbf" + plain)
    assert marked.events == parse_record(plain).events and not marked.problems
    assert marked.known and marked.sound == len(plain) + 3


def test_a_place_is_written_and_read_back() -> None:
    place = Place("00ff", 12, 3)
    line = to_line(Noted("x, line: abcd-3, check: 01234567}"), place)
    assert ", line: 00ff-12, more: 3, check: " in line
    read = parse_line(line)
    assert (read.place, read.checked, read.problems) == (place, True, ())
    assert parse_line("- {note: x, line: 00ff-12}").place == Place("00ff", 12)


@pytest.mark.parametrize(
    "place", ["line: 12", "line: 00FF-1", "line: 00ff-0", "more: 1", "line: 00ff-1, more: x"]
)
def test_a_place_that_cannot_be_is_told(place: str) -> None:
    read = parse_line(f"- {{note: x, {place}}}")
    assert read.event is None and "leave 'line' and 'more' out when writing by hand" in read.problems[0].hint


@pytest.mark.parametrize("gone", range(len(LINES) - 1))
def test_every_line_that_is_taken_out_of_the_middle_is_missed(gone: int) -> None:
    (problem,) = parse_record(b"".join(LINES[:gone] + LINES[gone + 1 :]), "one.yaml").problems
    assert problem.code == "missing" and problem.is_error
    assert f"line {gone + 1} of the job" in problem.message and problem.mark.line == gone + 1


def test_any_run_of_lines_that_is_taken_out_is_missed_and_no_other_line_is_lost() -> None:
    for start, end in itertools.combinations(range(len(LINES)), 2):
        lines = LINES[:start] + LINES[end:]
        contents = parse_record(b"".join(lines))
        assert contents.damaged and len(contents.events) == len(lines), (start, end)


def test_lines_that_stand_twice_or_in_another_order_are_told() -> None:
    choose = random.Random(4)
    for _ in range(100):
        lines = list(LINES)
        one, two = choose.sample(range(len(lines)), 2)
        if choose.random() < 0.5:
            lines[one], lines[two] = lines[two], lines[one]
        else:
            lines.insert(one, lines[two])
            if lines[one] == lines[one + 1]:
                assert "order" in codes(lines)
        assert {"order", "missing", "two-records"} & set(codes(lines)), (one, two)


def test_two_records_put_together_are_noticed_wherever_they_are_joined() -> None:
    assert "two-records" in codes(LINES + OTHER)
    assert "two-records" in codes(LINES + LINES)
    for cut in range(1, len(LINES)):
        assert set(codes(LINES[:cut] + OTHER[cut:])) & {"two-records"}, cut
        assert set(codes(LINES[:cut] + OTHER[cut:] + LINES[cut:])) & {"two-records"}, cut


def without_places(lines: list[bytes]) -> list[bytes]:
    """The same as an older version wrote them, with a check alone."""
    return [to_line(event).encode() + b"\n" for event in parse_record(b"".join(lines)).events]


def test_two_old_records_put_together_are_noticed() -> None:
    assert codes(without_places(LINES)) == []
    assert codes(without_places(LINES) + without_places(OTHER)) == ["two-records"]


def test_an_old_record_is_gone_on_with_and_from_there_nothing_can_be_taken_out() -> None:
    disk = MemoryFiles()
    handle = disk.open(PATH, create=True)
    disk.append(handle, b"".join(without_places(LINES)))
    disk.close(handle)
    with Record.open(PATH, disk) as record:
        assert record.contents.problems == ()
        record.append(Noted("new"))
        record.append(Noted("newer"))
    data = disk.read(PATH)
    assert parse_record(data).problems == ()
    rows = data.splitlines(keepends=True)
    for gone in range(len(rows) - 1):
        assert codes(rows[:gone] + rows[gone + 1 :]) == ["missing"], gone


def test_lines_by_hand_need_no_number_and_may_take_the_place_of_one() -> None:
    by_hand = b"- {note: by hand}\n"
    for place in range(1, len(LINES) + 1):
        assert codes(LINES[:place] + [by_hand] + LINES[place:]) == [], place
    for place in range(1, len(LINES) - 1):
        assert codes(LINES[:place] + [by_hand] + LINES[place + 1 :]) == [], place
    edited = LINES[2].split(b", check: ")[0].replace(b"flex_look", b"plug_look") + b"}\n"
    assert codes([*LINES[:2], edited, *LINES[3:]]) == []
    assert codes([*LINES[:2], by_hand, *LINES[4:]]) == ["missing"]


# -- turns ------------------------------------------------------------------------------------------------


def turns_of(contents: Contents) -> list[tuple[Event, ...]]:
    """Which of the turns are there, each whole; fails where one is there in part."""
    left = list(contents.events[1:])
    found = []
    for turn in TURNS:
        if not left:
            break
        assert tuple(left[: len(turn)]) == turn
        found.append(turn)
        left = left[len(turn) :]
    assert left == []
    return found


@pytest.mark.slow
def test_cut_at_every_byte_every_turn_is_there_whole_or_not_at_all() -> None:
    data = b"".join(LINES)
    for cut in range(len(LINES[0]), len(data) + 1):
        contents = parse_record(data[:cut])
        turns_of(contents)
        assert contents.sound + contents.torn == cut
        assert not contents.damaged, cut
        disk = MemoryFiles()
        handle = disk.open(PATH, create=True)
        disk.append(handle, data[:cut])
        disk.close(handle)
        with Record.open(PATH, disk) as record:
            record.append(Noted("after the cut"))
        after = parse_record(disk.read(PATH))
        assert after.events == (*contents.events, Noted("after the cut")) and after.problems == (), cut


@pytest.mark.slow
def test_the_power_goes_at_every_operation_and_every_turn_is_whole_or_not_there() -> None:
    states = 0
    for stop in range(100):
        disk = MemoryFiles(stop_after=stop)
        acknowledged = 0
        try:
            record = Record.create(PATH, Opened("p"), disk)
            for turn in TURNS[1:4]:
                record.append(*turn)
                acknowledged += 1
        except Stopped:
            pass
        for found in disk.survivors():
            if not found.exists(PATH):
                continue
            states += 1
            contents = read_record(PATH, found)
            if contents.damaged:
                # The end of a turn came through and its beginning did not: seen as damage, and told.
                assert b"\0" in found.read(PATH)
                continue
            there = tuple(contents.events[1:])
            whole = [tuple(itertools.chain(*TURNS[1 : 1 + many])) for many in range(4)]
            assert there in whole[acknowledged:], (stop, there)
        if disk.operations < stop:
            break
    assert states > 300


def test_a_disk_that_fills_up_within_a_turn_keeps_none_of_it() -> None:
    disk = MemoryFiles()
    record = Record.create(PATH, Opened("pack"), disk)
    before = disk.read(PATH)
    needed = sum(len(to_line(event)) + 40 for event in TURNS[3])
    for left in range(0, needed - 120, 7):
        disk.room = len(before) + left
        with pytest.raises(RecordError, match="the disk is full"):
            record.append(*TURNS[3])
        assert disk.read(PATH) == before
    disk.room = None
    record.append(*TURNS[3])
    assert parse_record(disk.read(PATH)).events == (Opened("pack"), *TURNS[3])


def test_a_turn_cut_short_under_a_line_by_hand_is_told_and_nothing_is_taken_for_its_rest() -> None:
    lines = [*LINES[:3], b"- {note: by hand}\n"]
    assert codes(LINES[:3]) == ["torn"] and codes(lines) == []
    lines = [*LINES[:6], b"- {note: by hand}\n"]
    assert codes(lines) == ["missing"]
    disk = MemoryFiles()
    handle = disk.open(PATH, create=True)
    disk.append(handle, b"".join(lines))
    disk.close(handle)
    with Record.open(PATH, disk) as record:
        record.append(Noted("new"))
    (problem,) = parse_record(disk.read(PATH)).problems
    assert problem.code == "missing"


# -- limits -----------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_the_writer_keeps_the_readers_limit_and_tells_before_it_is_reached() -> None:
    disk = MemoryFiles()
    handle = disk.open(PATH, create=True)
    start = MOST_LINES - 1_101
    disk.append(handle, b"- {opened: pack}\n" + b"- {note: x}\n" * (start - 1))
    disk.close(handle)
    told = {}
    with Record.open(PATH, disk) as record:
        written = start
        with pytest.raises(RecordError, match="the record is full"):
            for number in range(1_200):
                many = 1 if number % 50 else 3
                said = record.append(*(Noted(f"{number}") for _ in range(many)))
                written += many
                if said:
                    told[written] = said
    assert MOST_LINES - 3 < written <= MOST_LINES
    assert len(told) >= 10 and min(told) <= MOST_LINES - 950
    assert "has room for 9" in told[min(told)] and "begin a new one" in told[min(told)]
    contents = read_record(PATH, disk)
    assert len(contents.events) == written and contents.problems == ()
