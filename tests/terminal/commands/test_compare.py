"""`compare` as a reviewer reads it: the edits, what comes out differently, and the status."""

from __future__ import annotations

import argparse
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from worked import BLOCKED, ELEMENT, edit, pack_with

from faultfinder.exits import Exit
from faultfinder.job.cases.differences import Moved
from faultfinder.terminal.commands import compare
from faultfinder.terminal.commands.compare_machines import Result, Worked


def asked(*words: str) -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    compare.add_arguments(parser)
    return parser.parse_args(words)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    return pack_with(tmp_path / "old", element=ELEMENT, blocked=BLOCKED)


@pytest.fixture
def new(tmp_path: Path) -> Path:
    return pack_with(tmp_path / "new", element=ELEMENT, blocked=BLOCKED)


def test_the_same_rules_are_told_so(old: Path, new: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert compare.run(asked(str(old), str(new))) == Exit.OK
    assert capsys.readouterr().out == "Nothing that bears on the reasoning was changed.\n"


def test_an_edit_that_breaks_a_case_is_status_1_and_says_what_moved(
    old: Path, new: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edit(new, "element_resistance: {open: always}", "element_resistance: {open: never}")
    assert compare.run(asked(str(old), str(new))) == Exit.PROBLEMS
    shown = capsys.readouterr().out
    assert shown.startswith("1 edit:\n  element_open shows element_resistance: open: 0.98 -> 0.01\n")
    assert f"{new}/cases/element.yaml: NO LONGER HOLDS\n" in shown
    assert "    line 9: likely element_open: expected at least 0.95, got 0." in shown
    assert "    element_open: >99 % -> 92 %\n" in shown
    assert "No practice machines: the new version has no folder practice" in shown
    assert shown.endswith("1 of 2 cases come out differently: 1 no longer hold, 0 now hold, 0 otherwise.\n")


def test_an_edit_that_mends_a_case_is_status_0(
    old: Path, new: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edit(old, "element_resistance: {open: always}", "element_resistance: {open: never}")
    assert compare.run(asked(str(old), str(new))) == Exit.OK
    shown = capsys.readouterr().out
    assert "element.yaml: now holds\n" in shown and "before, line" in shown


def test_a_script_gets_every_edit_and_difference(
    old: Path, new: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edit(new, "element_resistance: {open: always}", "element_resistance: {open: never}")
    compare.run(asked(str(old), str(new), "--json"))
    found = json.loads(capsys.readouterr().out)
    assert found["edits"][0]["old"] == "0.98" and found["cases"] == 2 and found["machines"] == []
    (case,) = found["differences"]
    assert case["held"] and not case["holds"] and case["moved"][0]["cause"] == "element_open"


def test_versions_without_cases_are_wrong_use(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one, other = pack_with(tmp_path / "one"), pack_with(tmp_path / "other")
    assert compare.run(asked(str(one), str(other))) == Exit.WRONG_USE
    assert "worked cases" in capsys.readouterr().err


SLIGHT = "- {opened: fan_heater}\n- {answer: smell_hot, is: yes}\n- {unlikely: {flex_damaged: 0.9}}\n"


def test_cases_in_which_chances_only_move_are_told_in_a_line_a_cause(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cases = {f"slight_{number:02}": SLIGHT for number in range(12)}
    one, other = pack_with(tmp_path / "one", **cases), pack_with(tmp_path / "other", **cases)
    edit(other, "smell_hot: sometimes", "smell_hot: usually")
    assert compare.run(asked(str(one), str(other))) == Exit.OK
    told = capsys.readouterr().out
    assert told.count("yaml: differs") == compare.SLIGHT_SHOWN
    assert "and 4 more cases in which only chances move (--all lists them):\n" in told
    assert re.search(r"^    \w+, in 4: \d+ % -> \d+ %$", told, re.MULTILINE)
    compare.run(asked(str(one), str(other), "--all"))
    assert capsys.readouterr().out.count("yaml: differs") == 12


def test_a_chance_that_crosses_the_half_is_told_as_found_or_no_more() -> None:
    assert compare.moved_text(Moved("a", 0.4, 0.6)) == "a: 40 % -> 60 %, now found"
    assert compare.moved_text(Moved("a", 0.6, 0.4)) == "a: 60 % -> 40 %, no longer found"
    assert compare.moved_text(Moved("a", 0.6, 0.999)) == "a: 60 % -> >99 %"


DONE = Result(("a",), ("a",), (), 40.0, "fit_for_use")


def test_a_machine_left_with_a_fault_that_was_found_is_worse() -> None:
    lost = Worked("compare:0", ("a", "b"), DONE, replace(DONE, found=(), minutes=55.0))
    assert lost.differs and compare.left_worse(lost)
    assert compare.machine_text(lost) == "compare:0 (a, b): 40 -> 55 minutes; no longer finds a"
    slower = Worked("compare:0", ("a", "b"), DONE, replace(DONE, minutes=55.0))
    assert slower.differs and not compare.left_worse(slower)
    assert not Worked("compare:0", ("a", "b"), DONE, DONE).differs


def test_a_machine_that_one_version_cannot_work_through_is_told_with_why() -> None:
    lost = Worked("compare:0", ("a",), None, None, "there is no cause 'a'")
    assert lost.differs and not compare.left_worse(lost)
    assert compare.machine_text(lost).endswith(
        "cannot be worked through with both versions: there is no cause 'a'"
    )
