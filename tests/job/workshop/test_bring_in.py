"""Records of other vans brought in: every one of them is here afterwards, none is overwritten, and each is told."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import pytest

from faultfinder.job.events import FORMAT, Answered, Complaint, Event, Noted, Opened
from faultfinder.job.history.search import record_names
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import Record, read_record
from faultfinder.job.workshop.bring_in import AT_ODDS, KNOWN, LEFT, LETTERS, LONGER, NEW, bring_in, letters
from faultfinder.job.workshop.forget import REMOVED, forget

DISK = Disk()


def keep(path: Path, *events: Event) -> None:
    with Record.create(path, events[0]) as record:
        for event in events[1:]:
            record.append(event)


def job(van: int, number: int, length: int) -> list[Event]:
    at = f"2026-11-{1 + number % 20:02}T08:{van:02}:{number % 60:02}+00:00"
    events: list[Event] = [Opened("small_pack", at=at), Complaint(f"van {van} job {number}", at=at)]
    return events + [Noted(f"{each}", at=at) for each in range(length)]


def held(folder: Path) -> Counter[tuple[Event, ...]]:
    return Counter(read_record(folder / name).events for name in record_names(folder, DISK))


@pytest.mark.slow
def test_four_vans_of_clashing_names_meet_with_nothing_lost(tmp_path: Path) -> None:
    """Names of the old kind, the day and a number, the same in each van; five jobs went on in two vans."""
    chance = random.Random(20261130)
    vans = [tmp_path / f"van{number}" for number in range(4)]
    every: list[tuple[Event, ...]] = []
    for van, folder in enumerate(vans):
        for number in range(25):
            events = job(van, number, chance.randint(0, 3))
            keep(folder / f"2026-11-{1 + number % 20:02}-{1 + number // 20}.yaml", *events)
            every.append(tuple(events))
    longer = []
    for number in range(5):
        shared = job(0, number, 3)
        for van, words in ((1, "one"), (2, "two")):
            events = (*shared, Noted(words), Noted(words))
            keep(vans[van] / f"copy-{number}.yaml", *events)
            longer.append(events)
    together = tmp_path / "together"
    found = bring_in(together, vans, DISK)
    kinds = Counter(each.kind for each in found)
    assert set(kinds) == {NEW, LONGER, AT_ODDS}
    assert kinds[NEW] == 100 and kinds[LONGER] + kinds[AT_ODDS] == 10
    kept = held(together)
    for events in (*every, *longer):
        assert any(each[: len(events)] == events for each in kept)
    # Again: nothing is new.
    assert {each.kind for each in bring_in(together, vans, DISK)} == {KNOWN}
    assert held(together) == kept


def test_a_longer_copy_adds_its_later_entries_and_a_shorter_one_nothing(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    keep(here / "a.yaml", *job(1, 1, 2))
    keep(there / "b.yaml", *job(1, 1, 5))
    (one,) = bring_in(here, [there], DISK)
    assert (one.kind, one.name) == (LONGER, "a")
    contents = read_record(here / "a.yaml")
    assert contents.events == tuple(job(1, 1, 5)) and not contents.problems
    assert [each.kind for each in bring_in(there, [here], DISK)] == [KNOWN]


def test_what_cannot_be_read_whole_is_named_and_left(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    keep(there / "good.yaml", *job(1, 1, 1))
    whole = (there / "good.yaml").read_bytes()
    (there / "damaged.yaml").write_bytes(whole.replace(b"van 1", b"van 2"))
    (there / "foreign.yaml").write_text("- shopping: bread\n")
    keep(there / "newer.yaml", Opened("small_pack", format=FORMAT + 1), Answered("a", "yes"))
    (there / "empty.yaml").touch()
    (there / "link.yaml").symlink_to(there / "good.yaml")
    (there / "folder.yaml").mkdir()
    before = {path.name: path.read_bytes() for path in there.iterdir() if path.is_file()}
    found = {each.source.stem: each for each in bring_in(here, [there], DISK)}
    assert {name for name, each in found.items() if each.kind == LEFT} == {
        "damaged",
        "foreign",
        "newer",
        "empty",
        "link",
    }
    assert all(each.why for each in found.values() if each.kind == LEFT)
    assert [path.name for path in here.iterdir()] == ["good.yaml"]
    assert before == {path.name: path.read_bytes() for path in there.iterdir() if path.is_file()}


def test_a_hostile_name_stays_in_the_folder_and_is_harmless(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    keep(there / "ok.yaml", *job(1, 1, 1))
    (there / "ok.yaml").rename(there / "a..\x1b[2J<b>.yaml")
    (one,) = bring_in(here, [there], DISK)
    (name,) = [path.name for path in here.iterdir()]
    assert one.kind == NEW and name == f"{one.name}.yaml" and name.isprintable() and "<" not in name


def test_a_person_forgotten_here_does_not_come_back_with_another_vans_copy(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    keep(here / "a.yaml", *job(1, 1, 2))
    keep(there / "a.yaml", *job(1, 1, 4))
    forget(here / "a.yaml", DISK)
    (one,) = bring_in(here, [there], DISK)
    assert one.kind == LONGER
    events = read_record(here / "a.yaml").events
    assert len(events) == 6 and "van 1" not in (here / "a.yaml").read_text()
    assert {event.text for event in events if isinstance(event, Complaint | Noted)} == {REMOVED}


def test_files_beside_a_new_record_come_with_it_under_its_name(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    keep(here / "a.yaml", *job(2, 2, 2))
    keep(there / "a.yaml", *job(1, 1, 1))
    (there / "a.about").write_text("customer: somebody\n")
    (there / "a-picture-1.png").write_bytes(b"\x89PNG\r\n\x1a\n")
    (there / "a-picture-1.txt").write_text("no part of it")
    (one,) = bring_in(here, [there], DISK)
    assert one.name != "a"
    assert {path.name for path in here.iterdir()} == {
        "a.yaml",
        f"{one.name}.yaml",
        f"{one.name}.about",
        f"{one.name}-picture-1.png",
    }


def test_no_such_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(RecordError, match="cannot be looked at"):
        bring_in(tmp_path, [tmp_path / "nowhere"], DISK)


def test_a_record_named_instead_of_its_folder_is_told_as_that(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("- {opened: tumble_dryer}\n")
    with pytest.raises(RecordError, match=r"a\.yaml cannot be looked at: it is a file; name the folder"):
        bring_in(tmp_path / "here", [tmp_path / "a.yaml"], DISK)


def test_letters_are_of_the_length_asked_and_take_their_number_back() -> None:
    assert not set(LETTERS) & set("aeiouly")
    for number in (0, 1, 18, 19, 361, 47_045_880):
        text = letters(number, 6)
        assert len(text) == 6
        assert sum(LETTERS.index(letter) * 19**place for place, letter in enumerate(text)) == number
