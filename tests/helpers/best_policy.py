"""The best order of tests on a small pack, by exhaustive dynamic programming; shares no code with the engine.

A policy says, for every set of answers and every access state, which test comes next or that it is enough. What
it costs, in expected minutes:

- every test its minutes;
- every change of access its minutes. The covers, off and on again, are minutes lost only where nothing behind
  them was faulty: what is mended there needs them off anyway. That holds for the first time; a second is lost;
- at the end the regret that is left: each cause costs the less of leaving it, `p * if_missed` (five times for fire
  and shock), and putting it right, `(1 - p) * (minutes + part_costs)`; what is mended behind the covers needs them
  off, at the same price, unless they are off already.

Minutes spent on a fault that is there are nobody's loss, so somebody who knew the faults would lose none at all:
the whole of a policy's cost is what not knowing costs.

The same cost is put on the engine's own choice (`cost_of`), so that the two can be compared. Chances are those of the
rules spelt out over every fault set (enumeration.py): noisy-OR for what is there, noisy-MAX for what is seen,
reliability for what is said. Each test is made at most once, and nothing is put right before the end.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from enumeration import answer_distribution, worlds

from faultfinder.knowledge.model import Access, Cause, Need, Pack


class Place(NamedTuple):
    """An access state, and whether the covers were ever off."""

    access: Access
    was_open: bool


PLACES = (
    Place(Access.AS_FOUND, False),
    Place(Access.IN_USE, False),
    Place(Access.ISOLATED, False),
    Place(Access.OPEN_DEAD, True),
    Place(Access.IN_USE, True),
    Place(Access.ISOLATED, True),
)
START = PLACES[0]
SERVES: Mapping[Need, tuple[Access, ...]] = {
    Need.ANYWHERE: tuple(Access),
    Need.COVERS_ON: (Access.AS_FOUND, Access.IN_USE, Access.ISOLATED),
    Need.IN_USE: (Access.IN_USE,),
    Need.ISOLATED: (Access.ISOLATED, Access.OPEN_DEAD),
    Need.OPEN_DEAD: (Access.OPEN_DEAD,),
}
"""What each need can be met in, from what the needs mean (knowledge/model.py)."""
GRAVE_COUNTS = 5.0
LIKELY_ENOUGH = 0.5
"""Below this chance no part is fitted: a rule of conduct, held to by the best policy as by the engine."""
ENOUGH = "enough"
Choose = Callable[[Mapping[str, str], Place], str]
"""Answers so far and place -> the test to make next, or ENOUGH."""


class Change(NamedTuple):
    """A way to another place: minutes that count in full, and minutes lost only if nothing inside is faulty."""

    goal: Place
    minutes: float
    in_vain: float


def change(pack: Pack, start: Place, goal: Access) -> Change:
    """From one access state to another. Shutting is paid with the opening."""
    minutes = pack.access_minutes
    covers = 2.0 * (minutes[Access.OPEN_UNPROVED] + minutes[Access.OPEN_DEAD])
    if start.access is goal:
        return Change(start, 0.0, 0.0)
    if goal is Access.OPEN_DEAD:
        first = 0.0 if start.access is Access.ISOLATED else minutes[Access.ISOLATED]
        if start.was_open:
            return Change(Place(goal, True), first + covers, 0.0)
        return Change(Place(goal, True), first, covers)
    unplugged = start.access is Access.OPEN_DEAD
    return Change(
        Place(goal, start.was_open), 0.0 if unplugged and goal is Access.ISOLATED else minutes[goal], 0.0
    )


def way(pack: Pack, need: Need, at: Place) -> Change:
    """How a need is met: where one stands if that serves, else in the nearest state that does."""
    if at.access in SERVES[need]:
        return Change(at, 0.0, 0.0)
    goal = Access.ISOLATED if need is Need.COVERS_ON else Access(need)
    return change(pack, at, goal)


@dataclass(frozen=True)
class Small:
    """A small pack laid out for counting: one row a set of answers, numbered in mixed radix (digit 0: not asked).

    joint: column 0 is P(answers), column 1 + i is P(cause i and answers), the last P(nothing inside is faulty and
    answers). ending: what it costs to stop, times P(answers), by place and row.
    """

    pack: Pack
    tests: tuple[str, ...]
    strides: tuple[int, ...]
    radix: tuple[int, ...]
    joint: np.ndarray
    ending: np.ndarray


def said_chances(pack: Pack, name: str, present: set[str]) -> list[float]:
    """P(each answer is given | who is present)."""
    item = pack.observations[name]
    true = answer_distribution(pack, name, present)
    rest = (1.0 - item.reliability) / (len(true) - 1)
    return [item.reliability * chance + rest * (1.0 - chance) for chance in true]


def inside(pack: Pack) -> set[str]:
    """Causes that are mended with the covers off."""
    return {name for name, cause in pack.causes.items() if cause.remedy_need is Need.OPEN_DEAD}


def for_nothing(cause: Cause) -> float:
    """Minutes lost by putting it right where it was not faulty: the work, the part, with a part the second visit."""
    return cause.minutes + cause.part_costs + (cause.if_missed if cause.part_costs else 0.0)


def on_a_guess(cause: Cause) -> bool:
    """Whether it may be put right however unlikely it is: no part is fitted on a guess."""
    return cause.part_costs == 0.0


def lay_out(pack: Pack, told: Mapping[str, str]) -> Small:
    """Count everything once. `told` is what is known at the start."""
    sets = worlds(pack, {})
    chances = {
        name: np.array([said_chances(pack, name, present) for present, _ in sets])
        for name in pack.observations
    }
    start = np.array([weight for _, weight in sets])
    for name, answer in told.items():
        start = start * chances[name][:, pack.observations[name].index(answer)]
    start = start / start.sum()
    tests = tuple(name for name in pack.observations if name not in told)
    radix = tuple(1 + len(pack.observations[name].answers) for name in tests)

    def block(names: Sequence[str]) -> np.ndarray:
        """Every combination of answers (or none) to these tests, by world; the first test varies fastest."""
        rows = np.ones((1, len(sets)))
        for name in names:
            asked = [np.ones(len(sets)), *chances[name].T]
            rows = np.concatenate([rows * column for column in asked])
        return rows

    half = len(tests) // 2
    low, high = block(tests[:half]), block(tests[half:])
    columns = [start]
    for name in pack.causes:
        columns.append(start * np.array([name in present for present, _ in sets], dtype=float))
    columns.append(start * np.array([not inside(pack) & present for present, _ in sets], dtype=float))
    joint = np.stack([(high @ (low * column).T).ravel() for column in columns], axis=1)
    strides = tuple(math.prod(radix[:place]) for place in range(len(tests)))
    return Small(pack, tests, strides, radix, joint, _ending(pack, joint))


def _ending(pack: Pack, joint: np.ndarray) -> np.ndarray:
    total, in_vain = joint[:, 0], joint[:, -1]
    shut = np.zeros(len(total))
    """Regret with what is inside left as it is, and with everything within reach."""
    opened = np.zeros(len(total))
    for place, cause in enumerate(pack.causes.values()):
        present = joint[:, 1 + place]
        leaving = present * cause.if_missed * (GRAVE_COUNTS if cause.hazard.grave else 1.0)
        mending = (total - present) * for_nothing(cause)
        if not on_a_guess(cause):
            mending = np.where(present < LIKELY_ENOUGH * total, np.inf, mending)
        shut += leaving if cause.id in inside(pack) else np.minimum(leaving, mending)
        opened += np.minimum(leaving, mending)
    ending = []
    for at in PLACES:
        there = change(pack, at, Access.OPEN_DEAD)
        going = opened + there.minutes * total + there.in_vain * in_vain
        ending.append(opened if at.access is Access.OPEN_DEAD else np.minimum(shut, going))
    return np.stack(ending)


def best(small: Small) -> tuple[np.ndarray, np.ndarray]:
    """Least expected minutes from each place and row, times P(answers), and the test to make there (-1: enough)."""
    numbers = np.arange(len(small.joint))
    digits = [(numbers // stride) % radix for stride, radix in zip(small.strides, small.radix, strict=True)]
    asked = sum(((digit > 0).astype(int) for digit in digits), np.zeros(len(numbers), dtype=int))
    value = small.ending.copy()
    choice = np.full(value.shape, -1)
    for count in range(len(small.tests) - 1, -1, -1):
        here = numbers[asked == count]
        for place, name in enumerate(small.tests):
            able = here[digits[place][here] == 0]
            children = [able + level * small.strides[place] for level in range(1, small.radix[place])]
            for number, at in enumerate(PLACES):
                goal, price = price_of(small, name, at, able)
                cost = price + sum(value[PLACES.index(goal), rows] for rows in children)
                better = cost < value[number, able] - 1e-12
                value[number, able[better]] = cost[better]
                choice[number, able[better]] = place
    return value, choice


def price_of(small: Small, name: str, at: Place, rows: np.ndarray) -> tuple[Place, np.ndarray]:
    """Where a test leads and what it costs by itself, times P(answers)."""
    item = small.pack.observations[name]
    there = way(small.pack, item.need, at)
    price = (there.minutes + item.minutes) * small.joint[rows, 0] + there.in_vain * small.joint[rows, -1]
    return there.goal, price


def least_cost(small: Small, at: Place = START) -> float:
    """Expected minutes of the best policy from the start."""
    return float(best(small)[0][PLACES.index(at), 0])


def cost_of(small: Small, choose: Choose, at: Place = START) -> tuple[float, int]:
    """Expected minutes of a policy from the start, and in how many situations it was asked what to do."""
    situations = 0

    def spend(row: int, answers: dict[str, str], at: Place) -> float:
        nonlocal situations
        if small.joint[row, 0] <= 0.0:
            return 0.0
        situations += 1
        name = choose(answers, at)
        if name == ENOUGH:
            return float(small.ending[PLACES.index(at), row])
        if name in answers:
            raise AssertionError(f"{name} was asked twice")
        place = small.tests.index(name)
        goal, price = price_of(small, name, at, np.array([row]))
        return float(price[0]) + sum(
            spend(row + level * small.strides[place], {**answers, name: answer.id}, goal)
            for level, answer in enumerate(small.pack.observations[name].answers, 1)
        )

    return spend(0, {}, at), situations
