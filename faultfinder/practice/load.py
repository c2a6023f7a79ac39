"""A practice folder -> Description; everything that does not fit is told at once, with file, line and column.

The folder stands inside the pack's own (`practice/`), where the rule loader does not look. Keys of a file:
drawn, constants, quantities, solved, faults, not_simulated, observations, facts, cannot, actions, check_list; spread
over files as the author likes.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.load import find_pack
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.ordinary_file import read_ordinary
from faultfinder.knowledge.problem import RuleFileError, Sink
from faultfinder.knowledge.syntax.nodes import MapNode, read_nodes
from faultfinder.practice.description import Description
from faultfinder.practice.reader import Reader
from faultfinder.text.catalogue import say

FOLDER = "practice"


class NoPractice(FaultFinderError):
    """The pack has no practice folder, so no machines can be made for it."""


@lru_cache(maxsize=4)
def for_pack(pack_path: str, fingerprint: str) -> tuple[tuple[str, MapNode], ...]:
    """The files of a pack's practice folder, read once (fingerprint: of the rules, so that tests may change)."""
    folder = find_pack(pack_path) / FOLDER
    if not folder.is_dir():
        raise NoPractice(say("load_has_no_folder_nothing", pack_path=pack_path, folder=FOLDER))
    sink = Sink()
    trees = []
    for file in sorted(folder.glob("*.yaml")):
        try:
            node = read_nodes(read_ordinary(file), str(file), sink)
        except OSError as trouble:
            raise NoPractice(say("cannot_be_read", what=file, why=trouble.strerror)) from trouble
        if isinstance(node, MapNode):
            trees.append((str(file), node))
    if sink.has_errors:
        raise RuleFileError(sink.problems)
    return tuple(trees)


def load_practice(pack: Pack, path: str | Path) -> Description:
    """The description of the machines of a pack that stands at `path`. Raises NoPractice or RuleFileError."""
    return build(pack, [tree for _, tree in for_pack(str(path), pack.fingerprint)])


def build(pack: Pack, trees: Iterable[MapNode]) -> Description:
    """The description that the trees of some files come to. Raises RuleFileError with all that is wrong."""
    reader = Reader(pack, trees)
    description = reader.description()
    reader.check_names(description)
    if reader.sink.has_errors:
        raise RuleFileError(reader.sink.problems)
    return description
