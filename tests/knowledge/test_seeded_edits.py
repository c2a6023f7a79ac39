"""Seeded mistakes and harmless changes, one edit each of a whole clean pack: rules, worked cases and practice.

seeded_edits.yaml says of each mistake all that is told of it, with file, line, column and mend; harmless_edits.yaml
has changes of which nothing may be told.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml
from rule_files import BASE, KNOWLEDGE_TESTS

from faultfinder.terminal.check import everything


def edits(name: str) -> list[dict[str, Any]]:
    listed = yaml.safe_load((KNOWLEDGE_TESTS / name).read_text(encoding="utf-8"))
    assert len({each["name"] for each in listed}) == len(listed)
    return list(listed)


MISTAKES = edits("seeded_edits.yaml")
HARMLESS = edits("harmless_edits.yaml")


def kettle(folder: Path) -> Path:
    """The clean pack: the rules of base.yaml with cases and a practice folder."""
    pack = folder / "pack"
    shutil.copytree(KNOWLEDGE_TESTS / "kettle", pack)
    shutil.copy(BASE, pack / "base.yaml")
    return pack


def told(pack: Path) -> list[str]:
    return [str(problem).replace(f"{pack}/", "") for problem in everything(str(pack))[1]]


def edited(folder: Path, edit: dict[str, Any]) -> Path:
    pack = kettle(folder)
    file = pack / edit.get("file", "base.yaml")
    text = file.read_text(encoding="utf-8")
    assert edit["old"] in text
    file.write_text(text.replace(edit["old"], edit["new"], 1), encoding="utf-8")
    return pack


def test_there_are_enough_of_them() -> None:
    assert len(MISTAKES) >= 250 and len(HARMLESS) >= 60


def test_the_clean_pack_is_told_nothing(tmp_path: Path) -> None:
    assert told(kettle(tmp_path)) == []


@pytest.mark.parametrize("edit", MISTAKES, ids=lambda edit: str(edit["name"]))
def test_a_seeded_mistake_is_named_at_its_place_with_its_mend(edit: dict[str, Any], tmp_path: Path) -> None:
    assert told(edited(tmp_path, edit)) == edit["told"]


@pytest.mark.parametrize("edit", HARMLESS, ids=lambda edit: str(edit["name"]))
def test_of_a_harmless_change_nothing_is_told(edit: dict[str, Any], tmp_path: Path) -> None:
    assert told(edited(tmp_path, edit)) == []
