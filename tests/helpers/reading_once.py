"""Packs read once: for tests of what stands above the rules, which ask for the same files again and again."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

from faultfinder.knowledge import load
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import Problem

_READ: dict[object, tuple[Pack | None, tuple[Problem, ...]]] = {}


@cache
def shipped(name: str) -> Pack:
    """The shipped pack of this name. A pack is never changed, so all may have the same one."""
    return load.load_pack(name)


@contextmanager
def reading_once() -> Iterator[None]:
    """While in here files that were read and checked before, byte for byte, are not read again: the same answers."""
    plain = load._read

    def read(path_or_name: str | Path, *, with_warnings: bool) -> tuple[Pack | None, list[Problem]]:
        key = (with_warnings, *_files(load.find_pack(path_or_name)))
        if key not in _READ:
            pack, problems = plain(path_or_name, with_warnings=with_warnings)
            _READ[key] = pack, tuple(problems)
        pack, known = _READ[key]
        return pack, list(known)

    load._read = read
    try:
        yield
    finally:
        load._read = plain


def _files(path: Path) -> Iterator[object]:
    """Where a pack is, and all that stands there."""
    yield str(path), path.resolve()
    for file in sorted(path.iterdir()) if path.is_dir() else [path]:
        yield file.name, file.read_bytes() if file.is_file() else b""
