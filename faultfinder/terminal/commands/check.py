"""`faultfinder check`: every problem of a rule pack, one a line; or the editor schema, or one code explained."""

from __future__ import annotations

import argparse
import difflib
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from faultfinder.arguments import add_json
from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.job.cases.check import case_problems, known_of, twins
from faultfinder.job.cases.files import NoCases, find_cases, read_cases
from faultfinder.job.cases.worked import WorkedCase
from faultfinder.job.record.lines import RecordError
from faultfinder.knowledge.analysis.overview import order_in_words, totals_by_machine
from faultfinder.knowledge.authoring.accepted import accept
from faultfinder.knowledge.authoring.editor_schema import editor_schema
from faultfinder.knowledge.authoring.mending import mended, mends_of
from faultfinder.knowledge.authoring.pages import pages
from faultfinder.knowledge.checks import CODES
from faultfinder.knowledge.load import check_pack, find_pack, load_pack
from faultfinder.knowledge.model import Mark, Pack
from faultfinder.knowledge.ordinary_file import read_ordinary
from faultfinder.knowledge.problem import ERROR, Problem, in_order
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.shipped import RULE_SUFFIXES
from faultfinder.practice.check import practice_problems
from faultfinder.terminal.console.printed import aside, print_json, shown, tell
from faultfinder.text.catalogue import say
from faultfinder.text.format import counted

NO_PACK = "no-such-pack"
"""Not a problem of a pack: there is none at that path."""
PAUSE = 0.4
"""Seconds between two looks at the files of a pack that is watched. Chosen."""
WIDEST = 100
"""Letters of a line that are shown. Chosen."""
OFTEN = 8
"""How many causes the overview names for a sort of machine; chosen."""


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `check`."""
    command.add_argument("path", nargs="?", metavar="PACK", default="", help=say("arguments_pack"))
    add_json(command)
    command.add_argument("--strict", action="store_true", help=say("arguments_warnings_count_as_errors"))
    command.add_argument("--brief", action="store_true", help=say("arguments_one_line_problem_without"))
    command.add_argument("--mend", action="store_true", help=say("arguments_write_mends_certain_show"))
    command.add_argument("--anyway", action="store_true", help=say("arguments_mend_files_too_have"))
    command.add_argument("--watch", action="store_true", help=say("arguments_check_again_whenever_file"))
    command.add_argument("--schema", action="store_true", help=say("arguments_print_json_schema_rule"))
    command.add_argument("--overview", action="store_true", help=say("arguments_print_faults_expected_job"))
    command.add_argument("--about", metavar="CODE", help=say("arguments_explain_kind_problem_with"))


def run(asked: argparse.Namespace) -> int:
    """Status 0 when clean (warnings allowed unless --strict), 1 with problems, 2 for wrong use."""
    if asked.schema:
        print_json(editor_schema(load_pack(asked.path) if asked.path else None))
        return Exit.OK
    if asked.about:
        return _about(asked.about)
    if not asked.path:
        aside(say("check_faultfinder_check_which_pack"))
        return Exit.WRONG_USE
    if asked.watch:
        return watched(asked)
    return once(asked)


def once(asked: argparse.Namespace) -> int:
    """One check of the pack, told."""
    if asked.mend:
        refused = mend(asked.path, asked.anyway)
        if refused:
            return refused
    pack, problems, accepted = all_told(asked.path)
    errors = [problem for problem in problems if problem.is_error]
    warnings = [problem for problem in problems if not problem.is_error]
    failed = bool(errors or (asked.strict and warnings))
    if asked.json:
        told = [problem.as_mapping() for problem in problems]
        also = [problem.as_mapping() for problem in accepted]
        print_json({"loads": pack is not None, "problems": told, "accepted": also})
    else:
        files = {} if asked.brief else _texts({Path(problem.mark.file) for problem in problems})
        lines = {name: text.splitlines() for name, text in files.items()}
        for problem in problems:
            print(shown(str(problem)))
            for line in pointed_at(problem, lines):
                print(shown(line))
        if asked.overview and pack is not None:
            _overview(pack)
        total = f"{counted(len(errors), 'error')}, {counted(len(warnings), 'warning')}"
        if accepted:
            total += ", " + say("check_accepted", warnings=counted(len(accepted), "warning"))
        print(say("check_failed", total=total) if failed else total)
    if any(problem.code == NO_PACK for problem in errors):
        return Exit.WRONG_USE
    return Exit.PROBLEMS if failed else Exit.OK


def all_told(path: str) -> tuple[Pack | None, list[Problem], list[Problem]]:
    """The pack, or None where it has errors; what is told of it; and the warnings that are accepted."""
    pack, problems = everything(path)
    if any(problem.code == NO_PACK for problem in problems):
        return pack, problems, []
    parted = accept(problems, pack_texts(path), CODES)
    return pack, in_order(parted.left), list(parted.accepted)


def pack_texts(path: str) -> dict[str, str]:
    """Every file that a pack has, rules, cases and practice, by its name as it is told."""
    place = find_pack(path)
    if place.is_file():
        files = [place]
    else:
        files = [each for ending in RULE_SUFFIXES for each in sorted(place.rglob(f"*{ending}"))]
    return _texts(files)


def _texts(files: Iterable[Path]) -> dict[str, str]:
    """The text of each file that can be read."""
    texts = {}
    for file in files:
        try:
            texts[str(file)] = read_ordinary(file).decode("utf-8-sig", "replace").replace("\r\n", "\n")
        except OSError:
            continue
    return texts


def pointed_at(problem: Problem, texts: dict[str, list[str]]) -> list[str]:
    """The line that a problem stands on, and a caret under its place; nothing where it is told of a whole file."""
    lines = texts.get(problem.mark.file, [])
    if not 0 < problem.mark.line <= len(lines) or (problem.mark.line, problem.mark.column) == (1, 1):
        return []
    line, at = lines[problem.mark.line - 1], problem.mark.column - 1
    left = len(line) - len(line.lstrip())
    cut = min(left, at)
    if at - cut > WIDEST - 20:
        cut = at - WIDEST // 2
    return [f"    {line[cut : cut + WIDEST]}", f"    {' ' * (at - cut)}^"]


# -- mending and watching --------------------------------------------------------------------------------


def mend(path: str, anyway: bool) -> int:
    """Shows the certain mends of a pack and writes them; a status other than 0 where it must not write."""
    texts = pack_texts(path)
    mends = mends_of(everything(path)[1], texts)
    if not mends:
        tell("check_nothing_mend_for_certain")
        return Exit.OK
    changed = [name for name in mends if not anyway and unsaved(Path(name))]
    if changed:
        why = say("check_has_changes_version_control" if len(changed) == 1 else "check_have_such_changes")
        aside(say("check_faultfinder_check_nothing_mended", names=", ".join(changed), why=why))
        return Exit.WRONG_USE
    for name, each in mends.items():
        text = mended(texts[name], each)
        before, after = texts[name].split("\n"), text.split("\n")
        for line in difflib.unified_diff(before, after, name, name, lineterm="", n=0):
            print(shown(line))
        write_text(Path(name), text)
    tell("check_mended", what=counted(sum(len(each) for each in mends.values()), "place"))
    return Exit.OK


def write_text(file: Path, text: str) -> None:
    """Writes a file anew, with the line ends and the mark at its beginning that it had."""
    data = file.read_bytes()
    ending = "\r\n" if b"\r\n" in data else "\n"
    start = "\ufeff" if data.startswith(b"\xef\xbb\xbf") else ""
    file.write_bytes((start + text.replace("\n", ending)).encode("utf-8"))


def unsaved(file: Path) -> bool:
    """Whether git knows the file and it has changes that were not committed. Without git nobody can tell: no."""
    try:
        told = subprocess.run(
            ["git", "status", "--porcelain", "--", file.name],
            cwd=file.resolve().parent,
            capture_output=True,
            check=False,
            timeout=20,
        )
    except (OSError, subprocess.SubprocessError):
        return False
    return told.returncode == 0 and told.stdout.strip() != b""


def watched(asked: argparse.Namespace) -> int:
    """Checks again whenever a file of the pack changes, until it is broken off; the status of the last check."""
    seen: dict[str, int] = {}
    status = int(Exit.OK)
    while True:
        now = _changed_at(asked.path)
        if now != seen:
            if seen:
                print("--")
            seen = now
            status = once(asked)
            sys.stdout.flush()
            if not now:
                return status
        try:
            time.sleep(PAUSE)
        except KeyboardInterrupt:
            return status


def _changed_at(path: str) -> dict[str, int]:
    """When each file of the pack was changed last; nothing where there is no pack."""
    try:
        return {name: Path(name).stat().st_mtime_ns for name in pack_texts(path)}
    except (FaultFinderError, OSError):
        return {}


def everything(path: str) -> tuple[Pack | None, list[Problem]]:
    """The pack, or None where it has errors, and every problem of its rules, its worked cases and practice folder.

    Cases and practice files are looked at only where the rules can be read: they stand on them.
    """
    pack, problems = check_pack(path)
    if pack is None:
        return None, problems
    place = find_pack(path)
    more = list(_of_cases(pack, place))
    if place.is_dir():
        more += practice_problems(pack, place)
    return pack, in_order([*problems, *more]) if more else problems


def _of_cases(pack: Pack, place: Path) -> Iterator[Problem]:
    try:
        files = find_cases(place).cases
    except NoCases:
        return
    read: list[tuple[WorkedCase, str]] = []
    for file in files:
        try:
            text = read_ordinary(file).decode("utf-8", "replace")
            read.append((read_cases([file])[0], text.replace("\r\n", "\n")))
        except (RecordError, OSError) as error:
            yield Problem(Mark(str(file), 1, 1), "case-line", ERROR, str(error))
    cases = [case for case, _ in read]
    known = known_of(pack, cases)
    for case, text in read:
        yield from case_problems(pack, case, text, known)
    yield from twins(cases)


def _overview(pack: Pack) -> None:
    """The faults a job that the rules expect for every sort of machine, and what wins over what."""
    for totals in totals_by_machine(pack):
        tell("check_faults_job_most_often", machine=totals.machine, faults=f"{totals.faults:.2f}")
        for cause, chance in totals.causes[:OFTEN]:
            print(shown(f"  {chance:6.1%} {pack.causes[cause].title}"))
    for observation in pack.observations.values():
        print(shown(f"{observation.id}: {order_in_words(observation)}"))


def _about(code: str) -> int:
    if code not in CODES:
        alike = ", ".join(known for known in CODES if code and code.casefold() in known)
        hint = did_you_mean(code, list(CODES)) or (say("name_known_here", names=alike) if alike else "")
        aside(say("check_faultfinder_check_there_no", code=code, hint=hint).rstrip())
        return Exit.WRONG_USE
    print(pages()[code].text())
    return Exit.OK
