"""What a check is: a generator of objections under its code and level. `@error` and `@warning` make one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import ERROR, WARNING, Objection

Find = Callable[[View], Iterator[Objection]]


@dataclass(frozen=True, slots=True)
class Check:
    """hint: what to do, where an objection does not say it. whole: looks at what is missing from the pack as a whole,
    so it waits until every file and name can be read."""

    code: str
    level: str
    find: Find
    hint: str = ""
    whole: bool = False


def error(code: str, hint: str = "") -> Callable[[Find], Check]:
    return lambda find: Check(code, ERROR, find, hint)


def warning(code: str, hint: str = "", *, whole: bool = False) -> Callable[[Find], Check]:
    return lambda find: Check(code, WARNING, find, hint, whole)
