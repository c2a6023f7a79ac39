"""The words that texts are held against: nothing in their file is written for nothing, or for what there is not."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

import pytest

import faultfinder.knowledge.instructions
from faultfinder.knowledge.instructions import deeds, words
from faultfinder.knowledge.instructions.acts import ACTS

FOLDER = Path(faultfinder.knowledge.instructions.__file__).parent
TEXT = files(faultfinder.knowledge.instructions).joinpath("words.yaml").read_text(encoding="utf-8")


def test_every_pattern_is_looked_for_and_every_part_is_part_of_one() -> None:
    code = "".join(path.read_text(encoding="utf-8") for path in FOLDER.glob("*.py"))
    assert [name for name in words.SAYS if f'"{name}"' not in code] == []
    parts = words._READ["parts"]
    assert [name for name in parts if f"{{{name}}}" not in TEXT and name != "forms"] == []
    assert "~" in TEXT


def test_every_act_has_its_words_and_every_verb_acts_that_there_are() -> None:
    assert set(words.CUES) == set(ACTS)
    assert {act for acts in words.WORK.values() for act in acts} <= set(ACTS)


def test_no_line_of_a_pattern_ends_in_a_space_that_putting_it_together_would_lose() -> None:
    assert not re.search(r" $", TEXT, re.MULTILINE)


@pytest.mark.parametrize("row", [{"acts": "run fly"}, {"needs": "in_bed"}, {"acts": "all but sleep"}])
def test_a_deed_of_an_act_or_access_that_there_is_not_is_refused(row: dict[str, str]) -> None:
    with pytest.raises((KeyError, ValueError)):
        deeds._deed({"says": "does something", "pattern": "x", **row})
