"""Lines as for `assess` over the dryer pack, judged without the next steps, which take the most of its time."""

from __future__ import annotations

from functools import cache

from faultfinder.dialogue.queries.assess import split_given, take
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import Judged


@cache
def the_pack() -> Pack:
    return load_pack("tumble_dryer")


def given(line: str) -> list[str]:
    return [piece.strip() for piece in line.split("|")]


def judged(line: str) -> tuple[Case, list[Judged]]:
    """The case that `assess` makes of a line, and what it took from it."""
    facts, findings = split_given(the_pack(), given(line))
    case = Case(the_pack(), facts)
    return case, take(case, findings)


def likely(line: str) -> list[tuple[str, float]]:
    """The causes with their chances, the likeliest first."""
    return sorted(judged(line)[0].confidence().items(), key=lambda each: -each[1])
