"""The examples that stand in the code and in the README do what they say."""

from __future__ import annotations

import doctest
import importlib
import re
from pathlib import Path

import pytest

TOP = Path(__file__).parents[1]
WITH_EXAMPLES = [
    path for path in sorted((TOP / "faultfinder").rglob("*.py")) if ">>> " in path.read_text(encoding="utf-8")
]


@pytest.mark.parametrize("path", WITH_EXAMPLES, ids=lambda path: str(path.relative_to(TOP)))
def test_the_examples_of_a_module_come_out_as_they_stand_there(path: Path) -> None:
    parts = path.relative_to(TOP).with_suffix("").parts
    module = importlib.import_module(".".join(part for part in parts if part != "__init__"))
    options = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE
    failed, tried = doctest.testmod(module, optionflags=options)
    assert tried > 0 and failed == 0


@pytest.mark.slow
def test_the_examples_for_contributors_come_out_as_they_stand_there() -> None:
    options = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE
    failed, tried = doctest.testfile(str(TOP / "DEVELOPERS.md"), module_relative=False, optionflags=options)
    assert tried > 5 and failed == 0


@pytest.mark.slow
def test_the_python_of_the_readme_runs(capsys: pytest.CaptureFixture[str]) -> None:
    programs = re.findall(r"```python\n(.*?)```", (TOP / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    assert programs
    for program in programs:
        exec(compile(program, "README.md", "exec"), {})
    assert capsys.readouterr().out.strip()
