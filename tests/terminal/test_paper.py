"""The views of the paper work: report, jobs and history, called as the command calls them."""

from __future__ import annotations

import argparse
import json
import shutil
import stat
import sys
from pathlib import Path

import pytest
from asked import asked as namespace
from reporting import RECORDS
from talking import SMALL

from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.job.history.exchange import OTHERS, HistoryFileError
from faultfinder.job.record.lines import RecordError
from faultfinder.terminal.commands import history, jobs, report


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A jobs folder with two closed jobs and the rules beside them."""
    place = tmp_path / "jobs"
    place.mkdir()
    for path in RECORDS.glob("*.yaml"):
        shutil.copy(path, place)
    shutil.copytree(SMALL, place / "small_pack")
    return place


def asked(folder: Path, **more: object) -> argparse.Namespace:
    command = "report" if "job" in more else "jobs" if "words" in more else "history"
    return namespace(command, folder=str(folder), **more)


# -- report ---------------------------------------------------------------------------------------------


def test_a_report_goes_out_as_markdown(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert report.run(asked(folder, job="element", form="customer")) == Exit.OK
    out, err = capsys.readouterr()
    assert out == (RECORDS / "element.customer.md").read_text(encoding="utf-8")
    assert err == ""


def test_the_workshops_form_and_json_are_asked_for_by_name(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request = asked(folder, job="element", form="workshop")
    request.json = True
    assert report.run(request) == Exit.OK
    out = capsys.readouterr().out
    assert json.loads(out)["evidence"]["standings"]
    assert out.isascii()


def test_a_page_goes_to_a_private_file_or_to_standard_output(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "report.html"
    assert report.run(asked(folder, job="element", html=str(target), form="customer")) == Exit.OK
    assert capsys.readouterr().out == f"Written: {target}\n"
    if sys.platform != "win32":
        assert stat.S_IMODE(target.stat().st_mode) == 0o600
    assert report.run(asked(folder, job="element", html="-", form="customer")) == Exit.OK
    assert capsys.readouterr().out == target.read_text(encoding="utf-8")


def test_a_damaged_record_is_told_and_what_can_be_read_is_written(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder / "element.yaml"
    path.write_bytes(path.read_bytes() + b"- {nonsense: \x1b[2J}\n")
    assert report.run(asked(folder, job="element", form="customer")) == Exit.PROBLEMS
    out, err = capsys.readouterr()
    assert "Entries of the record that could not be taken: 1." in out and "element.yaml:47" in err
    assert "\x1b" not in out + err


def test_no_such_job_is_told(folder: Path) -> None:
    with pytest.raises(RecordError, match="There is no record"):
        report.run(asked(folder, job="nothing", form="customer"))
    with pytest.raises(FaultFinderError):
        report.run(asked(folder, job="../../etc/passwd", form="customer"))


@pytest.mark.parametrize("columns", [40, 76])
def test_markdown_is_wrapped_to_a_screen_without_losing_a_word(columns: int) -> None:
    text = (RECORDS / "isolated.workshop.md").read_text(encoding="utf-8")
    wrapped = report.wrapped(text, columns)
    assert all(len(line) <= columns for line in wrapped.splitlines())
    assert wrapped.replace("\n> ", " ").split() == text.replace("\n> ", " ").split()


# -- jobs -----------------------------------------------------------------------------------------------


def test_the_list_of_jobs_names_state_time_and_complaint(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert jobs.run(asked(folder, words=[])) == Exit.OK
    out = capsys.readouterr().out
    assert out.splitlines()[0] == "isolated closed, LEFT OUT OF USE"
    assert "  2026-03-03 14:20, 21 min, small pack\n" in out
    assert "Found: flex damaged, cut out open" in out
    assert all(c.isprintable() or c == "\n" for c in out)


def test_words_find_jobs_and_none_is_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert jobs.run(asked(folder, words=["moved", "fluff"])) == Exit.OK
    assert capsys.readouterr().out.startswith("element closed, fit for use\n")
    assert jobs.run(asked(folder, words=["elephant"])) == Exit.OK
    assert "No jobs in" in capsys.readouterr().out


def test_a_damaged_job_is_told_with_status_1(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "bad.yaml").write_text("- {nonsense: 1}\n")
    assert jobs.run(asked(folder, words=[])) == Exit.PROBLEMS
    assert "PROBLEM: " in capsys.readouterr().out
    request = asked(folder, words=["bad"])
    request.json = True
    assert jobs.run(request) == Exit.PROBLEMS
    (row,) = json.loads(capsys.readouterr().out)
    assert row["damaged"] and row["problems"]


# -- history --------------------------------------------------------------------------------------------


def test_the_history_shows_what_was_found_beside_what_the_rules_say(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert history.run(asked(folder)) == Exit.OK
    out, err = capsys.readouterr()
    assert err == ""
    assert out.startswith("Fan heater: 2 closed jobs\n")
    # 5 % by the rules, counted for 50 jobs, and 1 of 2: (2.5 + 1) / 52.
    assert "- Element broken: 1 of 2 jobs\n  by itself 50.0 %; the rules say 5.0 %; blended 6.7 %\n" in out
    assert "used only where that is switched on" in out.replace("\n", " ")


def test_the_history_as_json_has_every_cause(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    request = asked(folder)
    request.json = True
    assert history.run(request) == Exit.OK
    (row,) = json.loads(capsys.readouterr().out)
    assert (row["pack"], row["jobs"], row["weight"]) == ("small_pack", 2, 50.0)
    assert row["causes"]["element_open"]["blended"] == pytest.approx((50 * 0.05 + 1) / 52)
    assert row["causes"]["our_own_work"]["blended"] is None


def test_what_one_van_exports_another_takes_in(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "van.history"
    assert history.run(asked(folder, export=str(target))) == Exit.OK
    other = tmp_path / "other"
    other.mkdir()
    shutil.copytree(SMALL, other / "small_pack")
    assert history.run(asked(other, **{"taken": [str(target)]})) == Exit.OK
    out, err = capsys.readouterr()
    assert "Taken in: 2 jobs that were not known here." in err
    assert "Fan heater: 2 closed jobs" in out
    assert (other / OTHERS).exists()
    assert history.run(asked(folder, **{"taken": [str(target)]})) == Exit.OK
    assert "Taken in: 0 jobs" in capsys.readouterr().err


def test_a_file_that_is_no_history_is_refused(folder: Path) -> None:
    with pytest.raises(HistoryFileError):
        history.run(asked(folder, **{"taken": [str(folder / "element.yaml")]}))
    assert not (folder / OTHERS).exists()


def test_rules_that_are_not_here_are_told_and_the_rest_is_shown(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.rmtree(folder / "small_pack")
    assert history.run(asked(folder)) == Exit.OK
    assert "small_pack: 2 closed jobs; its rules are not here" in capsys.readouterr().out.replace("\n", " ")


def test_an_empty_folder_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert history.run(asked(tmp_path)) == Exit.OK
    assert "No closed job in" in capsys.readouterr().out
