"""`faultfinder check`: every problem of a rule pack, one a line; or the editor schema, or one code explained."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from faultfinder.exits import Exit
from faultfinder.job.case_check import case_problems, twins
from faultfinder.job.case_files import NoCases, RecordError, find_cases, read_cases
from faultfinder.job.cases import WorkedCase
from faultfinder.knowledge.checks import CODES
from faultfinder.knowledge.load import check_pack, find_pack
from faultfinder.knowledge.model import Mark, Pack
from faultfinder.knowledge.overview import order_in_words, totals_by_machine
from faultfinder.knowledge.problem import ERROR, Problem, in_order
from faultfinder.knowledge.schema import editor_schema
from faultfinder.knowledge.suggest import did_you_mean
from faultfinder.practice.check import practice_problems
from faultfinder.terminal.assess import print_json
from faultfinder.terminal.render import shown

NO_PACK = "no-such-pack"
"""Not a problem of a pack: there is none at that path."""
OFTEN = 8
"""How many causes the overview names for a sort of machine; chosen."""


def run(asked: argparse.Namespace) -> int:
    """Status 0 when clean (warnings allowed unless --strict), 1 with problems, 2 for wrong use."""
    if asked.schema:
        print_json(editor_schema())
        return Exit.OK
    if asked.about:
        return _about(asked.about)
    if not asked.path:
        print(
            "faultfinder check: which pack? Give a folder, a file or a shipped pack's name.", file=sys.stderr
        )
        return Exit.WRONG_USE
    pack, problems = everything(asked.path)
    errors = [problem for problem in problems if problem.is_error]
    warnings = [problem for problem in problems if not problem.is_error]
    failed = bool(errors or (asked.strict and warnings))
    if asked.json:
        print_json({"loads": pack is not None, "problems": [_mapping(problem) for problem in problems]})
    else:
        for problem in problems:
            print(shown(str(problem)))
        if asked.overview and pack is not None:
            _overview(pack)
        word = "FAILED: " if failed else ""
        print(f"{word}{_count(len(errors), 'error')}, {_count(len(warnings), 'warning')}")
    if any(problem.code == NO_PACK for problem in errors):
        return Exit.WRONG_USE
    return Exit.PROBLEMS if failed else Exit.OK


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
    cases: list[WorkedCase] = []
    for file in files:
        try:
            case = read_cases([file])[0]
            text = file.read_bytes().decode("utf-8", "replace")
        except (RecordError, OSError) as error:
            yield Problem(Mark(str(file), 1, 1), "case-line", ERROR, str(error))
            continue
        cases.append(case)
        yield from case_problems(pack, case, text.replace("\r\n", "\n"))
    yield from twins(cases)


def _overview(pack: Pack) -> None:
    """The faults a job that the rules expect for every sort of machine, and what wins over what."""
    for totals in totals_by_machine(pack):
        print(shown(f"{totals.machine}: {totals.faults:.2f} faults a job; most often:"))
        for cause, chance in totals.causes[:OFTEN]:
            print(shown(f"  {chance:6.1%} {pack.causes[cause].title}"))
    for observation in pack.observations.values():
        print(shown(f"{observation.id}: {order_in_words(observation)}"))


def _about(code: str) -> int:
    if code not in CODES:
        alike = [known for known in CODES if code and code.casefold() in known]
        hint = did_you_mean(code, list(CODES)) or (f"known here: {', '.join(alike)}" if alike else "")
        print(shown(f"faultfinder check: there is no code '{code}'. {hint}".rstrip()), file=sys.stderr)
        return Exit.WRONG_USE
    print(CODES[code].page())
    return Exit.OK


def _mapping(problem: Problem) -> dict[str, object]:
    return {
        "file": problem.mark.file,
        "line": problem.mark.line,
        "column": problem.mark.column,
        "level": problem.level,
        "code": problem.code,
        "message": problem.message,
        "hint": problem.hint,
    }


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
