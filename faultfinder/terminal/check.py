"""`faultfinder check`: every problem of a rule pack, one a line; or the editor schema, or one code explained."""

from __future__ import annotations

import argparse
import sys

from faultfinder.exits import Exit
from faultfinder.knowledge.checks import CODES
from faultfinder.knowledge.load import check_pack
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.overview import order_in_words, totals_by_machine
from faultfinder.knowledge.problem import Problem
from faultfinder.knowledge.schema import editor_schema
from faultfinder.knowledge.suggest import did_you_mean
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
    pack, problems = check_pack(asked.path)
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
