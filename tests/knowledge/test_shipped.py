"""What the program knows of its packs before it reads one."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.shipped import shipped_packs, title_of


@pytest.mark.slow
def test_the_quick_title_is_the_one_that_the_whole_pack_has() -> None:
    assert shipped_packs()
    for folder in shipped_packs().values():
        assert title_of(folder) == load_pack(folder).title


def test_a_pack_without_a_readable_title_goes_by_its_folder(tmp_path: Path) -> None:
    folder = tmp_path / "hand_lamp"
    folder.mkdir()
    assert title_of(folder) == "Hand lamp"
    (folder / "pack.yaml").write_text("pack: [", encoding="utf-8")
    assert title_of(folder) == "Hand lamp"
    (folder / "pack.yaml").write_bytes(b"\xff\xfe\x00")
    assert title_of(folder) == "Hand lamp"
