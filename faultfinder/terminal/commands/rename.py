"""`faultfinder rename`: an id by another name in the rules, cases and practice files of a pack, all at once."""

from __future__ import annotations

import argparse
from pathlib import Path

from faultfinder.exits import Exit
from faultfinder.job.cases.files import FOLDER as CASES_FOLDER
from faultfinder.knowledge.authoring.renaming import CASES, PRACTICE, RULES, renamed, spots
from faultfinder.knowledge.load import find_pack, load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.typo_hints import ID
from faultfinder.practice.load import FOLDER as PRACTICE_FOLDER
from faultfinder.terminal.commands.check import everything, pack_texts, unsaved, write_text
from faultfinder.terminal.console.printed import aside, shown, tell
from faultfinder.text.catalogue import say
from faultfinder.text.format import counted


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of `rename`."""
    parser.add_argument("path", metavar="PACK", help=say("arguments_pack"))
    parser.add_argument("old", metavar="OLD", help=say("rename_id_as_cause_state"))
    parser.add_argument("new", metavar="NEW", help=say("rename_id_as"))
    parser.add_argument("--anyway", action="store_true", help=say("rename_write_files_too_have"))


def run(asked: argparse.Namespace) -> int:
    """Status 0 when renamed, 1 where the pack would not be as clean as before (nothing is written), 2: wrong use."""
    pack = load_pack(asked.path)
    known = ids(pack)
    if asked.old not in known:
        return _wrong(
            say("rename_pack_has_no_id", old=asked.old, hint=did_you_mean(asked.old, known)).rstrip("; ")
        )
    if ID.fullmatch(asked.new) is None:
        return _wrong(say("rename_no_name_small_letters", new=asked.new))
    if asked.new in known:
        return _wrong(say("rename_has_name_already_two", new=asked.new))
    texts = pack_texts(asked.path)
    changed: dict[str, str] = {}
    places = 0
    for name, text in texts.items():
        at = spots(text, asked.old, _part(Path(name), find_pack(asked.path)))
        if at:
            places += len(at)
            changed[name] = renamed(text, asked.old, asked.new, at)
    dirty = [name for name in changed if not asked.anyway and unsaved(Path(name))]
    if dirty:
        return _wrong(say("rename_nothing_renamed_changes_not", names=", ".join(dirty)))
    before = {problem.code for problem in everything(asked.path)[1]}
    for name, text in changed.items():
        write_text(Path(name), text)
    new = [problem for problem in everything(asked.path)[1] if problem.code not in before]
    if new:
        for name in changed:
            write_text(Path(name), texts[name])
        for problem in new:
            print(shown(str(problem)))
        tell("rename_failed_nothing_renamed_would")
        return Exit.PROBLEMS
    files = counted(len(changed), "file")
    tell("rename_now_places_in", old=asked.old, new=asked.new, places=places, files=files)
    for name in changed:
        print(shown(f"  {name}"))
    return Exit.OK


def ids(pack: Pack) -> list[str]:
    """Every id of a pack that can be renamed."""
    groups = {cause.group for cause in pack.causes.values() if cause.group}
    maps = (pack.causes, pack.states, pack.observations, pack.questions, pack.facts, pack.instruments)
    return [*(name for each in maps for name in each), *sorted(groups)]


def _part(file: Path, pack: Path) -> str:
    inside = file.relative_to(pack).parts[:-1] if pack.is_dir() else ()
    return CASES if CASES_FOLDER in inside else PRACTICE if PRACTICE_FOLDER in inside else RULES


def _wrong(message: str) -> int:
    aside(f"faultfinder rename: {message}")
    return Exit.WRONG_USE
