"""Every code has a page whose bad snippet raises it and whose good snippet does not."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from rule_files import KNOWLEDGE_TESTS, beside_base, write_pack

from faultfinder.knowledge.checks import CHECKS, CODES
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.load import check_pack
from faultfinder.knowledge.problem import ERROR, WARNING, Problem

PACKAGE = KNOWLEDGE_TESTS.parent.parent / "faultfinder" / "knowledge"
WITH_SNIPPETS = [code for code in CODES.values() if code.bad]


def problems_of(code: Code, text: str, folder: Path) -> list[Problem]:
    text = text.lstrip("\n")
    if code.alone:
        return check_pack(write_pack(folder, lamp=text) / "lamp.yaml")[1]
    return check_pack(beside_base(folder, text))[1]


@pytest.mark.parametrize("code", WITH_SNIPPETS, ids=lambda code: code.id)
def test_the_bad_snippet_of_a_page_raises_its_code(code: Code, tmp_path: Path) -> None:
    levels = [problem.level for problem in problems_of(code, code.bad, tmp_path) if problem.code == code.id]
    assert levels and set(levels) == {code.level}


@pytest.mark.parametrize("code", WITH_SNIPPETS, ids=lambda code: code.id)
def test_the_good_snippet_of_a_page_loads_without_its_code(code: Code, tmp_path: Path) -> None:
    found = problems_of(code, code.good, tmp_path)
    assert [str(problem) for problem in found if problem.code == code.id or problem.is_error] == []


def test_codes_are_unique_and_every_check_is_registered_by_the_name_of_its_file() -> None:
    files = {path.stem.replace("_", "-") for path in (PACKAGE / "checks").glob("*.py")} - {"--init--"}
    assert files == {check.code.id for check in CHECKS}
    assert len(CODES) > len(CHECKS)


def test_every_code_that_reading_tells_has_a_page_of_the_same_level() -> None:
    told: set[tuple[str, str]] = set()
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and len(node.args) >= 3:
                code = node.args[1]
                if node.func.attr in ("error", "warning") and isinstance(code, ast.Constant):
                    told.add((str(code.value), node.func.attr))
    assert len(told) > 25
    assert {code for code, _ in told} <= set(CODES)
    assert all(CODES[code].level == level for code, level in told)


@pytest.mark.parametrize("code", CODES.values(), ids=lambda code: code.id)
def test_a_page_says_level_reason_and_how_to_mend(code: Code) -> None:
    page = code.page()
    assert page.startswith(f"{code.id}: {code.title}\n")
    assert code.level in (ERROR, WARNING) and code.reason in page
    assert ("Not so:" in page) == bool(code.bad)
    assert ("Such as: " in page) == (not code.bad), "every page has an example"
    assert ("But so:" in page) == bool(code.good)
