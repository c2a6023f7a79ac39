"""Renaming an id over a whole pack: nothing else changes, and back again is where it began."""

from __future__ import annotations

from pathlib import Path

import pytest
from seeded_edits import kettle, told

from faultfinder.cli import main
from faultfinder.knowledge.load import load_pack
from faultfinder.terminal.commands.rename import ids


def contents(pack: Path) -> dict[str, str]:
    return {str(file): file.read_text(encoding="utf-8") for file in sorted(pack.rglob("*.yaml"))}


@pytest.mark.slow
def test_every_id_can_be_renamed_and_named_back(tmp_path: Path) -> None:
    pack = kettle(tmp_path)
    before = contents(pack)
    for name in ids(load_pack(pack)):
        if name.startswith("something_else"):
            continue  # its name says the sub-system that it is of
        if name == "plate_value_wrong":
            continue  # found by its name
        assert main(["rename", str(pack), name, f"new_{name}"]) == 0, name
        assert contents(pack) != before
        assert told(pack) == [], name
        assert main(["rename", str(pack), f"new_{name}", name]) == 0, name
        assert contents(pack) == before, name


def test_a_rename_that_would_make_the_pack_worse_writes_nothing(tmp_path: Path) -> None:
    pack = kettle(tmp_path)
    before = contents(pack)
    assert main(["rename", str(pack), "something_else_base", "the_unknown"]) == 1
    assert contents(pack) == before


@pytest.mark.parametrize(
    ("old", "new"), [("scale_sean", "crust_seen"), ("scale_seen", "Crust seen"), ("scale_seen", "flex_seen")]
)
def test_wrong_names_are_refused(old: str, new: str, tmp_path: Path) -> None:
    pack = kettle(tmp_path)
    before = contents(pack)
    assert main(["rename", str(pack), old, new]) == 2
    assert contents(pack) == before


def test_answers_texts_and_remarks_of_the_same_name_stay(tmp_path: Path) -> None:
    pack = kettle(tmp_path)
    base = pack / "base.yaml"
    text = base.read_text(encoding="utf-8")
    more = "Resistance of the element, whatever flex_seen says  # flex_seen\n"
    text = text.replace("Resistance of the element\n", more)
    base.write_text(text, encoding="utf-8")
    assert main(["rename", str(pack), "flex_seen", "cord_seen"]) == 0
    after = base.read_text(encoding="utf-8")
    assert "whatever flex_seen says  # flex_seen" in after and "shows: {cord_seen: always" in after
