"""Whatever its streams, its files and its surroundings are: a clear line, the right status, nothing left behind."""

from __future__ import annotations

import io
import json
import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from reporting import ISOLATE, RECORDS, events
from running import command, converse, environment, run_here
from talking import OPENED, SMALL

from faultfinder.cli import main
from faultfinder.job import events as happened
from faultfinder.job.events import Opened
from faultfinder.job.history.index import INDEX
from faultfinder.job.record.record import Record, read_record

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="streams are closed otherwise there")


def shell(jobs: Path, redirect: str, *arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
    """The command as a shell runs it with its streams turned elsewhere."""
    return subprocess.run(
        ["/bin/sh", "-c", f'exec "$@" {redirect}', "sh", *command(*arguments)],
        input="stays cold\n1\nnone\n",
        capture_output=True,
        text=True,
        errors="replace",
        env=environment(jobs, **more),
        timeout=60,
        check=False,
    )


def no_fault(done: subprocess.CompletedProcess[str]) -> None:
    assert done.returncode in (0, 1, 2), (done.returncode, done.stderr)
    assert "Traceback" not in done.stderr and "internal error" not in done.stderr
    assert "Exception ignored" not in done.stderr


@pytest.mark.slow
@pytest.mark.parametrize(
    ("redirect", "says"),
    [
        ("<&-", "standard input is closed, so that nobody could answer: nothing was begun."),
        (">&-", "standard output is closed, so that nothing could be shown: nothing was done."),
        ("<&- >&- 2>&-", ""),
    ],
)
def test_without_a_stream_that_it_needs_no_job_is_begun(tmp_path: Path, redirect: str, says: str) -> None:
    done = shell(tmp_path / "jobs", redirect, "--pack", str(SMALL))
    no_fault(done)
    assert done.returncode == 2 and says in done.stderr and len(done.stderr.splitlines()) == bool(says)
    assert not (tmp_path / "jobs").exists()


@pytest.mark.slow
def test_without_a_stream_for_errors_a_job_goes_on_and_nothing_gets_into_its_record(tmp_path: Path) -> None:
    done = shell(tmp_path, "2>&-", "--pack", str(SMALL))
    no_fault(done)
    assert done.returncode == 0
    (path,) = tmp_path.glob("*.yaml")
    assert read_record(path).problems == ()


@pytest.mark.slow
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device")
def test_what_cannot_be_shown_any_more_is_told_and_what_was_answered_is_kept(tmp_path: Path) -> None:
    for arguments in (("--pack", str(SMALL)), ("jobs",)):
        done = shell(tmp_path, ">/dev/full", *arguments)
        no_fault(done)
        assert done.returncode == 2 and "No space left on device" in done.stderr
    for path in tmp_path.glob("*.yaml"):
        assert read_record(path).problems == ()


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-16", "shift_jis"])
def test_streams_of_any_encoding_carry_what_they_can(
    tmp_path: Path, encoding: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = "K\u00fcche \u03a9 \u4e2d"
    with Record.create(tmp_path / "one.yaml", Opened("small_pack")) as record:
        record.append(happened.Complaint(name), happened.Noted("\U0001f525"))
    for key, value in environment(tmp_path).items():
        monkeypatch.setenv(key, value)
    for arguments in (["jobs"], ["report", "one", "--pack", str(SMALL)], ["history"], ["--pack", str(SMALL)]):
        told = io.BytesIO()
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"\xff\xfe\x80\n"), encoding=encoding))
        monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(told, encoding=encoding))
        monkeypatch.setattr(sys, "stderr", io.TextIOWrapper(io.BytesIO(), encoding=encoding))
        assert main(arguments) == 0
        assert told.getvalue().decode(encoding)


def folder_of_trouble(folder: Path) -> set[str]:
    """A folder with everything in it that is no good record, and one closed job that is; the names of the rest."""
    folder.mkdir()
    shutil.copy(RECORDS / "isolated.yaml", folder / "good.yaml")
    os.mkfifo(folder / "fifo.yaml")
    (folder / "zero.yaml").symlink_to("/dev/zero")
    (folder / "null.yaml").symlink_to("/dev/null")
    (folder / "nowhere.yaml").symlink_to("nowhere")
    (folder / "round.yaml").symlink_to("round.yaml")
    with (folder / "sparse.yaml").open("wb") as file:
        file.truncate(4 << 30)
    (folder / "noise.yaml").write_bytes(bytes(range(256)) * 40)
    bad = {path.stem for path in folder.glob("*.yaml")} - {"good"}
    (folder / "folder.yaml").mkdir()
    ends = "".join(
        f"- {{note: x, at: {at}}}\n" for at in ('"0001-01-01T00:00:00+14:00"', '"9999-12-31T23:59:59-14:00"')
    )
    (folder / "year1.yaml").write_text('- {opened: small_pack, at: "0001-01-01"}\n' + ends)
    return bad


@pytest.mark.slow
def test_one_bad_record_stops_neither_the_list_nor_the_history_nor_a_report(tmp_path: Path) -> None:
    folder = tmp_path / "jobs"
    bad = folder_of_trouble(folder)
    listed = run_here(folder, "jobs")
    no_fault(listed)
    assert listed.returncode == 1
    for name in bad | {"good", "year1"}:
        assert f"\n{name} " in f"\n{listed.stdout}", name
    assert listed.stdout.count("CANNOT BE READ") == len(bad) - 1  # noise is read, and every line of it told
    history = run_here(folder, "history")
    no_fault(history)
    assert history.returncode == 1 and "1 closed job" in history.stdout
    for name in bad:
        assert name in history.stderr, name
    done = run_here(folder, "report", "good", "--pack", str(SMALL))
    assert done.returncode == 0 and done.stdout


@pytest.mark.slow
@pytest.mark.parametrize(
    "name", ["fifo", "zero", "null", "nowhere", "round", "sparse", "noise", "folder", "x" * 300]
)
def test_no_command_hangs_or_fails_on_what_is_no_record(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "jobs"
    folder_of_trouble(folder)
    before = {path: (path.lstat().st_size, path.lstat().st_mtime_ns) for path in folder.iterdir()}
    path = str(folder / f"{name}.yaml")
    log = tmp_path / "log.csv"
    log.write_text("time (s),power (W)\n" + "".join(f"{n * 5},{100 + n}\n" for n in range(40)))
    for arguments in (
        ("resume", name),
        ("resume", path),
        ("report", name, "--pack", str(SMALL)),
        ("replay", path, "--pack", str(SMALL)),
        ("trace", str(log), "--job", path, "--take", "all", "--pack", str(SMALL)),
        ("history", "--import", path),
        ("trace", path),
        ("check", path),
        ("report", "good", "--pack", str(SMALL), "--html", path),
        ("history", "--export", path),
        ("jobs", "--jobs", path),
    ):
        if name == "sparse" and arguments[0] == "check":
            continue  # what keeps packs for the tests of this folder reads whole files; the fuzz tries it
        done = run_here(folder, *arguments)
        no_fault(done)
        told = done.stdout + done.stderr
        assert told and all(letter.isprintable() or letter == "\n" for letter in told), arguments
        # An empty folder has no jobs, and a report of noise is one of nothing.
        if name != "noise" and arguments[0] != "jobs":
            assert done.returncode in (1, 2), arguments
    for left in folder.iterdir():
        if left.name != INDEX:
            assert (left.lstat().st_size, left.lstat().st_mtime_ns) == before[left]


def test_without_a_home_it_says_where_records_could_be_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def nobody() -> Path:
        raise RuntimeError("could not determine home directory")

    monkeypatch.setattr(Path, "home", nobody)
    gone = {"FAULTFINDER_JOBS": "", "XDG_DATA_HOME": "", "XDG_CONFIG_HOME": ""}
    for arguments in (("jobs",), ("history",), ("report", "one"), ("--pack", str(SMALL))):
        done = run_here(tmp_path, *arguments, env=gone)
        assert done.returncode == 2 and "name a folder with --jobs, or in FAULTFINDER_JOBS" in done.stderr
    for arguments in (("--pack", str(SMALL), "--no-record"), ("--pack", str(SMALL), "--jobs", str(tmp_path))):
        done = run_here(tmp_path, *arguments, env={**gone, "FAULTFINDER_METER": ""})
        assert done.returncode == 0, done.stderr


def test_nothing_is_left_behind_in_a_folder_that_is_only_looked_at(tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "a.txt").write_text("x")
    for arguments in (
        ("jobs",),
        ("history",),
        ("resume", "x"),
        ("report", "x"),
        ("jobs", "--jobs", str(tmp_path / "no")),
    ):
        no_fault(run_here(tmp_path / "letters", *arguments))
    assert sorted(str(path.relative_to(tmp_path)) for path in tmp_path.rglob("*")) == [
        "letters",
        "letters/a.txt",
    ]


def test_a_name_with_line_ends_and_bytes_that_are_no_text_stands_on_its_own_line(tmp_path: Path) -> None:
    for name in (b"a\nfree  closed, fit for use\x1b[31m.yaml", b"\xff.yaml", b"\xfe.yaml"):
        shutil.copy(RECORDS / "isolated.yaml", os.fsencode(tmp_path) + b"/" + name)
    done = run_here(tmp_path, "jobs")
    assert done.stdout.count("LEFT OUT OF USE") == 3 and "\nfree" not in done.stdout
    assert all(letter.isprintable() or letter == "\n" for letter in done.stdout)
    assert len(json.loads(run_here(tmp_path, "jobs", "--json").stdout)) == 3


@pytest.mark.slow
@pytest.mark.parametrize("target", [".", "..", "/", "/dev/null/x", ""])
def test_what_cannot_be_a_file_is_told_when_a_report_is_to_be_written_there(
    tmp_path: Path, target: str
) -> None:
    shutil.copy(RECORDS / "isolated.yaml", tmp_path / "one.yaml")
    done = run_here(tmp_path, "report", "one", "--pack", str(SMALL), "--html", target, "--replace")
    assert done.returncode == (2 if target else 0)
    no_fault(done)
    done = run_here(tmp_path, "--pack", str(SMALL), "--jobs", "/dev/null")
    assert done.returncode == 2 and "its folder is a file" in done.stderr


# -- records and what is written of them -----------------------------------------------------------------


@pytest.mark.parametrize("data", [b'{"a": 1}', b"- milk\n", b"- {opened: x\n  more: y\n"])
def test_neither_resume_nor_trace_touches_what_is_no_record(tmp_path: Path, data: bytes) -> None:
    file, log = tmp_path / "mine.json", tmp_path / "log.csv"
    file.write_bytes(data)
    log.write_text("time (s),power (W)\n" + "".join(f"{n * 5},{100 + n}\n" for n in range(40)))
    for arguments in (
        ("resume", str(file), "--pack", str(SMALL)),
        ("trace", str(log), "--job", str(file), "--pack", str(SMALL), "--take", "all"),
    ):
        done = run_here(tmp_path, *arguments)
        assert done.returncode == 2 and "not recognised as a job record" in done.stderr
        assert file.read_bytes() == data


@pytest.mark.slow
def test_a_report_and_a_history_are_written_over_with_leave_and_over_a_record_never(tmp_path: Path) -> None:
    shutil.copy(RECORDS / "isolated.yaml", tmp_path / "one.yaml")
    for words in (("report", "one", "--pack", str(SMALL), "--html"), ("history", "--export")):
        target = tmp_path / "out"
        target.write_text("mine")
        done = run_here(tmp_path, *words, str(target))
        assert done.returncode == 2 and "--replace" in done.stderr and target.read_text() == "mine"
        done = run_here(tmp_path, *words, str(target), "--replace")
        assert done.returncode == 0 and target.read_text() != "mine"
        before = (tmp_path / "one.yaml").read_bytes()
        done = run_here(tmp_path, *words, str(tmp_path / "one.yaml"), "--replace")
        assert done.returncode == 2 and "is a job's record" in done.stderr
        assert (tmp_path / "one.yaml").read_bytes() == before


@pytest.mark.slow
def test_what_comes_through_a_pipe_is_echoed_harmlessly(tmp_path: Path) -> None:
    done = converse(tmp_path, "cold \x1b[2J\x1b]0;title\x07\u202e\x9b31m\x00", *OPENED[1:2])
    assert "cold ?[2J?]0;title??" in done.stdout
    assert all(letter.isprintable() or letter == "\n" for letter in done.stdout)


@pytest.mark.slow
def test_a_record_that_others_could_read_is_taken_from_them_and_that_is_told(tmp_path: Path) -> None:
    run_here(tmp_path, "--pack", str(SMALL), lines=OPENED[:2])
    (path,) = tmp_path.glob("*.yaml")
    path.chmod(0o644)
    done = run_here(tmp_path, "resume", str(path), "--pack", str(SMALL))
    assert "others on this computer could read it; from now on only you can" in done.stderr
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_job_that_lost_a_line_is_told_wherever_it_is_read(tmp_path: Path) -> None:
    with Record.create(tmp_path / "one.yaml", Opened("small_pack")) as record:
        for event in events("fact: connection, is: plug", *ISOLATE):
            record.append(event)
        record.append(happened.Closed("left_isolated"))
    path = tmp_path / "one.yaml"
    rows = path.read_text().splitlines(keepends=True)
    path.write_text("".join(rows[:-3] + rows[-2:]))
    for arguments, status in (
        (("jobs",), 1),
        (("history",), 1),
        (("report", "one", "--pack", str(SMALL)), 1),
        (("replay", str(path), "--pack", str(SMALL)), 1),
        (("resume", "one", "--pack", str(SMALL)), 0),
    ):
        done = run_here(tmp_path, *arguments)
        told = " ".join((done.stdout + done.stderr).split())
        assert done.returncode == status and "of the job should stand before this one" in told, arguments
