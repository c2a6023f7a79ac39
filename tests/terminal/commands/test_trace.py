"""`faultfinder trace` as a command: files of every kind, a job to take readings into, and bad use."""

from __future__ import annotations

import argparse
import io
import json
import sys
from pathlib import Path

import pytest
from logs import MOTOR, logged, with_gap

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import ACCESS_LOGGED, Answered, FactGiven, Opened
from faultfinder.job.record.record import Record, read_record
from faultfinder.terminal.commands import trace


@pytest.fixture(autouse=True)
def _a_house_of_its_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "none"))
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setenv("LINES", "24")
    for name in ("FAULTFINDER_METER", "FAULTFINDER_PLAIN", "ACCESSIBLE", "TERM"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "cycle.csv"
    path.write_text(logged(), encoding="utf-8")
    return path


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.yaml"
    with Record.create(path, Opened("tumble_dryer")) as record:
        record.append(FactGiven("type", "vented"))
        record.append(FactGiven("total_watts", "2500"))
    return path


def run(*words: str) -> int:
    parser = argparse.ArgumentParser()
    trace.add_arguments(parser)
    return int(trace.run(parser.parse_args(words)))


@pytest.mark.slow
def test_the_drawing_and_the_words_fit_a_phone(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(str(log), "type=vented") == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 40
    assert "2450 W" in out and "heat" in out and "--job JOB" in out.replace("\n", " ")


@pytest.mark.slow
def test_without_a_machine_the_cycle_is_shown_all_the_same(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(str(log)) == 0
    out = capsys.readouterr().out
    assert "2450 W" in out and "name the machine's facts" in out.replace("\n", " ")
    assert run(str(log), "--json") == 0
    assert json.loads(capsys.readouterr().out)["readings"] == []


@pytest.mark.slow
def test_plain_has_no_drawing(
    log: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    run(str(log), "--plain")
    plain = capsys.readouterr().out
    monkeypatch.setenv("ACCESSIBLE", "1")
    run(str(log))
    assert plain == capsys.readouterr().out
    assert "█" not in plain and "#" not in plain and "It settles at:" in plain


@pytest.mark.slow
def test_a_dumb_terminal_and_an_old_encoding_get_plain_characters(
    log: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "dumb")
    run(str(log))
    out = capsys.readouterr().out
    assert out.isascii() and "####" in out
    monkeypatch.delenv("TERM")
    narrow = io.TextIOWrapper(io.BytesIO(), encoding="cp437" if sys.platform == "win32" else "ascii")
    monkeypatch.setattr(sys, "stdout", narrow)
    run(str(log))
    narrow.flush()
    assert b"####" in narrow.buffer.getvalue()  # type: ignore[attr-defined]


@pytest.mark.slow
def test_numbers_typed_take_readings_into_the_job(
    log: Path, job: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("9\npower\n"))
    assert run(str(log), "--job", str(job)) == 0
    out = capsys.readouterr().out
    assert "Not taken: '9' is none of the readings" in out.replace("\n", " ")
    assert "power on high" in out
    answers = [event for event in read_record(job).events if isinstance(event, Answered)]
    assert [(e.observation, e.reads, e.access) for e in answers] == [
        ("power_on_high", "2450 W", ACCESS_LOGGED)
    ]
    assert answers[0].at


@pytest.mark.slow
@pytest.mark.parametrize("typed", ["\n", "none\n", ""])
def test_nothing_typed_takes_nothing(
    typed: str, log: Path, job: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = job.read_bytes()
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    assert run(str(log), "--job", str(job)) == 0
    assert job.read_bytes() == before and "None taken." in capsys.readouterr().out


def test_a_script_takes_by_name_and_reads_json(
    log: Path, job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(str(log), "--job", str(job), "--take", "heat_on_share", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["taken"] == ["heat_on_share"] and told["job"] == str(job)
    assert [each["observation"] for each in told["readings"]] == [
        "dry_minutes",
        "power_on_high",
        "heat_on_share",
    ]
    assert [e.observation for e in read_record(job).events if isinstance(e, Answered)] == ["heat_on_share"]


def test_json_alone_takes_nothing(log: Path, job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = job.read_bytes()
    run(str(log), "--job", str(job), "--json")
    assert json.loads(capsys.readouterr().out)["taken"] == [] and job.read_bytes() == before


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_loggers_write_in_several_encodings(
    encoding: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "cycle.csv"
    path.write_bytes(("Gerät: 1 °\n" + logged()).encode(encoding))
    assert run(str(path)) == 0 and "2450 W" in capsys.readouterr().out


@pytest.mark.slow
def test_standard_input_is_a_file_too(
    job: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(logged().encode())))
    assert run("-", "--job", str(job), "--take", "power") == 0
    assert "standard input" in job.read_text(encoding="utf-8")


def test_gaps_are_drawn_and_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "gap.csv"
    path.write_text(with_gap(logged(((MOTOR, 3000),)), 100, 200))
    run(str(path))
    out = capsys.readouterr().out
    assert "xxx" in out and "Odd in the log:" in out


@pytest.mark.slow
@pytest.mark.parametrize(
    "words, message",
    [
        (["none.csv"], "cannot be read"),
        (["."], "cannot be read"),
        (["bad\0name"], "no file of that name"),
        (["{log}", "--take", "all"], "--take needs the job"),
        (["{log}", "type=vented", "--job", "{job}"], "The facts of a job stand in the job"),
        (["{log}", "high section OL"], "is not a fact"),
        (["{log}", "tipe=vented"], "is not a fact"),
        (["{log}", "--column", "Amps"], "no header with a time and 'Amps'"),
        (["{log}", "--cycle", "2"], "there is no cycle 2"),
        (["{log}", "--job", "{folder}/none.yaml"], "no record"),
        (["{log}", "--job", "{job}", "--take", "7"], "none of the readings"),
        (["{job}"], "no header with a time"),
    ],
)
def test_bad_use_is_one_clear_line(
    words: list[str], message: str, log: Path, job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    before = job.read_bytes()
    filled = [word.format(log=log, job=job, folder=tmp_path) for word in words]
    with pytest.raises(FaultFinderError) as raised:
        run(*filled)
    assert message in str(raised.value) and "\n" not in str(raised.value)
    assert job.read_bytes() == before


def test_a_job_open_in_another_window_is_not_written_to(log: Path, job: Path) -> None:
    with Record.open(job), pytest.raises(FaultFinderError, match="another window"):
        run(str(log), "--job", str(job), "--take", "all")
