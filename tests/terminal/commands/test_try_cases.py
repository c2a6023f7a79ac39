"""`try` as a person and a script see it: what holds, what fails and why, what is not exercised, and the status."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import pytest
from worked import BLOCKED, ELEMENT, WRONG, pack_with

from faultfinder.exits import Exit
from faultfinder.job.cases.files import NoCases
from faultfinder.terminal.commands import try_cases


def asked(*words: str) -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    try_cases.add_arguments(parser)
    return parser.parse_args(words)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return pack_with(tmp_path / "fan_heater", element=ELEMENT, blocked=BLOCKED)


@pytest.fixture
def failing(tmp_path: Path) -> Path:
    return pack_with(tmp_path / "failing", element=ELEMENT, wrong=WRONG)


def test_cases_that_hold_are_named_and_counted(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert try_cases.run(asked(str(folder))) == Exit.OK
    shown = capsys.readouterr().out
    assert "holds  blocked\nholds  element\n" in shown
    assert shown.endswith("2 cases, 1 with several faults: all hold\n")
    assert "FAILED" not in shown


def test_a_failing_case_is_told_by_file_and_line_with_only_the_difference(
    failing: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert try_cases.run(asked(str(failing), "--quiet")) == Exit.PROBLEMS
    first, *rest = capsys.readouterr().out.splitlines()
    assert first.startswith(
        f"{failing}/cases/wrong.yaml:4: FAILED likely inlet_blocked: expected at least 0.9, got 0."
    )
    assert any(line.startswith("    odds x") and "air_weak is yes" in line for line in rest)
    assert any("noise is squeal (through: Fan bearing worn)" in line for line in rest)
    assert any(line.startswith("    likely besides: fan_worn 0.") for line in rest)
    assert rest[-1] == "2 cases, 0 with several faults: 1 FAILED"


def test_what_no_case_exercises_is_listed_by_place(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    try_cases.run(asked(str(folder), "--missing"))
    shown = capsys.readouterr().out
    assert "causes: 3 of 7 (42 %)" in shown
    assert f"{folder}/fan_heater.yaml:" in shown and "no case for fan_worn\n" in shown
    assert "more (--missing" not in shown


def test_one_case_alone_says_nothing_of_coverage(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert try_cases.run(asked(str(folder), "--only", "elem")) == Exit.OK
    assert capsys.readouterr().out == "holds  element\n1 case, 0 with several faults: all hold\n"
    assert try_cases.run(asked(str(folder / "cases" / "element.yaml"))) == Exit.OK


def test_a_script_gets_all_of_it(failing: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert try_cases.run(asked(str(failing), "--json")) == Exit.PROBLEMS
    found = json.loads(capsys.readouterr().out)
    assert found["holds"] is False
    wrong = next(case for case in found["cases"] if case["name"] == "wrong")
    assert wrong["present"] == ["inlet_blocked"] and wrong["failures"][0]["line"] == 4
    assert {pull["observation"] for pull in wrong["failures"][0]["pulls"]} == {"air_weak", "noise"}
    assert found["coverage"]["causes"]["exercised"] == 2
    assert found["coverage"]["bands"]["missing"][0]["line"] > 1


def test_nothing_to_run_is_wrong_use(
    tmp_path: Path, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(NoCases):
        try_cases.run(asked(str(pack_with(tmp_path / "bare"))))
    assert try_cases.run(asked(str(folder), "--only", "nowhere")) == Exit.WRONG_USE
    assert "no worked case has 'nowhere' in its name" in capsys.readouterr().err


def test_a_case_that_cannot_be_read_is_not_passed_over(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "cases" / "slip.yaml").write_text(
        "- {opened: fan_heater}\n- {likly: {x: 1}}\n", encoding="utf-8"
    )
    assert try_cases.run(asked(str(folder))) == Exit.WRONG_USE
    told = capsys.readouterr()
    assert "slip.yaml:2:4: error" in told.err
    assert told.err.endswith("faultfinder try: 1 case cannot be read and was not tried.\n")
    assert "holds  element\n" in told.out, "what can be read is run all the same"


def test_the_link_that_each_case_leans_on_is_told_by_place(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "cases" / "nothing.yaml").write_text(
        "- {opened: fan_heater}\n- {answer: no_heat, is: yes}\n- {likely: {element_open: 0.001}}\n",
        encoding="utf-8",
    )
    assert try_cases.run(asked(str(folder), "--leans")) == Exit.OK
    shown = capsys.readouterr().out
    where = f"{folder}/fan_heater.yaml"
    assert f"holds  element\n    leans on element_open shows element_resistance: open ({where}:" in shown
    assert "holds  nothing\n    leans on no one link: it holds without any of them\n" in shown
    assert try_cases.run(asked(str(folder), "--leans", "--quiet")) == Exit.OK
    first, *_ = capsys.readouterr().out.splitlines()
    assert first == f"{folder}/cases/nothing.yaml: leans on no one link: it holds without any of them"
    assert try_cases.run(asked(str(folder), "--leans", "--json")) == Exit.OK
    found = {each["name"]: each["leans_on"] for each in json.loads(capsys.readouterr().out)["cases"]}
    assert found["nothing"] is None and found["element"] == "element_open shows element_resistance: open"


def test_cases_can_be_tried_over_another_version_of_the_rules(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from worked import edit

    other = pack_with(tmp_path / "other")
    edit(other, "element_resistance: {open: always}", "element_resistance: {open: never}")
    assert try_cases.run(asked(str(folder), "--pack", str(other))) == Exit.PROBLEMS
