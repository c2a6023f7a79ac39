"""Which open tests tell most about one cause: those with an answer that would raise it, or lower it, most.

Which they are is counted on imagined machines; what each would do is then worked out for those alone.
"""

from __future__ import annotations

from typing import NamedTuple

from faultfinder.reasoning.decision.imagined import Imagined
from faultfinder.reasoning.inference.assessment import Assessment

LEAST = 50
"""Imagined machines with the cause, or without it, below which a count says nothing: all that bears on the cause is
worked out then. Chosen."""
SPARE = 2
"""How many times as many tests are worked out as are wanted: the counts are only about right. Chosen."""


NOTICED = 0.02
"""Change of a chance below which an answer is not said to tell anything. Chosen."""


class Telling(NamedTuple):
    """A test with the answer that moves the cause furthest: that answer's chance, and the cause's after it."""

    observation: str
    answer: str
    chance: float
    after: float


def telling(case: Assessment, cause: str, most: int, *, lower: bool = False) -> list[Telling]:
    """At most so many observations open now, what is likeliest to move the cause far first; lower: towards 0.

    Raises UnknownName for an unknown cause, and what the case raises where its answers contradict one another.
    """
    case.cause(cause)
    now, sign = case.confidence()[cause], -1.0 if lower else 1.0
    rows = []
    wanted = _promising(case, cause, SPARE * most, sign)
    for name, answers in case.outlook(wanted).items():
        moves = {answer: sign * (after[cause] - now) for answer, (_, after) in answers.items()}
        answer = max(moves, key=lambda each: moves[each])
        chance, after = answers[answer]
        if moves[answer] > NOTICED:
            rows.append((moves[answer] * chance, Telling(name, answer, chance, after[cause])))
    rows.sort(key=lambda row: (-row[0], row[1].observation))
    return [row for _, row in rows[:most]]


def _promising(case: Assessment, cause: str, most: int, sign: float) -> list[str]:
    """The observations open now whose answers move the cause furthest, as counted on imagined machines."""
    candidates = case.mixture().built.candidates
    imagined = Imagined(case)
    count = imagined.present().get(cause, 0).bit_count()
    if min(count, imagined.count - count) < LEAST:
        return [name for name in candidates if case.bears_on(name, cause)]
    share, moved = count / imagined.count, {}
    for name in candidates:
        moves = [(sign * (there - share * size), size) for size, there in imagined.after(name, cause)]
        moved[name] = max((move for move, size in moves if move > NOTICED * size), default=0.0)
    return sorted(candidates, key=lambda name: (-moved[name], name))[:most]
