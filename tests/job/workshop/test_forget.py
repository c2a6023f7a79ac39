"""A forgotten person stands in no file of the folder; what was measured and done stays as it was."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultfinder.job.events import (
    REMOVED,
    Answered,
    Complaint,
    DealtWith,
    Event,
    Noted,
    Opened,
    PictureTaken,
    PutRight,
    Restarted,
)
from faultfinder.job.history.index import INDEX, listed
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import Record, read_record
from faultfinder.job.record.whole_file import clear_halves
from faultfinder.job.workshop.attachments import FIELDS, about_text, kind_of, picture_path, read_about
from faultfinder.job.workshop.forget import forget, forgotten

DISK = Disk()
AT = "2026-11-02T08:00:00+00:00"
WORDS = (
    'it smells, says my <aunt> & "Uncle"',
    "key at number nine",
    "why: the owner insists",
    "her kitchen",
    "rang her nephew, it goes off now",
)
EVENTS: tuple[Event, ...] = (
    Opened("small_pack", at=AT),
    Complaint(WORDS[0], at=AT),
    Noted(WORDS[1], at=AT),
    Answered("element_resistance", reads="OL", at=AT),
    Restarted(WORDS[2], at=AT),
    DealtWith("old_name", WORDS[4], at=AT),
    PictureTaken("picture-1.png", "00", WORDS[3], at=AT),
    PutRight("element_open", at=AT),
)
PERSON = {"customer": "Ms Nobody of Nowhere", "address": "Invented Lane 9", "telephone": "000 123"}


@pytest.fixture
def record(tmp_path: Path) -> Path:
    path = tmp_path / "2026-11-02-kqmtrw.yaml"
    with Record.create(path, EVENTS[0]) as record:
        record.append(*EVENTS[1:])
    (tmp_path / "2026-11-02-kqmtrw.about").write_text(about_text(PERSON))
    (tmp_path / "2026-11-02-kqmtrw-picture-1.png").write_bytes(b"\x89PNG\r\n\x1a\nhers")
    return path


def test_nothing_free_is_left_in_any_file_and_the_rest_is(record: Path) -> None:
    listed(record.parent, DISK)  # makes the index, which holds the words
    assert (record.parent / INDEX).exists()
    done = forget(record, DISK)
    assert not done.still
    everything = b"".join(path.read_bytes() for path in record.parent.iterdir())
    for text in (*WORDS, *PERSON.values(), "hers", "aunt", "nine"):
        assert text.encode() not in everything
    contents = read_record(record)
    assert not contents.problems and contents.events == forgotten(EVENTS)
    assert [type(event) for event in contents.events] == [type(event) for event in EVENTS]
    assert Answered("element_resistance", reads="OL", at=AT) in contents.events


def test_a_remark_written_into_the_file_by_hand_goes_too(record: Path) -> None:
    record.write_text("# Ms Nobody rang twice\n" + record.read_text())
    forget(record, DISK)
    assert "Nobody" not in record.read_text()


def test_a_report_of_the_job_goes_and_that_of_another_stays(record: Path) -> None:
    from talking import small_pack

    from faultfinder.report.findings import report_of
    from faultfinder.report.page import page
    from faultfinder.report.text import markdown

    folder = record.parent
    written = report_of(small_pack(), EVENTS, job=record.stem)
    other = report_of(small_pack(), EVENTS[:1], job=f"{record.stem}z")
    (folder / "hers.html").write_text(page(written))
    (folder / "hers.md").write_text(markdown(written))
    (folder / "other.html").write_text(page(other))
    done = forget(record, DISK)
    assert {"hers.html", "hers.md"} <= set(done.removed)
    assert (folder / "other.html").exists()


def test_a_file_of_somebody_elses_with_the_words_is_named_and_left(record: Path) -> None:
    letter = record.parent / "letter.txt"
    letter.write_text("Dear Ms Nobody of Nowhere")
    assert forget(record, DISK).still == ("letter.txt",)
    assert letter.exists()


def test_forgetting_twice_changes_nothing(record: Path) -> None:
    forget(record, DISK)
    once = record.read_bytes()
    forget(record, DISK)
    assert record.read_bytes() == once and once.count(REMOVED.encode()) == 5


def test_a_damaged_record_is_left_as_it_is(record: Path) -> None:
    record.write_bytes(record.read_bytes().replace(b"key at", b"keys at"))
    before = {path.name: path.read_bytes() for path in record.parent.iterdir()}
    with pytest.raises(RecordError, match="nothing was forgotten"):
        forget(record, DISK)
    assert before == {path.name: path.read_bytes() for path in record.parent.iterdir()}


def test_the_job_goes_on_after_it(record: Path) -> None:
    forget(record, DISK)
    with Record.open(record) as again:
        again.append(Noted("later"))
    contents = read_record(record)
    assert not contents.problems and contents.events[-1] == Noted("later")


def test_who_and_where_reads_back_and_is_harmless() -> None:
    fields = {name: f"x {name}\x1b[2J\n customer: somebody else" for name in FIELDS}
    back = read_about(about_text(fields).encode())
    assert list(back) == list(FIELDS) and all(value.isprintable() for value in back.values())
    for bad in (b"\xff\xfe", b"colour: red", b"customer"):
        with pytest.raises(RecordError):
            read_about(bad, "x.about")


@pytest.mark.parametrize(
    "tail",
    ["../x.png", "picture-1.png/../../x", "picture-0.png", "x", "picture-1.svg", "", "picture-1.png\n"],
)
def test_a_picture_named_by_a_record_leads_nowhere_else(tail: str) -> None:
    assert picture_path(Path("/jobs/a.yaml"), tail) is None


def _segment(marker: int, body: bytes) -> bytes:
    return bytes((0xFF, marker)) + (len(body) + 2).to_bytes(2, "big") + body


_FRAME = bytes((8, 0, 6, 0, 9, 1, 1, 0x11, 0))
PICTURES = {
    # The least that each standard asks for up to the size of the picture, and some bytes behind it.
    "jpg": b"\xff\xd8" + _segment(0xE0, b"JFIF\0" + bytes(9)) + b"\xff" + _segment(0xC2, _FRAME) + bytes(9),
    "png": b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x09\0\0\0\x06" + bytes(9),
    "gif": b"GIF89a\x09\0\x06\0" + bytes(9),
    "webp": b"RIFF\x22\0\0\0WEBPVP8 " + bytes(30),
}


def test_a_picture_is_known_by_its_header_and_one_cut_off_before_its_size_is_none() -> None:
    assert picture_path(Path("/jobs/a.yaml"), "picture-12.jpg") == Path("/jobs/a-picture-12.jpg")
    for kind, data in PICTURES.items():
        assert kind_of(data) == kind
        known = [length for length in range(len(data) + 1) if kind_of(data[:length])]
        assert known and known[0] >= 12 and known == list(range(known[0], len(data) + 1)), kind
    for none in (b"", b"<svg onload=alert(1)>", b"\xff\xd8\xff" + bytes(50), b"\xff\xd8" + b"\xff" * 900):
        assert kind_of(none) == ""
    for kind, data in (("jpg", b"\0\x06\0\x09"), ("png", b"\0\0\0\x09"), ("gif", b"\x09\0\x06\0")):
        assert kind_of(PICTURES[kind].replace(data, bytes(len(data)), 1)) == "", "a picture without a size"


def test_what_a_cut_off_write_left_goes_too_and_what_is_being_written_stays(record: Path) -> None:
    """Killed between writing a file and putting it in its place, half of a report or of the person's file is left."""
    for name in (f".{record.stem}.html.part", f".{record.stem}.about.part", ".elsewhere.json.part"):
        (record.parent / name).write_text(f"half of it: {WORDS[0]}")
    (record.parent / "mine.part").write_text("of somebody's own")
    (record.parent / ".folder.part").mkdir()
    (record.parent / ".link.part").symlink_to(record)
    writing = record.parent / ".now.html.part"
    handle = DISK.open(writing, create=True)
    done = forget(record, DISK)
    left = {path.name for path in record.parent.iterdir()}
    assert {".folder.part", ".link.part", ".now.html.part", "mine.part", record.name} == left
    assert len([name for name in done.removed if name.endswith(".part")]) == 3
    DISK.close(handle)
    assert clear_halves(record.parent, DISK) == (writing.name,)
