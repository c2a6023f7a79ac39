"""One test further: what a test gains with the best tests after it, for each of its answers.

Weighing one test at a time misses those that decide only together: each alone moves no decision, so each alone is
worth nothing. Looking one test further finds them. It takes an outlook for every answer: on a small pack it is
always done, on a large one where it takes little, and where it can matter much: when nothing is worth its minutes by
itself although there is much to lose, and before the covers come off.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from faultfinder.reasoning.decision import test_selection as plan
from faultfinder.reasoning.inference.assessment import Assessment

FIRST, NEXT = 4, 8
"""Tests that are looked beyond, and tests that are weighed after each of their answers; chosen."""
LITTLE_WORK, MUCH_WORK = 150_000, 400_000
"""Products that looking further may take where it may matter little or much; chosen, some hundredths and a tenth of a
second: over the demo jobs more of it changed no step. Where answers hang together widely fewer tests are looked
beyond, or none."""
MUCH = 4.0
"""Minutes left to lose from which it is worth looking further when nothing pays by itself; chosen."""
LEAST_CHANCE = 1e-3
"""Answers less likely than this are not followed; chosen."""


@dataclass(frozen=True, slots=True)
class Further:
    """A test with what follows it. gain: minutes saved by all of them beyond what they take. then: for each answer
    after which something follows, the test that follows first."""

    test: plan.Test
    gain: float
    then: tuple[tuple[str, str], ...]


def promising(case: Assessment, choice: plan.Choice, found: Sequence[plan.Test]) -> list[plan.Test]:
    """Tests that may pay with others: those that come nearest to paying alone, and those that move most a minute,
    in turn."""
    moves = _moves(case, choice, found)
    single = [test for test in found if test.target in moves]
    nearest = sorted(single, key=lambda test: -test.gain)
    moving = sorted(single, key=lambda test: -moves[test.target] / (test.minutes + test.way + plan.TALK))
    return list(dict.fromkeys(test for pair in zip(nearest, moving, strict=True) for test in pair))


def _moves(case: Assessment, choice: plan.Choice, found: Sequence[plan.Test]) -> dict[str, float]:
    """How far each single observation moves things, in minutes."""
    outlook = case.outlook(test.target for test in found if test.target in case.pack.observations)
    return {name: choice.moved(answers.values()) for name, answers in outlook.items()}


def further(
    case: Assessment,
    choice: plan.Choice,
    candidates: Sequence[plan.Test],
    found: Sequence[plan.Test],
    most_work: int,
) -> list[Further]:
    """The first few candidates with what is best after each of their answers, most gain first. Only single
    observations are looked beyond and follow; `found` is all that can be asked. As many as `most_work` products
    allow."""
    moves = _moves(case, choice, found)
    single = [test for test in found if test.target in moves]
    follow = sorted(single, key=lambda test: (-moves[test.target] / (test.minutes + plan.TALK), test.target))
    outlook = case.outlook(moves)
    out: list[Further] = []
    work = 0
    for test in [each for each in candidates if each.target in moves][:FIRST]:
        work += 3 * case.terms * len(outlook[test.target]) * 2 * min(NEXT, len(follow))
        if work > most_work:
            break
        names = [each.target for each in follow if each is not test][:NEXT]
        standing = choice.way(test.need)[0]
        left, then = 0.0, []
        for answer, (chance, _) in outlook[test.target].items():
            if chance < LEAST_CHANCE:
                continue
            chances, after = case.beyond(test.target, answer, names)
            there = choice.after(chances, standing)
            best = max(
                plan.tests(there, after, (), case.need_of, share=False),
                key=lambda each: each.gain,
                default=None,
            )
            gain = max(0.0, best.gain) if best is not None else 0.0
            left += chance * (there.left - gain)
            if best is not None and gain > plan.LEAST_GAIN:
                then.append((answer, best.target))
        out.append(Further(test, choice.left - left - test.minutes - test.way, tuple(then)))
    return sorted(out, key=lambda each: -each.gain)
