"""The index and the files for other vans: nothing but the records matters, and nothing private leaves."""

from __future__ import annotations

import random
import sqlite3
import stat
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from reporting import ISOLATE, RECORDS, events
from talking import small_pack

from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.history import search
from faultfinder.job.history.exchange import (
    OTHERS,
    HistoryFileError,
    of_others,
    read_history,
    take_in,
    written,
)
from faultfinder.job.history.history import ClosedJob, counts
from faultfinder.job.history.index import INDEX, Index, job_key, listed, seen, seen_here
from faultfinder.job.record.event_codec import to_line
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import Contents, RecordError

DISK = Disk()


def told(number: int, *found: str, note: str = "") -> list[Event]:
    """A closed job's events."""
    at = f"2026-03-{1 + number % 28:02d}T09:00:00"
    return [
        happened.Opened("small_pack", "1", at=at),
        happened.Complaint(f"complaint {number}"),
        *events("fact: connection, is: plug", *ISOLATE),
        *([happened.Noted(note)] if note else []),
        happened.Closed("left_isolated", found, minutes=10.0 + number, at=at.replace("09:", "10:")),
    ]


def keep(path: Path, happening: list[Event]) -> None:
    path.write_text("".join(to_line(event) + "\n" for event in happening), encoding="utf-8")


def fresh(folder: Path) -> list[ClosedJob]:
    """The jobs as an index made from nothing sees them."""
    (folder / INDEX).unlink(missing_ok=True)
    return seen(folder)[0]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for n in range(4):
        keep(tmp_path / f"job{n}.yaml", told(n, "fan_worn", *(["element_open"] if n % 2 else [])))
    return tmp_path


def test_every_closed_job_is_seen_and_again_from_the_index_alone(folder: Path) -> None:
    jobs, problems = seen(folder)
    assert (len(jobs), problems) == (4, ())
    assert seen(folder) == (jobs, ())
    count = counts(small_pack(), jobs)
    assert (count["fan_worn"].found, count["element_open"].found, count["fan_worn"].jobs) == (4, 2, 4)


def test_a_record_is_taken_apart_only_when_it_has_changed(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen(folder)
    parsed: list[str] = []

    def noted(data: bytes, file: str) -> object:
        parsed.append(Path(file).name)
        return real(data, file)

    import faultfinder.job.history.index as module

    real = module.parse_record
    monkeypatch.setattr(module, "parse_record", noted)
    seen(folder)
    assert parsed == []
    keep(folder / "job2.yaml", told(2, "flex_damaged"))
    seen(folder)
    assert parsed == ["job2.yaml"]


@pytest.mark.slow
def test_after_any_changes_the_index_is_what_one_made_from_nothing_would_be(
    folder: Path, tmp_path: Path
) -> None:
    """Forty random changes, seeded: records made, closed again, damaged, removed and copied."""
    chance = random.Random(5)
    for step in range(40):
        path = folder / f"job{chance.randint(0, 7)}.yaml"
        match chance.randint(0, 5):
            case 0:
                path.unlink(missing_ok=True)
            case 1:
                path.write_bytes(b"- {nonsense}\n")
            case 2 if path.exists():
                path.write_bytes(path.read_bytes() + b'- {resumed: "again"}\n')
            case 3 if path.exists():
                (folder / f"copy{chance.randint(0, 2)}.yaml").write_bytes(path.read_bytes())
            case _:
                keep(path, told(step, chance.choice(["fan_worn", "element_open"])))
        jobs, problems = seen(folder)
        index = (folder / INDEX).read_bytes()
        assert (jobs, problems) == (fresh(folder), seen(folder)[1])
        (folder / INDEX).write_bytes(index)


def told_of(jobs: list[search.Job]) -> list[search.Job]:
    """The jobs without what was searched: that is looked up only where a word is asked for."""
    return [replace(job, words="") for job in jobs]


@pytest.mark.slow
def test_after_any_changes_the_list_is_what_reading_every_record_would_give(folder: Path) -> None:
    """Forty random changes, seeded; every time with and without words, from the index and from the records."""
    chance = random.Random(8)
    for step in range(40):
        path = folder / f"job{chance.randint(0, 9)}.yaml"
        match chance.randint(0, 7):
            case 0:
                path.unlink(missing_ok=True)
            case 1:
                path.unlink(missing_ok=True)
                path.write_bytes(chance.choice([b"- {nonsense}\n", b"\0\xff", b"", b'{"a": 1}']))
            case 2 if path.is_file():
                path.write_bytes(path.read_bytes() + b'- {resumed: "again"}\n')
            case 3 if path.is_file():
                path.write_bytes(path.read_bytes()[:-9])
            case 4:
                path.unlink(missing_ok=True)
                path.write_text('- {opened: p, at: "0001-01-01T00:00:00+14:00"}\n- {note: "\\udc80 ODD"}\n')
            case 5 if not path.is_symlink() and not path.exists():
                path.symlink_to(chance.choice(["/dev/zero", "nowhere", "job1.yaml"]))
            case _:
                path.unlink(missing_ok=True)
                keep(path, told(step, chance.choice(["fan_worn", "element_open"]), note="Grey KETTLE \u00df"))
        for words in (
            (),
            ("open",),
            ("closed", "fan"),
            ("kettle", "SS"),
            ("unreadable",),
            (f"job{step % 10}",),
        ):
            assert told_of(listed(folder, words=words)) == told_of(search.jobs(folder, DISK, words)), (
                step,
                words,
            )


def test_a_damaged_cell_of_the_list_is_noticed_and_the_records_are_read_anew(folder: Path) -> None:
    right = listed(folder)
    for column in ("told", "words", "told_sum"):
        with sqlite3.connect(folder / INDEX) as index:
            index.execute(f"UPDATE record SET {column} = 7 WHERE name = 'job2.yaml'")
        index.close()
        assert told_of(listed(folder, words=["complaint"])) == told_of(
            search.jobs(folder, DISK, ["complaint"])
        )
        assert listed(folder) == right


def test_the_same_folder_under_another_name_is_told_by_the_name_it_was_asked_by(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "bad.yaml").write_bytes(b"- {nonsense}\n")
    listed(folder)
    monkeypatch.chdir(folder)
    assert listed(Path(".")) == told_of(search.jobs(Path("."), DISK))
    assert any("bad.yaml:1" in problem for job in listed(Path(".")) for problem in job.problems)


def test_one_record_that_nobody_thought_of_stops_no_other(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import faultfinder.job.history.index as module

    real = module.job_of

    def odd(path: Path, contents: Contents) -> search.Job:
        if path.name == "job1.yaml":
            raise OverflowError("what nobody thought of")
        return real(path, contents)

    monkeypatch.setattr(module, "job_of", odd)
    jobs, problems = seen(folder)
    assert len(jobs) == 3 and len(problems) == 1 and "job1.yaml cannot be understood" in problems[0]
    assert [job.state for job in listed(folder)].count("unreadable") == 1


def test_a_folder_without_records_and_a_link_in_the_place_of_the_index(tmp_path: Path) -> None:
    assert listed(tmp_path) == [] and list(tmp_path.iterdir()) == []
    keep(tmp_path / "one.yaml", told(1))
    (tmp_path / INDEX).symlink_to(tmp_path / "elsewhere")
    assert len(listed(tmp_path)) == 1
    assert not (tmp_path / "elsewhere").exists() and not (tmp_path / INDEX).is_symlink()


def test_a_job_lying_there_twice_counts_once(folder: Path) -> None:
    (folder / "copy.yaml").write_bytes((folder / "job0.yaml").read_bytes())
    assert len(seen(folder)[0]) == 4


def test_a_jobs_key_stays_when_it_is_taken_up_again(folder: Path) -> None:
    happening = told(1, "fan_worn")
    longer = [*happening, happened.Resumed("again"), *told(1, "element_open")[2:]]
    assert job_key(happening) == job_key(longer)
    assert job_key(happening) != job_key(told(2, "fan_worn"))
    keep(folder / "long.yaml", longer)
    keep(folder / "short.yaml", happening)
    (job,) = [each for each in seen(folder)[0] if each.key == job_key(happening)]
    assert job.returns == 1


def test_a_damaged_record_is_left_out_and_told_each_time(folder: Path) -> None:
    (folder / "job0.yaml").write_text("- {opened: small_pack}\n- {nonsense: 1}\n")
    for _ in range(2):
        jobs, problems = seen(folder)
        assert len(jobs) == 3
        assert len(problems) == 1 and "not counted, damaged" in problems[0] and "job0.yaml:2" in problems[0]


@pytest.mark.parametrize("bad", [b"", b"rubbish" * 1000, b"SQLite format 3\x00" + b"\xff" * 5000])
def test_an_index_that_is_none_is_made_anew(folder: Path, bad: bytes) -> None:
    jobs, _ = seen(folder)
    (folder / INDEX).write_bytes(bad)
    assert seen(folder) == (jobs, ())
    with sqlite3.connect(folder / INDEX) as connection:
        assert connection.execute("SELECT count(*) FROM record").fetchone() == (4,)
    connection.close()


@pytest.mark.slow
def test_an_index_damaged_at_any_place_costs_nothing_but_time(folder: Path) -> None:
    jobs, _ = seen(folder)
    good = (folder / INDEX).read_bytes()
    chance = random.Random(9)
    for _ in range(80):
        bad = bytearray(good)
        for _ in range(chance.choice([1, 3, 200])):
            bad[chance.randrange(len(bad))] ^= 1 << chance.randrange(8)
        (folder / INDEX).write_bytes(bytes(bad[: chance.choice([len(bad), chance.randrange(len(bad))])]))
        assert seen(folder) == (jobs, ())


def test_an_index_of_another_program_or_format_is_replaced(folder: Path) -> None:
    jobs, _ = seen(folder)
    for script in ("DROP TABLE about", "UPDATE about SET format = 99"):
        connection = sqlite3.connect(folder / INDEX)
        with connection:
            connection.execute(script)
        connection.close()
        assert seen(folder) == (jobs, ())


@pytest.mark.skipif(sys.platform == "win32", reason="file modes are of Unix")
def test_the_index_is_private_to_the_user(folder: Path) -> None:
    seen(folder)
    assert stat.S_IMODE((folder / INDEX).stat().st_mode) == 0o600


def test_an_index_that_is_locked_or_read_only_is_done_without(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    jobs, _ = seen(folder)
    keep(folder / "new.yaml", told(9, "flex_damaged"))
    monkeypatch.setattr("faultfinder.job.history.index.WAIT_S", 0.05)
    holding = sqlite3.connect(folder / INDEX)
    holding.execute("BEGIN EXCLUSIVE")
    try:
        assert len(seen(folder)[0]) == 5
    finally:
        holding.rollback()
        holding.close()
    assert len(seen(folder)[0]) == 5


def test_a_folder_where_nothing_can_be_kept_is_still_counted(folder: Path) -> None:
    class NoNewFiles(Disk):
        def open(self, path: Path, *, create: bool) -> int:
            raise OSError(30, "read-only")

        def remove(self, path: Path) -> None:
            raise OSError(30, "read-only")

    (folder / INDEX).unlink(missing_ok=True)
    assert len(seen(folder, NoNewFiles())[0]) == 4
    assert not (folder / INDEX).exists()


def test_no_folder_means_nothing_seen(tmp_path: Path) -> None:
    assert seen(tmp_path / "nowhere") == ([], ())


def test_the_index_is_set_as_it_says(folder: Path) -> None:
    with Index.open(folder) as index:
        run = index._connection.execute
        assert run("PRAGMA journal_mode").fetchone() == ("delete",)
        assert run("PRAGMA synchronous").fetchone() == (0,)


def test_what_was_seen_here_is_blended_into_the_rules_numbers(folder: Path) -> None:
    event, problems = seen_here(small_pack(), folder)
    assert event is not None and problems == ()
    assert (event.jobs, event.weight) == (4, 50.0)
    assert dict(event.chances)["fan_worn"] > small_pack().causes["fan_worn"].how_common
    (folder / "job0.yaml").write_text("- {nonsense: 1}\n")
    event, problems = seen_here(small_pack(), folder)
    assert event is not None and event.jobs == 3 and "job0" in problems[0]
    assert seen_here(small_pack(), folder / "nowhere") == (None, ())


# -- files for other vans -------------------------------------------------------------------------------


def test_what_is_written_reads_back_the_same_but_for_the_hour(folder: Path) -> None:
    jobs, _ = seen(folder)
    back = read_history(written(jobs).encode())
    assert sorted(job.key for job in back) == sorted(job.key for job in jobs)
    assert counts(small_pack(), back) == counts(small_pack(), jobs)
    assert written(back) == written(jobs)


def test_nothing_private_leaves(tmp_path: Path) -> None:
    """Words of the customer, notes, readings, numbers, other facts, the hour: none is in the file."""
    secret = "SECRET words"
    happening = [
        happened.Opened("small_pack", at="2026-03-02T09:17:00"),
        happened.Complaint(secret),
        happened.Noted(secret),
        happened.FactGiven("watts", "1234"),
        happened.FactGiven("where_it_stands", secret),
        *events("fact: supply, is: single_phase", *ISOLATE, "answer: element_resistance, reads: 27R"),
        happened.Closed("handed_over", ("fan_worn", secret), at="2026-03-02T10:44:00"),
    ]
    keep(tmp_path / "secret_name.yaml", happening)
    text = written(seen(tmp_path)[0], {"small_pack": ["supply", "connection"]})
    for piece in ("SECRET", "secret", "1234", "27", "09:17", "10:44", "where_it"):
        assert piece not in text
    assert 'facts: {supply: "single_phase"}' in text and "2026-03-02" in text
    assert read_history(text.encode())[0].found == ("fan_worn",)


def test_overlapping_files_count_each_job_once(folder: Path, tmp_path: Path) -> None:
    jobs, _ = seen(folder)
    van = tmp_path / "van"
    van.mkdir()
    keep(van / "own.yaml", told(20, "cut_out_open"))
    one, two = tmp_path / "one.history", tmp_path / "two.history"
    one.write_text(written(jobs[:3]))
    two.write_text(written(jobs[1:]))
    take_in(van, [one, two], DISK)
    take_in(van, [one], DISK)
    assert len(of_others(van, DISK)) == 4
    assert len(seen(van)[0]) == 5
    take_in(folder, [one], DISK)
    assert len(seen(folder)[0]) == 4


def test_where_one_file_is_wrong_none_is_taken(folder: Path, tmp_path: Path) -> None:
    good, bad = tmp_path / "good.history", tmp_path / "bad.history"
    good.write_text(written(seen(folder)[0]))
    bad.write_text("- {history: 1}\n- {job: 1}\n")
    with pytest.raises(HistoryFileError, match=r"bad\.history:2: .*Nothing was taken from this file"):
        take_in(tmp_path, [good, bad], DISK)
    assert not (tmp_path / OTHERS).exists()
    with pytest.raises(RecordError, match="cannot be read"):
        take_in(tmp_path, [tmp_path / "missing"], DISK)


def test_a_damaged_file_of_others_is_told_and_ones_own_jobs_still_count(folder: Path) -> None:
    (folder / OTHERS).write_text("rubbish\n")
    jobs, problems = seen(folder)
    assert len(jobs) == 4
    assert len(problems) == 1 and OTHERS in problems[0]


GOOD = (
    '- {job: "3c6070160ddc9398", pack: "small_pack", facts: {}, by_clock: 1, put_right: [], '
    'closings: [{at: "2026-03-02", state: fit_for_use, minutes: 2, found: [a]}]}'
)


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("3c6070160ddc9398", "3c60", "16 hexadecimal"),
        ("small_pack", "../x", "name of a pack"),
        ("by_clock: 1", "by_clock: -1", "number of minutes"),
        ("by_clock: 1", "by_clock: 1e9", "number of minutes"),
        ("by_clock: 1", "by_clock: .nan", "number of minutes"),
        ("by_clock: 1, ", "", "must have the keys"),
        ("by_clock: 1", "by_clock: 1, more: 2", "must have the keys"),
        ("put_right: []", "put_right: {}", "list of causes"),
        ("put_right: []", "put_right: [A B]", "must be an id"),
        ("facts: {}", "facts: []", "must be a mapping"),
        ("facts: {}", 'facts: {a: "x y"}', "an id and a choice"),
        ("fit_for_use", "fine", "closed as one of"),
        ("2026-03-02", "yesterday", "must be a day"),
        ("minutes: 2, ", "", "keys at, state"),
        ('[{at: "2026-03-02", state: fit_for_use, minutes: 2, found: [a]}]', "[]", "at least once"),
        ("- {job", "- [job", ""),
        ("- {job", "{job", "a line must read"),
        ("found: [a]", "found: &x [a]", ""),
        ("found: [a]", "found: [*x]", ""),
        ("found: [a]", "found: !!python/name:os.system [a]", ""),
    ],
)
def test_a_line_that_cannot_be_right_is_told(old: str, new: str, what: str) -> None:
    assert old in GOOD
    text = f"- {{history: 1}}\n# a remark\n\n{GOOD.replace(old, new)}\n"
    with pytest.raises(HistoryFileError) as told:
        read_history(text.encode(), "van.history")
    assert str(told.value).startswith("van.history:4: ") and what in str(told.value)


def test_a_file_without_its_first_line_or_of_another_format_is_refused() -> None:
    for text in ("", "# nothing\n", GOOD + "\n", "- {history: 2}\n"):
        with pytest.raises(HistoryFileError):
            read_history(text.encode())


@pytest.mark.slow
def test_any_bytes_are_read_or_refused_in_words() -> None:
    """2,000 damaged files, seeded: an answer or a sentence that drives no terminal, never another error."""
    chance = random.Random(13)
    good = f"- {{history: 1}}\n{GOOD}\n".encode()
    for _ in range(2000):
        data = bytearray(good)
        for _ in range(chance.randint(1, 6)):
            at = chance.randrange(len(data))
            piece = chance.choice(
                [
                    b"\x1b[2J",
                    b"\xff",
                    b"{",
                    b"]",
                    b"\n",
                    b'"',
                    b"\xe2\x80\xae",
                    b"",
                    bytes([chance.randrange(256)]),
                ]
            )
            data[at : at + chance.randint(0, 3)] = piece
        try:
            read_history(bytes(data), "x\x1b")
        except HistoryFileError as error:
            assert all(c.isprintable() for c in str(error)), str(error)


def test_the_records_of_the_tests_are_seen(tmp_path: Path) -> None:
    for path in RECORDS.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    count = counts(small_pack(), seen(tmp_path)[0])
    assert {name for name, each in count.items() if each.found} == {
        "element_open",
        "inlet_blocked",
        "flex_damaged",
        "cut_out_open",
    }
