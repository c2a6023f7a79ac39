"""Mends that are certain: what a problem says to write, and the letters of the line that it takes the place of.

Only where the wrong word stands at the problem's own place and one word is offered for it; and a misspelt name only
where the pack has it nowhere else: otherwise the slip may be where the name is given, not where it is used.
Everything else is the author's to decide.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from faultfinder.knowledge.problem import Problem
from faultfinder.knowledge.schema.typo_hints import DASHES

_MEANT = re.compile(r'did you mean "([^"]+)"\?')


@dataclass(frozen=True, slots=True)
class Mend:
    """The letters from `start` to `end` (from 0) of a line become `new`."""

    file: str
    line: int
    start: int
    end: int
    new: str


def mend_of(problem: Problem, line: str) -> Mend | None:
    """The certain mend of a problem; None where there is none. line: the line of the file that it is told for."""
    at = problem.mark.column - 1
    if at < len(line) and line[at] in "'\"":
        at += 1
    old, new = _written(problem, line[at:])
    return Mend(problem.mark.file, problem.mark.line, at, at + len(old), new) if old else None


def _written(problem: Problem, there: str) -> tuple[str, str]:
    """(what stands there, what is to stand there), or nothing. there: the line from the problem's place on."""
    hint = problem.hint
    if hint == "use a point for decimals":
        comma = re.match(r"\d+,\d+", there)
        return (comma[0], comma[0].replace(",", ".")) if comma else ("", "")
    if hint.startswith("write the minus of the keyboard"):
        return next((dash for dash in DASHES if there.startswith(dash)), ""), "-"
    offered = (
        re.fullmatch(r"write the thousands together: (\d+)", hint)
        or _MEANT.fullmatch(hint)
        or re.fullmatch(r"write ([A-Za-z0-9_.]+|\[[^\]]*\])", hint)
    )
    wrong = re.findall(r'"([^"]*)"', problem.message)
    old = next((word for word in wrong if word and there.startswith(word)), "")
    return (old, offered[1]) if offered and old != offered[1] else ("", "")


def mended(text: str, mends: Iterable[Mend]) -> str:
    """A file's text with the mends made; of two that touch one another, the first."""
    lines = text.split("\n")
    taken: dict[int, int] = {}
    for mend in sorted(mends, key=lambda each: (each.line, -each.start)):
        line = lines[mend.line - 1]
        if mend.end > taken.get(mend.line, len(line)):
            continue
        lines[mend.line - 1] = line[: mend.start] + mend.new + line[mend.end :]
        taken[mend.line] = mend.start
    return "\n".join(lines)


def mends_of(problems: Sequence[Problem], texts: Mapping[str, str]) -> dict[str, list[Mend]]:
    """The certain mends by file."""
    found: dict[Mend, str] = {}
    for problem in problems:
        lines = texts.get(problem.mark.file, "").split("\n")
        if problem.mark.line <= len(lines):
            line = lines[problem.mark.line - 1]
            mend = mend_of(problem, line)
            if mend is not None:
                found[mend] = line[mend.start : mend.end] if _MEANT.fullmatch(problem.hint) else ""
    mended_places = {(mend.file, mend.line, mend.start) for mend in found}
    used = {name for name in {*found.values()} - {""} if _places(name, texts) - mended_places}
    sure: dict[str, list[Mend]] = {}
    for mend, name in found.items():
        if name not in used:
            sure.setdefault(mend.file, []).append(mend)
    return sure


def _places(name: str, texts: Mapping[str, str]) -> set[tuple[str, int, int]]:
    """(file, line, letter) wherever a name stands alone, as a key, a value or in a list: not within a sentence."""
    alone = re.compile(rf"(?:^|[\[{{,:-]) *[\"']?({re.escape(name)})[\"']? *(?=[\]}},:]|$| #)")
    return {
        (file, number, place.start(1))
        for file, text in texts.items()
        for number, line in enumerate(text.split("\n"), start=1)
        for place in alone.finditer(line)
    }
