"""The next steps as plain data: a step *names* work and never tells how to do it (that is the safety gate's)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from faultfinder.knowledge.model import Access


class StepKind(StrEnum):
    ASK = "ask"
    CHANGE_ACCESS = "change access"
    PUT_RIGHT = "put right"
    PROVE = "prove"
    HAND_OVER = "hand over"


class Stage(StrEnum):
    """How far a job is when a step is proposed."""

    SEARCH = "search"
    """What the answers raised is looked for, put right and proved."""
    LAST_ROUND = "last round"
    """What the pack has looked at once more before a job is closed, whatever it saves."""
    CHECK_UP = "check-up"
    """What nothing points at, where a look pays all the same."""


@dataclass(frozen=True, slots=True)
class Separates:
    """What one answer to the step would do: its chance, and the cause whose chance it moves most."""

    answer: str
    chance: float
    cause: str
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class Step:
    """One thing worth doing.

    target: id of the observation, question or cause, or the access state to go to.
    title: its name, for people. access: the access state it is done in.
    minutes: what it takes, the way there included. worth: minutes it is expected to save.
    reasons: what each answer would do (asking), or the causes concerned (other kinds).
    """

    kind: StepKind
    target: str
    title: str
    access: Access
    minutes: float
    worth: float
    reasons: tuple[Separates, ...] = ()
    stage: Stage = Stage.SEARCH

    @property
    def last(self) -> bool:
        """Whether it is made before the job is closed whatever it saves."""
        return self.stage is Stage.LAST_ROUND

    @property
    def gain(self) -> float:
        """Minutes saved beyond what it takes."""
        return self.worth - self.minutes


class Why(StrEnum):
    """Why there is nothing more worth doing."""

    OUTSIDE = "outside"
    SETTLED = "settled"
    NOTHING_WORTH = "nothing worth its minutes"
    NOT_DECIDABLE = "not decidable here"


@dataclass(frozen=True, slots=True)
class Apart:
    """A cause that could be decided about, and what would tell but cannot be had here, the surest first."""

    cause: str
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Done:
    """Why the search is over.

    found: causes taken as present when the job began, the surest first; sure: their chances. left: causes still
    possible that stay unsettled. not_looked_at: grave causes left at their chance because only opening the machine
    would tell. apart: those left that only something not available here would tell.
    """

    why: Why
    found: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    not_looked_at: tuple[str, ...] = ()
    apart: tuple[Apart, ...] = ()
    sure: tuple[float, ...] = ()
    say: str = ""

    def __str__(self) -> str:
        parts = [self.say or str(self.why)]
        if self.found:
            sure = [f" ({chance:.0%})" for chance in self.sure] or [""] * len(self.found)
            pairs = zip(self.found, sure, strict=True)
            parts.append("found: " + ", ".join(name + chance for name, chance in pairs))
        if self.left:
            parts.append("unsettled: " + ", ".join(self.left))
        if self.not_looked_at:
            parts.append("not looked at: " + ", ".join(self.not_looked_at))
        parts += [f"only {' or '.join(each.by)} would tell about {each.cause}" for each in self.apart]
        return "; ".join(parts)
