"""Certain mends: every one makes its own problem go away and brings no other."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from seeded_edits import MISTAKES, edited

from faultfinder.knowledge.authoring.mending import mended, mends_of
from faultfinder.knowledge.problem import Problem
from faultfinder.terminal.commands.check import everything, pack_texts


def mends(pack: Path, problems: list[Problem] | None = None) -> dict[str, str]:
    """The files that mending changes, with their text afterwards. problems: of the pack, where they are known."""
    texts = pack_texts(str(pack))
    found = mends_of(everything(str(pack))[1] if problems is None else problems, texts)
    return {name: mended(texts[name], each) for name, each in found.items()}


@pytest.mark.slow
@pytest.mark.parametrize("edit", MISTAKES[::3], ids=lambda edit: str(edit["name"]))
def test_a_mend_takes_its_problem_away_and_brings_no_error(edit: dict[str, Any], tmp_path: Path) -> None:
    pack = edited(tmp_path, edit)
    before = everything(str(pack))[1]
    if changed := mends(pack, before):
        for name, text in changed.items():
            Path(name).write_text(text, encoding="utf-8")
        after = everything(str(pack))[1]
        assert len(after) < len(before)
        assert {problem.code for problem in after} <= {problem.code for problem in before}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "new"),
    [
        ("comma_in_how_common", "how_common: 0.15"),
        ("observation_misspelt_where_it_stands", "  stays_cold:\n    kind"),
        ("minus_of_the_typesetter", "class_value: -1.7,"),
        ("thousands_with_a_space", "range: [1000, 3200]"),
        ("how_common_percent", "how_common: 0.06"),
        ("said_a_text", "said: [dead]"),
        ("yes_with_capital", "symptom: yes"),
    ],
)
def test_what_is_certain_is_written(name: str, new: str, tmp_path: Path) -> None:
    edit = next(each for each in MISTAKES if each["name"] == name)
    assert new in mends(edited(tmp_path, edit))[str(tmp_path / "pack" / "base.yaml")]


@pytest.mark.slow
def test_a_slip_wherever_the_rules_use_a_name_is_not_written_where_it_is_given(tmp_path: Path) -> None:
    """The rules agree with one another on the wrong name; the cases and the practice file know better."""
    old, new = "proof: [scale_seen, boiling_time]", "proof: [scale_sen, boiling_time]"
    pack = edited(tmp_path, {"old": old, "new": new})
    base = pack / "base.yaml"
    text = base.read_text(encoding="utf-8").replace("shows: {scale_seen:", "shows: {scale_sen:", 1)
    base.write_text(text, encoding="utf-8")
    (problem,) = everything(str(pack))[1]
    assert problem.hint == 'did you mean "scale_sen"?'
    assert mends(pack) == {}


LEFT = [
    "let_nothing_uses",
    "bands_gap",
    "hazard_of_two",
    "title_empty",
    # A practice file has the name as the rules use it: the slip is where the answer is given.
    "answer_misspelt_where_it_stands",
]


@pytest.mark.slow
@pytest.mark.parametrize("name", LEFT)
def test_what_is_the_authors_to_decide_is_left(name: str, tmp_path: Path) -> None:
    edit = next(each for each in MISTAKES if each["name"] == name)
    assert mends(edited(tmp_path, edit)) == {}
