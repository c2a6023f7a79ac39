"""A pack by folder, file or bare name -> the checked Pack; every problem of all its files together."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

from faultfinder.knowledge.build.pack import build_pack
from faultfinder.knowledge.checks import run_checks
from faultfinder.knowledge.model import Mark, Pack
from faultfinder.knowledge.ordinary_file import read_ordinary
from faultfinder.knowledge.problem import ERROR, PackNotFound, Problem, RuleFileError, Sink, in_order
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.read import Gathered, gather
from faultfinder.knowledge.shipped import RULE_SUFFIXES, rule_files, shipped_packs
from faultfinder.knowledge.syntax.nodes import read_nodes

__all__ = ["Problem", "RuleFileError", "check_pack", "find_pack", "load_pack", "shipped_packs"]

MAX_FILES = 200
"""Most files in one pack. Chosen."""


def load_pack(path_or_name: str | Path, *, strict: bool = False) -> Pack:
    """The pack in a folder or file, or the shipped pack of that bare name.

    Raises RuleFileError with every problem that keeps it from loading (PackNotFound where there is no such
    pack). strict: warnings count as well.
    """
    pack, problems = _read(path_or_name, with_warnings=strict)
    if pack is None or (strict and problems):
        raise RuleFileError(problems)
    return pack


def check_pack(path_or_name: str | Path) -> tuple[Pack | None, list[Problem]]:
    """The pack, or None where it has errors, and every problem, errors and warnings, in order."""
    try:
        return _read(path_or_name, with_warnings=True)
    except RuleFileError as error:
        return None, list(error.problems)


def find_pack(path_or_name: str | Path) -> Path:
    """The folder or file meant. Raises PackNotFound with the nearest known name."""
    text = str(path_or_name)
    mark = Mark(text, 1, 1)
    try:
        path = Path(path_or_name)
        if path.exists():
            return path
    except (OSError, ValueError):
        raise PackNotFound([Problem(mark, "no-such-pack", ERROR, "this path cannot be looked at")]) from None
    shipped = shipped_packs()
    if text in shipped:
        return shipped[text]
    hint = did_you_mean(path.name, _neighbours(path) or shipped)
    raise PackNotFound([Problem(mark, "no-such-pack", ERROR, f'there is no rule pack "{text}"', hint)])


def _neighbours(path: Path) -> list[str]:
    """Names beside a path that does not exist, where a folder was named."""
    if path.parent == Path("."):
        return []
    try:
        return [p.name for p in path.parent.iterdir() if p.is_dir() or p.suffix in RULE_SUFFIXES]
    except OSError:
        return []


def _tell_passed_over(folder: Path, sink: Sink) -> None:
    """Files of the folder that look like rule files and are not read: an editor has put .txt behind the name, or
    the ending is in capitals. Copies that editors keep (x.yaml~, x.yaml.bak) are left alone."""
    for path in sorted(folder.iterdir()):
        meant = _MEANT_FOR_RULES.fullmatch(path.name)
        if meant is not None and path.suffix not in RULE_SUFFIXES and path.is_file():
            what = f"the file is not read: its name does not end in {RULE_SUFFIXES[0]}"
            hint = f"name it {meant.group(1).lower()}{RULE_SUFFIXES[0]}"
            sink.warning(Mark(str(path), 1, 1), "passed-over", what, hint)


_MEANT_FOR_RULES = re.compile(r"([^.].*?)\.ya?ml(?:\.txt)?", re.IGNORECASE)


def _read(path_or_name: str | Path, *, with_warnings: bool) -> tuple[Pack | None, list[Problem]]:
    path = find_pack(path_or_name)
    sink = Sink()
    texts = _bytes_of(path, sink)
    if texts and path.is_dir():
        _tell_passed_over(path, sink)
    gathered = Gathered()
    complete = not sink.has_errors
    digest = hashlib.sha256()
    for file, data in texts.items():
        digest.update(file.name.encode("utf-8", "surrogateescape") + b"\0" + data + b"\0")
        before = len(sink.problems)
        node = read_nodes(data, str(file), sink, any_letters=False)
        if node is not None:
            gather(node, file.stem, gathered, sink)
        elif len(sink.problems) == before:
            sink.warning(Mark(str(file), 1, 1), "empty-file", "the file has no rules in it")
        else:
            complete = False
    start = Mark(str(next(iter(texts), path)), 1, 1)
    whole = path.resolve()
    name = whole.name if path.is_dir() else whole.stem
    pack = build_pack(gathered, name, digest.hexdigest()[:16], sink, start, complete=complete)
    run_checks(pack, gathered, sink, start, complete=not sink.has_errors, with_warnings=with_warnings)
    problems = [each for each in in_order(sink.problems) if with_warnings or each.is_error]
    return (None if sink.has_errors else pack), problems


def _bytes_of(path: Path, sink: Sink) -> dict[Path, bytes]:
    """The bytes of the rule files, by name; those that cannot be read are told."""
    start = Mark(str(path), 1, 1)
    try:
        files = rule_files(path) if path.is_dir() else [path]
    except OSError as error:
        sink.error(start, "unreadable", f"the folder cannot be read: {error.strerror}")
        return {}
    if not files:
        sink.error(start, "no-files", "the folder has no rule files", "rule files end in .yaml")
    if len(files) > MAX_FILES:
        sink.error(start, "too-big", f"the folder has {len(files)} rule files; at most {MAX_FILES} are read")
        return {}
    texts = {}
    for file in files:
        try:
            if not file.is_file():
                sink.error(Mark(str(file), 1, 1), "unreadable", "this is not a file")
                continue
            texts[file] = read_ordinary(file)
        except OSError as error:
            sink.error(Mark(str(file), 1, 1), "unreadable", f"the file cannot be read: {error.strerror}")
    return texts
