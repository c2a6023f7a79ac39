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
class Done:
    """Why the search is over.

    found: causes taken as present when the job began. left: causes still possible that stay unsettled.
    not_looked_at: grave causes left at their chance because only opening the machine would tell.
    needs: observations that could still tell, but were skipped.
    """

    why: Why
    found: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    not_looked_at: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    say: str = ""

    def __str__(self) -> str:
        parts = [self.say or str(self.why)]
        if self.left:
            parts.append("unsettled: " + ", ".join(self.left))
        if self.not_looked_at:
            parts.append("not looked at: " + ", ".join(self.not_looked_at))
        if self.needs:
            parts.append("could still tell: " + ", ".join(self.needs))
        return "; ".join(parts)
