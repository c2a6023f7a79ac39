"""What a plan is made on: imagined machines, of which everything is known, and the situations that a job comes to.

A *situation* is the set of imagined machines that the answers so far leave possible (a mask), where one stands, what
was asked and what was put right. What there is to know of an imagined machine is known: which faults it has, and what
every observation would show.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple, Protocol

from faultfinder.knowledge.model import Need
from faultfinder.reasoning.decision.access_cost import Standing

NOTHING = frozenset[str]()


class Loss(NamedTuple):
    """What hangs on one cause, or on several that one remedy mends: the machines that have it, and its chance as it
    is known apart from them; minutes lost where it is missed and where it is put right for nothing; the chance from
    which it may be put right. cause: the one whose remedy is carried out. inside: with the covers off. mended_by:
    numbers of the losses, all before it, whose remedy puts this right as well."""

    cause: str
    machines: int
    chance: float
    missed: float
    for_nothing: float
    least: float
    inside: bool
    mended_by: frozenset[int] = frozenset()


class Look(NamedTuple):
    """Something to ask: the machines that give each answer. bears: numbers of the losses that it may bear on."""

    target: str
    cells: tuple[int, ...]
    minutes: float
    need: Need
    bears: frozenset[int]


class Remedy(NamedTuple):
    """A cause that can be put right here; what it showed in can be asked anew then. likely: enough to do it next."""

    cause: str
    number: int
    need: Need
    asked_anew: frozenset[str]
    likely: bool


Move = Look | Remedy


@dataclass(frozen=True)
class World:
    """The imagined machines with some causes put right. inside: the machines with a fault behind the covers."""

    losses: tuple[Loss, ...]
    looks: tuple[Look, ...]
    remedies: tuple[Remedy, ...]
    inside: int

    def sound(self, machines: int) -> int:
        """Of how many of these machines nothing is faulty behind the covers."""
        return machines.bit_count() - (machines & self.inside).bit_count()


@dataclass(frozen=True)
class Situation:
    """decide, pay: the machines that decisions are taken on, and those that pay for them. live: numbers of the losses
    that still matter."""

    decide: int
    pay: int
    standing: Standing
    asked: frozenset[str] = frozenset()
    mended: frozenset[str] = frozenset()
    live: tuple[int, ...] = ()


class Worlds(Protocol):
    """The machines with some causes put right. followed: what is asked on the way to the end; what else there is, is
    weighed as a first move alone."""

    followed: frozenset[str]

    def __call__(self, mended: frozenset[str]) -> World: ...
