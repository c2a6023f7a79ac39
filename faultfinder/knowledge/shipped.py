"""The packs that travel with the program: where they are and what they are called, without reading them whole."""

from __future__ import annotations

from pathlib import Path

from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.syntax.nodes import MAX_BYTES, MapNode, Scalar, read_nodes

RULE_SUFFIXES = (".yaml", ".yml")


def rule_files(folder: Path) -> list[Path]:
    return sorted(
        path for path in folder.iterdir() if path.suffix in RULE_SUFFIXES and not path.name.startswith(".")
    )


def shipped_packs() -> dict[str, Path]:
    """Name -> folder of the packs that travel with the program.

    An installed wheel carries them inside the package (_rules), a checkout has them beside it (rules).
    """
    package = Path(__file__).resolve().parent.parent
    for home in (package / "_rules", package.parent / "rules"):
        if home.is_dir():
            found = {
                folder.name: folder
                for folder in sorted(home.iterdir())
                if folder.is_dir() and rule_files(folder)
            }
            if found:
                return found
    return {}


def title_of(folder: Path) -> str:
    """The title of a pack without reading the rest of it: enough to offer it. Where `pack:` does not stand in a
    pack.yaml that can be read, the folder's name does."""
    try:
        tree = read_nodes(
            (folder / "pack.yaml").read_bytes()[:MAX_BYTES], "pack.yaml", Sink(), any_letters=False
        )
    except OSError:
        tree = None
    about = tree.get("pack") if isinstance(tree, MapNode) else None
    title = about.get("title") if isinstance(about, MapNode) else None
    return title.text if isinstance(title, Scalar) else folder.name.replace("_", " ").capitalize()
