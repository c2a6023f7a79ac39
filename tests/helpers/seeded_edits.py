"""Seeded mistakes and harmless changes: one edit each of the clean kettle with its cases and practice folder."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Any

import yaml
from rule_files import BASE, KNOWLEDGE_TESTS

from faultfinder.terminal.commands.check import everything


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


def main() -> None:
    """Writes anew what is told of each mistake (base.yaml has grown): read the difference before it is kept."""
    path = KNOWLEDGE_TESTS / "seeded_edits.yaml"
    head = "".join(
        f"{line}\n" for line in path.read_text(encoding="utf-8").split("\n") if line.startswith("#")
    )
    for edit in MISTAKES:
        with tempfile.TemporaryDirectory() as folder:
            edit["told"] = told(edited(Path(folder), edit))
    text = yaml.dump(MISTAKES, Dumper=_Blocks, sort_keys=False, allow_unicode=True, width=1000)
    path.write_text(head + text, "utf-8")


class _Blocks(yaml.SafeDumper):
    """Lines of rules stand as lines."""


_Blocks.add_representer(
    str,
    lambda dumper, text: dumper.represent_scalar(
        "tag:yaml.org,2002:str", text, style="|" if "\n" in text else None
    ),
)


if __name__ == "__main__":
    main()
