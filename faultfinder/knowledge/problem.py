"""What is wrong with a rule file: problems as data, gathered, sorted and shown one a line.

A problem names the place (file, line, column from 1), a stable code, a level and what to do about it.
Level by consequence: an *error* cannot be read or would mislead, so nothing is loaded; a *warning* loads.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.knowledge.model import Mark

ERROR = "error"
WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing to mend. `message` says what is wrong in the author's words, `hint` what to do."""

    mark: Mark
    code: str
    level: str
    message: str
    hint: str = ""

    def __str__(self) -> str:
        text = f"{self.message}; {self.hint}" if self.hint else self.message
        return f"{self.mark}: {self.level}: {text} [{self.code}]"

    def as_mapping(self) -> dict[str, str | int]:
        """The problem for programs: the keys may grow, never change."""
        return {
            "file": self.mark.file,
            "line": self.mark.line,
            "column": self.mark.column,
            "level": self.level,
            "code": self.code,
            "message": self.message,
            "hint": self.hint,
        }

    @property
    def is_error(self) -> bool:
        return self.level == ERROR


@dataclass(frozen=True, slots=True)
class Objection:
    """What a check finds: a problem whose code and level stand where the check is registered."""

    mark: Mark
    message: str
    hint: str = ""


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """The problems by file, line and column, each once; at one place errors stand first."""
    unique = dict.fromkeys(problems)
    return sorted(
        unique,
        key=lambda p: (p.mark.file, p.mark.line, p.mark.column, p.level, p.code, p.message),
    )


class RuleFileError(FaultFinderError):
    """A rule pack that does not load; carries every problem of all its files, sorted."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(in_order(problems))
        super().__init__("\n".join(str(problem) for problem in self.problems))


class PackNotFound(RuleFileError, UnknownName):
    """There is no such pack: neither a folder, nor a file, nor the name of a shipped one."""


class Unfit(Exception):
    """A value of a rule file that cannot be read. lost: a name that stands there all the same (see Sink.lost)."""

    def __init__(
        self, mark: Mark, code: str, message: str, hint: str = "", *, lost: str | None = None
    ) -> None:
        super().__init__(message)
        self.problem = Problem(mark, code, ERROR, message, hint)
        self.lost = frozenset() if lost is None else frozenset({lost})


@dataclass(slots=True)
class Sink:
    """Where problems are gathered while a pack is read; nothing stops at the first one."""

    problems: list[Problem] = field(default_factory=list)
    lost: set[str] = field(default_factory=set)
    """Names that stand where they cannot be read, which is told there: whoever mentions them is not told besides."""
    slipped: set[str] = field(default_factory=set)
    """Keys that stand too far right or left, which is told there: that they are missing is not told besides."""

    def error(self, mark: Mark, code: str, message: str, hint: str = "") -> None:
        self.problems.append(Problem(mark, code, ERROR, message, hint))

    def warning(self, mark: Mark, code: str, message: str, hint: str = "") -> None:
        self.problems.append(Problem(mark, code, WARNING, message, hint))

    def take(self, unfit: Unfit) -> None:
        """Tells what could not be read."""
        self.problems.append(unfit.problem)
        self.lost |= unfit.lost

    @property
    def has_errors(self) -> bool:
        return any(problem.is_error for problem in self.problems)
