"""Packs read once: for tests of what stands above the rules, which ask for the same files again and again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

from faultfinder.knowledge import load
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import Problem

TOP = Path(__file__).resolve().parents[2]
NEVER_EDITED = (TOP / "rules", TOP / "tests" / "helpers")
"""Where the packs lie that no test writes to."""
_READ: dict[object, tuple[Pack | None, tuple[Problem, ...]]] = {}


@cache
def shipped(name: str) -> Pack:
    """The shipped pack of this name. A pack is never changed, so all may have the same one."""
    return load.load_pack(name)


def keep_what_is_never_edited() -> None:
    """From here on the packs that no test writes to are read and checked once, whoever asks."""
    _keeping(lambda path: any(folder in path.resolve().parents for folder in NEVER_EDITED))


@contextmanager
def reading_once() -> Iterator[None]:
    """While in here no files that were read and checked before, byte for byte, are read again: the same answers."""
    plain = _keeping(lambda path: True)
    try:
        yield
    finally:
        load._read = plain


_Read = Callable[..., tuple[Pack | None, list[Problem]]]


def _keeping(kept: Callable[[Path], bool]) -> _Read:
    """Puts a reader that keeps what it read in place of the one there is, and returns that."""
    plain: _Read = load._read

    def read(path_or_name: str | Path, *, with_warnings: bool) -> tuple[Pack | None, list[Problem]]:
        path = load.find_pack(path_or_name)
        if not kept(path):
            return plain(path_or_name, with_warnings=with_warnings)
        key = (with_warnings, *_files(path))
        if key not in _READ:
            pack, problems = plain(path_or_name, with_warnings=with_warnings)
            _READ[key] = pack, tuple(problems)
        pack, known = _READ[key]
        return pack, list(known)

    load._read = read
    return plain


def _files(path: Path) -> Iterator[object]:
    """Where a pack is, and all that stands there."""
    yield str(path), path.resolve()
    for file in sorted(path.iterdir()) if path.is_dir() else [path]:
        yield file.name, file.read_bytes() if file.is_file() else b""
