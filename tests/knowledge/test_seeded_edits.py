"""Seeded mistakes and harmless changes, one edit each of a whole clean pack: rules, worked cases and practice.

seeded_edits.yaml says of each mistake all that is told of it, with file, line, column and mend; harmless_edits.yaml
has changes of which nothing may be told.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from seeded_edits import HARMLESS, MISTAKES, edited, kettle, told


@pytest.mark.slow
def test_there_are_enough_of_them() -> None:
    assert len(MISTAKES) >= 500 and len(HARMLESS) >= 90


@pytest.mark.slow
def test_the_clean_pack_is_told_nothing(tmp_path: Path) -> None:
    assert told(kettle(tmp_path)) == []


@pytest.mark.slow
@pytest.mark.parametrize("edit", MISTAKES, ids=lambda edit: str(edit["name"]))
def test_a_seeded_mistake_is_named_at_its_place_with_its_mend(edit: dict[str, Any], tmp_path: Path) -> None:
    assert told(edited(tmp_path, edit)) == edit["told"]


@pytest.mark.slow
@pytest.mark.parametrize("edit", HARMLESS, ids=lambda edit: str(edit["name"]))
def test_of_a_harmless_change_nothing_is_told(edit: dict[str, Any], tmp_path: Path) -> None:
    assert told(edited(tmp_path, edit)) == []
