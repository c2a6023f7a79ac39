"""Every code has a page whose bad snippet raises it and whose good snippet does not."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
import yaml
from rule_files import KNOWLEDGE_TESTS, beside_base, write_pack

from faultfinder.knowledge.authoring.pages import Page, _changed, pages
from faultfinder.knowledge.checks import CHECKS, CODES, READING_CODES
from faultfinder.knowledge.load import check_pack
from faultfinder.knowledge.problem import ERROR, WARNING, Problem

PACKAGE = KNOWLEDGE_TESTS.parent.parent / "faultfinder" / "knowledge"
WITH_SNIPPETS = [page for page in pages().values() if page.bad]


def problems_of(code: Page, text: str, folder: Path) -> list[Problem]:
    text = text.lstrip("\n")
    if code.alone:
        return check_pack(write_pack(folder, lamp=text) / "lamp.yaml")[1]
    return check_pack(beside_base(folder, text))[1]


@pytest.mark.slow
@pytest.mark.parametrize("code", WITH_SNIPPETS, ids=lambda code: code.id)
def test_the_bad_snippet_of_a_page_raises_its_code(code: Page, tmp_path: Path) -> None:
    levels = [problem.level for problem in problems_of(code, code.bad, tmp_path) if problem.code == code.id]
    assert levels and set(levels) == {code.level}


@pytest.mark.slow
@pytest.mark.parametrize("code", WITH_SNIPPETS, ids=lambda code: code.id)
def test_the_good_snippet_of_a_page_loads_without_its_code(code: Page, tmp_path: Path) -> None:
    found = problems_of(code, code.good, tmp_path)
    assert [str(problem) for problem in found if problem.code == code.id or problem.is_error] == []


def test_codes_are_unique_and_every_module_of_checks_is_run() -> None:
    files = {path.stem for path in (PACKAGE / "checks").glob("*.py")} - {"__init__", "registry"}
    told = [check.code for check in CHECKS]
    assert len(set(told)) == len(told) and not set(told) & set(READING_CODES)
    assert set(told) == set(CODES) - set(READING_CODES)
    assert {check.find.__module__.rpartition(".")[2] for check in CHECKS} == files


def test_each_page_has_its_code_and_nothing_in_their_file_is_written_for_nothing() -> None:
    read = yaml.safe_load((PACKAGE / "authoring" / "pages.yaml").read_text(encoding="utf-8"))
    assert set(read) == {"frames", "pages"} and set(read["pages"]) == set(CODES)
    keys = {"title", "reason", "alone", "such_as", "but_so", "not_so"}
    used: set[str] = set()
    for name, page in read["pages"].items():
        assert set(page) <= keys and {"title", "reason"} <= set(page), name
        for example in (page.get("but_so"), page.get("not_so")):
            if isinstance(example, dict):
                assert set(example) <= {"frame", "changes"}, name
                used.add(example["frame"])
            changes = example.get("changes", ()) if isinstance(example, dict) else example
            assert isinstance(example, str) or all(
                set(each) == {"line", "becomes"} for each in changes or ()
            ), name
    assert used == set(read["frames"])


def test_a_change_of_a_line_that_is_not_there_is_told() -> None:
    with pytest.raises(ValueError, match="'minutes: 6' is 0 lines of"):
        _changed("a:\n  minutes: 5\n", [{"line": "minutes: 6", "becomes": ""}])


@pytest.mark.slow
def test_every_code_that_reading_tells_has_a_page_of_the_same_level() -> None:
    told: set[tuple[str, str]] = set()
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and len(node.args) >= 3 and isinstance(node.args[1], ast.Constant):
                code = str(node.args[1].value)
                if isinstance(node.func, ast.Attribute) and node.func.attr in ("error", "warning"):
                    told.add((code, node.func.attr))
                elif isinstance(node.func, ast.Name) and node.func.id == "Unfit":
                    told.add((code, ERROR))
    assert len(told) > 40
    assert {code for code, _ in told} <= set(CODES)
    assert all(CODES[code] == level for code, level in told)


@pytest.mark.parametrize("code", pages().values(), ids=lambda code: code.id)
def test_a_page_says_level_reason_and_how_to_mend(code: Page) -> None:
    page = code.text()
    assert page.startswith(f"{code.id}: {code.title}\n")
    assert code.level in (ERROR, WARNING) and code.reason in page
    assert ("Not so:" in page) == bool(code.bad)
    assert ("Such as: " in page) == (not code.bad), "every page has an example"
    assert ("But so:" in page) == bool(code.good)
