"""What a folder of practice files says: how machines of a pack are made, what faults do to them, what is seen.

Frozen data. A *name* is a number of the machine: drawn once a machine, a constant, computed, or solved for; a
*word* is a choice (the kind of machine, of control). A *fault* bears the id of a cause of the pack and changes
names ("levers"). An *appearance* says how an observation of the pack is read off the machine.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from faultfinder.knowledge.formulas.expression import Expression
from faultfinder.knowledge.model import Mark

USUAL = "usual_"
"""Prefix: the same number on the same machine without its faults."""
LUCK = "luck_"
"""Prefix: a number between 0 and 1 that chance gives this machine and that stays with it."""


@dataclass(frozen=True, slots=True)
class Between:
    """Any number in between, all alike; `log`: alike in ratio."""

    low: float
    high: float
    log: bool = False


@dataclass(frozen=True, slots=True)
class Pick:
    """One of several values, by weight: numbers, or words."""

    values: tuple[float | str, ...]
    weights: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Around:
    """A computed number, off by a normal error of that share (never beyond 2.5 of it)."""

    middle: Expression
    spread: float


@dataclass(frozen=True, slots=True)
class ByWord:
    """A different rule for each choice of a word; '' is the rule for the other choices."""

    word: str
    rules: Mapping[str, Spec]


Spec = float | Expression | Between | Pick | Around | ByWord


@dataclass(frozen=True, slots=True)
class Change:
    """What a fault does to one name. does: is, times, plus, at_most or at_least."""

    name: str
    does: str
    to: Spec


@dataclass(frozen=True, slots=True)
class Condition:
    """`parts` joined by or; in each part tests joined by and: (left, above?, right)."""

    text: str
    parts: tuple[tuple[tuple[Expression, bool, Expression], ...], ...]


@dataclass(frozen=True, slots=True)
class FaultNote:
    """What a fault does.

    ways: the ways in which it may show itself, one of them drawn; each a set of changes. leads_to: fault -> chance
    that it brings that one on. returns_when: it comes back after it was put right, once the machine runs with this
    true. intermittent: it may come and go. rare: weight against how common its cause is (0: never drawn by itself).
    """

    id: str
    ways: tuple[tuple[Change, ...], ...]
    leads_to: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    returns_when: Condition | None = None
    intermittent: bool = False
    weight: float = 1.0
    mark: Mark = Mark("", 0, 0)


@dataclass(frozen=True, slots=True)
class Appearance:
    """How an observation looks: `reads` for a reading (in the observation's unit), else `says`, answer by answer in
    order, the first that holds; none: the healthy answer. noise: share by which what is judged by eye, ear or
    memory is misjudged (one standard deviation), or by which a reading scatters beyond its meter."""

    id: str
    reads: Expression | None
    says: tuple[tuple[str, Condition], ...]
    noise: float
    decimals: int
    mark: Mark = Mark("", 0, 0)


@dataclass(frozen=True, slots=True)
class FactNote:
    """How a fact follows from the machine, how often it is known when the job begins, and how often it can be told
    when a reading that hangs on it is about to be taken: what is printed on the part is in sight there."""

    id: str
    word: str
    value: Expression | None
    known: float
    when_asked: float
    step: float


@dataclass(frozen=True, slots=True)
class Cannot:
    """Observations that cannot be made while something holds of the machine, and what is said then."""

    when: Condition
    these: frozenset[str]
    says: str


@dataclass(frozen=True, slots=True)
class ActionNote:
    """What a numbered safety action finds on this machine: outcome by outcome the first that holds, else the good
    one. tells: observations that a person has made by the way when it was not the good one."""

    id: str
    outcomes: tuple[tuple[str, Condition], ...]
    tells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SolverCall:
    """A run of a solver; what it gives is named `<id>_<output>`."""

    id: str
    solver: str
    given: Mapping[str, Spec]


@dataclass(frozen=True, slots=True)
class Description:
    """A practice folder, checked against its pack."""

    drawn: Mapping[str, Spec]
    constants: Mapping[str, float]
    quantities: Mapping[str, Spec]
    solved: Mapping[str, SolverCall]
    faults: Mapping[str, FaultNote]
    not_simulated: Mapping[str, str]
    """Cause -> why no machine is made with it."""
    appearances: Mapping[str, Appearance]
    facts: Mapping[str, FactNote]
    cannot: tuple[Cannot, ...]
    actions: Mapping[str, ActionNote]
    check_list: tuple[str, ...]
    """Observations and questions in the usual order of the trade."""
