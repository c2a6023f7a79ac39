"""Where worked cases are looked for: the pack, its cases folder, or one case; and nothing to run is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from worked import BLOCKED, ELEMENT, pack_with

from faultfinder.job.cases.files import NoCases, find_cases, read_cases
from faultfinder.knowledge.load import PackNotFound


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return pack_with(tmp_path / "fan_heater", element=ELEMENT, blocked=BLOCKED)


def test_the_pack_its_cases_folder_and_one_case_are_all_understood(folder: Path) -> None:
    both = (folder / "cases" / "blocked.yaml", folder / "cases" / "element.yaml")
    assert find_cases(folder).cases == both
    assert find_cases(folder / "cases").cases == both
    assert find_cases(both[1]).cases == both[1:]
    for path in (folder, folder / "cases", both[1]):
        assert find_cases(path).pack == folder


def test_cases_of_a_pack_in_one_file_stand_beside_it(folder: Path) -> None:
    assert len(find_cases(folder / "fan_heater.yaml").cases) == 2


def test_a_case_is_read_with_its_name_lines_and_problems(folder: Path) -> None:
    (folder / "cases" / "torn.yaml").write_text("- {opened: fan_heater}\n- {answr: x}\n", encoding="utf-8")
    blocked, element, torn = read_cases(find_cases(folder).cases)
    assert (blocked.name, element.name, torn.name) == ("blocked", "element", "torn")
    assert element.lines[0] == 2 and element.readable
    assert not torn.readable and "did you mean" in torn.problems[0].hint


def test_a_pack_without_cases_says_where_they_were_looked_for(tmp_path: Path) -> None:
    folder = pack_with(tmp_path / "fan_heater")
    with pytest.raises(NoCases, match="no folder .*cases"):
        find_cases(folder)
    (folder / "cases").mkdir()
    (folder / "cases" / "notes.txt").write_text("none yet", encoding="utf-8")
    with pytest.raises(NoCases, match="ends in .yaml"):
        find_cases(folder)


def test_a_path_that_does_not_exist_is_no_pack(tmp_path: Path) -> None:
    with pytest.raises(PackNotFound):
        find_cases(tmp_path / "nowhere")
