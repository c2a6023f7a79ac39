"""Who and where, pictures and parts: typed in a conversation, kept beside the record, shown in the report."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from talking import small_pack

from faultfinder.dialogue.converse import start
from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.job.events import Opened, PartUsed, PictureTaken
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import Record, read_record
from faultfinder.job.state import fold
from faultfinder.job.workshop.attachments import LARGEST, read_about
from faultfinder.job.workshop.prices import read_prices
from faultfinder.report.findings import report_of
from faultfinder.report.json import mapping
from faultfinder.report.model import CUSTOMER, WORKSHOP
from faultfinder.report.page import page
from faultfinder.report.text import markdown
from faultfinder.terminal.console.attachment_words import about_of, is_one, pictures_of, taken
from faultfinder.terminal.console.plain import PlainFace
from faultfinder.terminal.console.session import converse

PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + (8).to_bytes(4, "big") * 2 + bytes(20)


def talked(folder: Path, *lines: str) -> tuple[Path, str]:
    """A conversation of these lines; the record, and what was heard."""
    path = folder / "2026-11-30-kqmtrw.yaml"
    pack, opened = small_pack(), Opened("small_pack")
    heard = io.StringIO()
    with Record.create(path, opened) as record:
        job, _ = fold(pack, [opened])
        face = PlainFace(io.StringIO("".join(line + "\n" for line in lines)), heard, 76)
        assert converse(face, record, start(job, "x")) == Exit.OK
    return path, heard.getvalue()


def test_who_and_where_is_asked_field_by_field_and_stands_in_no_record(tmp_path: Path) -> None:
    path, _ = talked(
        tmp_path, "about", "Ms Nobody", "", "", "some dryer, blue", "", "me", "about customer Mr Noone"
    )
    assert about_of(path) == {"customer": "Mr Noone", "appliance": "some dryer, blue", "technician": "me"}
    assert "No" not in path.read_text().replace("Nothing", "").split("opened", 1)[1]


def test_a_picture_is_copied_and_named_with_its_hash_and_moment(tmp_path: Path) -> None:
    source = tmp_path / "my hose.png"
    source.write_bytes(PNG)
    path, heard = talked(tmp_path / "jobs", "complaint it is cold", f"photo {source} kinked <b>here</b>")
    (event,) = (each for each in read_record(path).events if isinstance(each, PictureTaken))
    assert (event.file, event.words) == ("picture-1.png", "kinked <b>here</b>")
    assert event.at and (path.parent / f"{path.stem}-picture-1.png").read_bytes() == PNG
    written = report_of(
        small_pack(),
        read_record(path).events,
        pictures=pictures_of(path, read_record(path).events),
        workshop=True,
    )
    html = page(written, WORKSHOP)
    assert html.count('src="data:image/png;base64,') == 1 and "<b>" not in html
    assert "data:image" not in page(written, CUSTOMER)
    assert "picture-1.png" in heard


def test_a_picture_changed_or_gone_is_told_and_not_shown(tmp_path: Path) -> None:
    source = tmp_path / "a.png"
    source.write_bytes(PNG)
    path, _ = talked(tmp_path / "jobs", "cold", f"photo {source}")
    events = read_record(path).events
    for data, told in ((PNG + b"x", "no longer the one"), (b"", "is not here")):
        written = report_of(small_pack(), events, pictures={"picture-1.png": data}, workshop=True)
        assert told in page(written, WORKSHOP) and "data:image" not in page(written, WORKSHOP)


def test_what_is_no_picture_or_far_too_large_is_refused_and_nothing_kept(tmp_path: Path) -> None:
    record = tmp_path / "jobs" / "a.yaml"
    record.parent.mkdir()
    text, huge = tmp_path / "a.txt", tmp_path / "huge.png"
    text.write_text("<svg onload='x()'/>")
    with huge.open("wb") as file:
        file.write(PNG)
        file.truncate(100_000_000)
    assert huge.stat().st_size > LARGEST
    for path in (text, huge, tmp_path, tmp_path / "none.png", Path("/dev/zero")):
        with pytest.raises(FaultFinderError):
            taken(None, record, f"photo {path}")  # type: ignore[arg-type]
    assert list(record.parent.iterdir()) == []


def test_free_words_that_begin_alike_are_the_customers(tmp_path: Path) -> None:
    for line in ("part of the drum is loose", "about an hour too long", "photo was taken by my son"):
        assert not is_one(line, free=True) and is_one(line, free=False)
    path, _ = talked(tmp_path, "part of the front is hot")
    assert "part of the front is hot" in path.read_text()


def test_parts_are_counted_priced_and_one_line_holds_them() -> None:
    prices = read_prices(b"part;price EUR;stock\nDrive belt;14,50;2\n")
    events = [PartUsed("drive  belt", 2), PartUsed("clip"), PartUsed("clip", 0), PartUsed("seal")]
    written = report_of(small_pack(), events, job="x", prices=prices, workshop=True)
    assert [(part.part, part.count, part.price) for part in written.parts] == [
        ("drive  belt", 2, 14.5),
        ("seal", 1, None),
    ]
    text = markdown(written, WORKSHOP)
    assert "2 x drive belt at 14.50 EUR: 29.00 EUR" in text and "29.00 EUR for parts with a price" in text
    assert "Parts fitted: 2 x drive belt, seal" in markdown(written, CUSTOMER)


@pytest.mark.parametrize(
    "data",
    [b"", b"a,b\n1,2\n", b"part,price\nx,cheap\n", b"part,price\n,3\n", b"\xff", b"part,price\nx,-1\n"],
)
def test_a_bad_list_of_prices_is_told(data: bytes) -> None:
    with pytest.raises(RecordError):
        read_prices(data, "prices.csv")


def test_the_person_stands_on_the_page_and_in_no_export() -> None:
    about = read_about(b"customer: Ms <i>Nobody</i>\nserial: 77-x\n")
    written = report_of(small_pack(), [], about=about)
    assert "Ms &lt;i&gt;Nobody" in page(written) and "77-x" in page(written)
    assert "Nobody" not in str(mapping(written, CUSTOMER)) and "77-x" not in str(mapping(written, WORKSHOP))


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            "customer: A. Nobody; address: 2 Mill Row, Nowhere",
            {"customer": "A. Nobody", "address": "2 Mill Row, Nowhere"},
        ),
        ("customer: A, telephone: 0100", {"customer": "A", "telephone": "0100"}),
        ("Customer A; serial=77-x", {"customer": "A", "serial": "77-x"}),
        ("address 2 Mill Row, appliance yard", {"address": "2 Mill Row, appliance yard"}),
        ("nothing of the kind; customer: A", {}),
    ],
)
def test_who_and_where_may_stand_on_one_line(tmp_path: Path, line: str, told: dict[str, str]) -> None:
    path, _ = talked(tmp_path, f"about {line}")
    assert about_of(path) == told
