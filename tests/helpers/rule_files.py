"""Rule files for the tests of knowledge/: the small clean pack, and what a snippet beside it is told."""

from __future__ import annotations

from pathlib import Path

from faultfinder.knowledge.load import check_pack, load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import Problem

KNOWLEDGE_TESTS = Path(__file__).resolve().parent.parent / "knowledge"
BASE = KNOWLEDGE_TESTS / "base.yaml"


def write_pack(folder: Path, **files: str | bytes) -> Path:
    """A pack folder with the given files (name without .yaml -> text)."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        data = text if isinstance(text, bytes) else text.encode("utf-8")
        (folder / f"{name}.yaml").write_bytes(data)
    return folder


def beside_base(folder: Path, text: str | bytes, name: str = "snippet") -> Path:
    """The clean pack with one more file."""
    return write_pack(folder, base=BASE.read_bytes(), **{name: text})


def told(path: Path, problems: list[Problem] | None = None) -> list[str]:
    """All problems of a pack (those given, where they are known) as shown, with file names only."""
    folder = path if path.is_dir() else path.parent
    found = check_pack(path)[1] if problems is None else problems
    return [str(problem).replace(f"{folder}/", "") for problem in found]


def codes(path: Path) -> list[str]:
    return [problem.code for problem in check_pack(path)[1]]


def pack_beside_base(folder: Path, text: str) -> Pack:
    return load_pack(beside_base(folder, text))
