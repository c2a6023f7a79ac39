"""Small packs to weigh the choice of tests on: up to eight causes and ten observations, some behind the covers.

Numbers are drawn from what a pack of the trade looks like (chosen): faults of 1 to 12 %, links usually strong,
looks of a minute and readings of a few, parts that cost something, some faults that burn. Each starts with a
complaint that most of its causes may show.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from best_policy import ENOUGH, PLACES, START, Place, Small, cost_of, lay_out, least_cost, price_of
from best_repairs import Course, Moment
from packs import cause, observation, pack

from faultfinder.knowledge.model import Access, Cause, Hazard, Kind, Need, Observation, Pack
from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.advice import steps
from faultfinder.reasoning.decision.imagined import Imagined
from faultfinder.reasoning.decision.scope import price_list
from faultfinder.reasoning.decision.step import Step, StepKind
from faultfinder.reasoning.decision.test_selection import worth_doing

COMPLAINT = "complaint"


def small_pack(seed: int) -> tuple[Pack, dict[str, str]]:
    """A pack, and what was told at the start."""
    return _pack(random.Random(f"policy:{seed}"), (3, 8), (3, 9))


def very_small_pack(seed: int) -> tuple[Pack, dict[str, str]]:
    """The same with so few causes and tests that remedies can be moves too (best_repairs.py)."""
    return _pack(random.Random(f"repairs:{seed}"), (2, 3), (2, 3))


def _pack(
    random_: random.Random, causes_of: tuple[int, int], tests_of: tuple[int, int]
) -> tuple[Pack, dict[str, str]]:
    count = random_.randint(*causes_of)
    tests = _tests(random_, random_.randint(*tests_of))
    causes: list[Cause] = []
    for number in range(count):
        shows = _shows(random_, tests)
        if random_.random() < 0.85 or number == 0:
            strength = random_.choice((0.98, 0.85, 0.6, 0.3))
            shows[COMPLAINT] = (1.0 - strength, strength)
        inside = random_.random() < 0.5
        part = (
            random_.choice((0.0, 0.0, 10.0, 40.0, 80.0)) if inside else random_.choice((0.0, 0.0, 0.0, 10.0))
        )
        earlier = [item.id for item in causes]
        bringers = random_.sample(earlier, 1) if earlier and random_.random() < 0.25 else []
        causes.append(
            cause(
                f"c{number}",
                random_.choice((0.01, 0.02, 0.05, 0.12)),
                shows,
                brought_on_by={name: random_.choice((0.1, 0.3, 0.6)) for name in bringers},
                hazard=Hazard.FIRE if random_.random() < 0.1 else Hazard.NONE,
                minutes=random_.choice((20.0, 30.0, 45.0)) if inside else random_.choice((3.0, 10.0, 15.0)),
                if_missed=random_.choice((60.0, 90.0, 120.0)),
                part_costs=part,
                remedy_need=Need.OPEN_DEAD if inside else random_.choice((Need.COVERS_ON, Need.ISOLATED)),
            )
        )
    complaint = observation(
        COMPLAINT, background=(0.98, 0.02), reliability=0.9, need=Need.ANYWHERE, minutes=0.5, kind=Kind.TOLD
    )
    made = pack(causes, [replace(complaint, symptom=True), *tests])
    return made, {COMPLAINT: "yes"}


def _tests(random_: random.Random, count: int) -> list[Observation]:
    made = []
    for number in range(count):
        need = random_.choice(
            (Need.ANYWHERE, Need.COVERS_ON, Need.IN_USE, Need.ISOLATED, Need.OPEN_DEAD, Need.OPEN_DEAD)
        )
        levels = 3 if random_.random() < 0.2 else 2
        odd = [random_.choice((0.005, 0.01, 0.03)) for _ in range(levels - 1)]
        made.append(
            observation(
                f"t{number}",
                [f"a{level}" for level in range(levels)],
                (1.0 - sum(odd), *odd),
                reliability=random_.choice((0.9, 0.95, 0.99)),
                need=need,
                minutes=random_.choice((0.5, 1.0, 2.0, 4.0, 6.0)),
            )
        )
    return made


def _shows(random_: random.Random, tests: list[Observation]) -> dict[str, tuple[float, ...]]:
    shows: dict[str, tuple[float, ...]] = {}
    for item in random_.sample(tests, min(len(tests), random_.choice((1, 1, 2, 2, 3)))):
        levels = len(item.answers)
        strength = random_.choice((0.98, 0.98, 0.85, 0.6, 0.3))
        pushes = [1.0 - strength] + [0.0] * (levels - 1)
        pushes[random_.randrange(1, levels)] = strength
        shows[item.id] = tuple(pushes)
    return shows


def plain_minutes() -> None:
    """What the best policy does not reckon with is left out of the engine's currency: that a complaint which stands
    counts more, and that whoever answers may err beyond what the rules say."""
    constants.STANDING = 1.0
    constants.ERROR_RATES = {0.0: 1.0}


def everything_counting(case: Case) -> list[Step]:
    """The steps where every cause counts, not only those that the answers raised."""
    imagined = Imagined(case)
    return worth_doing(case, imagined, price_list(case))


class EnginesChoice:
    """The engine's own choice, as a policy: its first test, enough when it has none that pays.

    Nothing is put right on the way (see best_policy.py), so remedies count as declined. A test that the engine asks
    to settle what brought a found fault on may gain less than it takes: that is no choice by minutes and not
    followed.
    """

    def __init__(self, made: Pack, told: Mapping[str, str], *, everything: bool = False) -> None:
        """everything: every cause counts, not only those that the answers raised."""
        self.pack, self.told, self.everything = made, told, everything

    def __call__(self, answers: Mapping[str, str], at: Place) -> str:
        case = Case(self.pack)
        for name, answer in {**self.told, **answers}.items():
            case.record(name, answer)
        if at.was_open and at.access is not Access.OPEN_DEAD:
            case.reassembled()
        case.access = at.access
        # To take an answer again is no move of the policy that it is held against.
        case.declined = frozenset([*self.pack.causes, *self.told, *answers])
        found = everything_counting(case) if self.everything else steps(case)
        asks = (step for step in found if step.kind is StepKind.ASK and step.gain > 0.0)
        return next((step.target for step in asks), ENOUGH)


class EnginesCourse:
    """The engine's own choice of tests and remedies, as a way of working (best_repairs.py)."""

    def __init__(self, made: Pack, told: Mapping[str, str], *, everything: bool = False) -> None:
        """everything: every cause counts, not only those that the answers raised."""
        self.pack, self.told, self.everything = made, told, everything

    def __call__(self, moment: Moment) -> str:
        case = Case(self.pack)
        for name, answer in self.told.items():
            case.record(name, answer)
        for name, answer in moment.steps:
            if answer:
                case.record(name, answer)
            else:
                case.put_right(name)
        case.access = moment.at.access
        # To take an answer again is no move of the course that it is held against.
        case.declined = frozenset(
            name for name, item in self.pack.observations.items() if not case.askable(item)
        )
        for step in everything_counting(case) if self.everything else steps(case):
            if step.kind is StepKind.PUT_RIGHT:
                return step.target
            if step.kind is StepKind.ASK and step.gain > 0.0:
                return step.target
        return ENOUGH


class OneStep:
    """What gains most by itself, as a policy on the counted chances: no test is looked beyond."""

    def __init__(self, small: Small) -> None:
        self.small = small

    def __call__(self, answers: Mapping[str, str], at: Place) -> str:
        small = self.small
        row = sum(
            stride * (1 + small.pack.observations[name].index(answers[name]))
            for name, stride in zip(small.tests, small.strides, strict=True)
            if name in answers
        )
        best, chosen = float(small.ending[PLACES.index(at), row]), ENOUGH
        for place, name in enumerate(small.tests):
            if name in answers:
                continue
            goal, price = price_of(small, name, at, np.array([row]))
            children = [row + level * small.strides[place] for level in range(1, small.radix[place])]
            cost = float(price[0]) + sum(float(small.ending[PLACES.index(goal), child]) for child in children)
            if cost < best - 1e-12:
                best, chosen = cost, name
        return chosen


@dataclass(frozen=True)
class Measured:
    """Expected minutes on one small machine: by the best policy, by the engine, by the engine where every cause
    counts, by the best single step, and with nothing asked."""

    seed: int
    least: float
    engine: float
    everything: float
    one_step: float
    nothing: float
    situations: int

    @property
    def excess(self) -> float:
        """Share by which the engine takes more than the least."""
        return self.engine / self.least - 1.0


def measure(seed: int) -> Measured:
    """All of it for one small machine."""
    made, told = small_pack(seed)
    small = lay_out(made, told)
    engine, situations = cost_of(small, EnginesChoice(made, told))
    everything, _ = cost_of(small, EnginesChoice(made, told, everything=True))
    one_step, _ = cost_of(small, OneStep(small))
    nothing = float(small.ending[PLACES.index(START), 0])
    return Measured(seed, least_cost(small), engine, everything, one_step, nothing, situations)


@dataclass(frozen=True)
class Repaired:
    """The same with remedies as moves: the best course, the engine, the engine where every cause counts."""

    seed: int
    least: float
    engine: float
    everything: float


def measure_repairs(seed: int) -> Repaired:
    """All of it for one very small machine."""
    made, told = very_small_pack(seed)
    course = Course(made, told)
    return Repaired(
        seed,
        course.least(),
        course.cost_of(EnginesCourse(made, told)),
        course.cost_of(EnginesCourse(made, told, everything=True)),
    )
