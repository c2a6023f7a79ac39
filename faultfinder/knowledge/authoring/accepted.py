"""Warnings that an author has accepted: `# accept CODE: why`, at the end of their line or on the one above.

An error cannot be accepted. What is accepted without a reason, or where nothing of that code is told any more, is
told itself: so no remark outlives what it was written for.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import WARNING, Problem

UNNEEDED = "accept-unneeded"
NO_REASON = "accept-no-reason"
_REMARK = re.compile(r"(?:^|\s)#\s*accept\s+([a-z][a-z-]*)\s*(?::\s*(.*))?$")


@dataclass(frozen=True, slots=True)
class Accepted:
    """What was told, less what was accepted; and what was accepted."""

    left: tuple[Problem, ...]
    accepted: tuple[Problem, ...]


def accept(problems: Iterable[Problem], texts: Mapping[str, str], known: Iterable[str]) -> Accepted:
    """Takes the accepted warnings out. texts: the files by the name that marks have. known: every code there is."""
    problems, codes = list(problems), set(known)
    remarks: dict[tuple[str, int, str], Mark] = {}
    told: list[Problem] = []

    def warn(mark: Mark, code: str, message: str, hint: str) -> None:
        told.append(Problem(mark, code, WARNING, message, hint))

    for file, text in texts.items():
        lines = text.split("\n") if "accept" in text else []
        for number, line in enumerate(lines, start=1):
            found = _REMARK.search(line)
            if found is None:
                continue
            mark, code = Mark(file, number, line.index("#", found.start()) + 1), found[1]
            if code not in codes:
                hint = "the code stands behind a warning, in [ ]"
                warn(mark, UNNEEDED, f'accept: there is no code "{code}"', hint)
                continue
            if not (found[2] or "").strip():
                message = f"{code} is accepted without a reason"
                warn(mark, NO_REASON, message, f"write # accept {code}: why")
            remarks |= {(file, at, code): mark for at in _lines_meant(lines, number)}
    left: list[Problem] = []
    accepted: list[Problem] = []
    used: set[Mark] = set()
    for problem in problems:
        remark = remarks.get((problem.mark.file, problem.mark.line, problem.code))
        if remark is None or problem.is_error:
            left.append(problem)
        else:
            used.add(remark)
            accepted.append(problem)
    # Where there are errors not every check is made: what is not told then may be told again once they are mended.
    if not any(problem.is_error for problem in problems):
        for mark, code in {mark: code for (_, _, code), mark in remarks.items() if mark not in used}.items():
            message = f"accept: nothing of the code {code} is told here any more"
            warn(mark, UNNEEDED, message, "take the remark out")
    return Accepted((*left, *told), tuple(accepted))


def _lines_meant(lines: list[str], number: int) -> list[int]:
    """The line that a remark speaks of: its own, or, where it stands alone, the next one that is no remark."""
    if not lines[number - 1].lstrip().startswith("#"):
        return [number]
    below = number + 1
    while below <= len(lines) and lines[below - 1].lstrip().startswith("#"):
        below += 1
    # A warning of a file as a whole stands on its first line.
    return [below, number] if number == 1 else [below]
