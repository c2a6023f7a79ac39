"""The choice of tests against the best possible one, in expected minutes; long form: tests/benchmarks/policy.py.

The best policy of a small pack is found by exhaustive dynamic programming that shares no code with the engine
(tests/helpers/best_policy.py, which also says what a policy costs).
"""

from __future__ import annotations

import random
import statistics
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from best_policy import (
    ENOUGH,
    PLACES,
    START,
    Place,
    best,
    cost_of,
    lay_out,
    least_cost,
    said_chances,
    way,
)
from best_repairs import Course, Moment
from enumeration import worlds
from packs import cause, observation, pack
from policy_instances import (
    EnginesChoice,
    EnginesCourse,
    OneStep,
    plain_minutes,
    small_pack,
    very_small_pack,
)
from published_policy import BY_INFORMATION, OPTIMUM, number_by_information, six_states

from faultfinder.knowledge.model import Access, Kind, Need, Observation, Pack
from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.step import StepKind

FIRST = 1000
"""The first of the instances that no constant was chosen by."""


@pytest.fixture(autouse=True)
def in_plain_minutes(monkeypatch: pytest.MonkeyPatch) -> None:
    """The best policy reckons in plain minutes."""
    for name in ("STANDING", "ERROR_RATES"):
        monkeypatch.setattr(constants, name, getattr(constants, name))
    plain_minutes()


def complaint() -> dict[str, str]:
    return {"complaint": "yes"}


def told_by_the_customer() -> Observation:
    return replace(
        observation(
            "complaint", background=(0.98, 0.02), reliability=0.95, need=Need.ANYWHERE, kind=Kind.TOLD
        ),
        symptom=True,
    )


# -- the measuring stick itself -------------------------------------------------------------------------


def spelt_out(made: Pack, told: Mapping[str, str], left: tuple[str, ...], at: Place) -> float:
    """Least expected minutes by plain recursion over answers, with a fresh count of every fault set each time."""
    weights = []
    for present, weight in worlds(made, {}):
        for name, answer in told.items():
            weight *= said_chances(made, name, present)[made.observations[name].index(answer)]
        weights.append((present, weight))
    here = lay_out(made, told)
    total = sum(weight for _, weight in weights)
    least = float(here.ending[PLACES.index(at), 0])
    sound = sum(
        weight
        for present, weight in weights
        if not any(c.remedy_need is Need.OPEN_DEAD for name, c in made.causes.items() if name in present)
    )
    for name in left:
        item = made.observations[name]
        there = way(made, item.need, at)
        cost = item.minutes + there.minutes + there.in_vain * sound / total
        for level, answer in enumerate(item.answers):
            share = sum(w * said_chances(made, name, present)[level] for present, w in weights) / total
            rest = tuple(other for other in left if other != name)
            cost += share * spelt_out(made, {**told, name: answer.id}, rest, there.goal)
        least = min(least, cost)
    return least


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_the_dynamic_programme_agrees_with_plain_recursion(seed: int) -> None:
    made, told = very_small_pack(seed)
    left = tuple(name for name in made.observations if name not in told)
    assert least_cost(lay_out(made, told)) == pytest.approx(spelt_out(made, told, left, START), rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_no_policy_costs_less_than_the_best_and_the_best_costs_what_it_says(seed: int) -> None:
    made, told = small_pack(seed)
    small = lay_out(made, told)
    value, choice = best(small)
    least = float(value[PLACES.index(START), 0])

    def row(answers: Mapping[str, str]) -> int:
        return sum(
            stride * (1 + made.observations[name].index(answers[name]))
            for name, stride in zip(small.tests, small.strides, strict=True)
            if name in answers
        )

    def follow(answers: Mapping[str, str], at: Place) -> str:
        place = int(choice[PLACES.index(at), row(answers)])
        return ENOUGH if place < 0 else small.tests[place]

    random_ = random.Random(seed)

    def at_random(answers: Mapping[str, str], at: Place) -> str:
        open_ones = [name for name in small.tests if name not in answers]
        return random_.choice([*open_ones, ENOUGH, ENOUGH])

    assert cost_of(small, follow)[0] == pytest.approx(least, rel=1e-9)
    assert cost_of(small, at_random)[0] >= least - 1e-9
    assert cost_of(small, lambda answers, at: ENOUGH)[0] >= least - 1e-9
    assert float(np.abs(small.joint[0, 0] - 1.0)) < 1e-12


# -- how far the engine is from it ----------------------------------------------------------------------


@pytest.mark.slow
def test_the_choice_of_tests_is_within_five_per_cent_of_the_best_on_small_machines() -> None:
    """The short form: 16 of the 500 of the benchmark."""
    excess = []
    for seed in range(FIRST, FIRST + 16):
        made, told = small_pack(seed)
        small = lay_out(made, told)
        least = least_cost(small)
        cost, _ = cost_of(small, EnginesChoice(made, told))
        assert cost >= least - 1e-9
        excess.append(cost / least - 1.0)
    assert statistics.mean(excess) < 0.05
    assert statistics.median(excess) < 0.02


@pytest.mark.slow
def test_where_every_cause_counts_the_choice_of_tests_is_within_two_per_cent() -> None:
    """What the engine's scope costs apart: causes that no answer raised are none of the job's business."""
    excess = []
    for seed in range(FIRST, FIRST + 10):
        made, told = small_pack(seed)
        small = lay_out(made, told)
        excess.append(cost_of(small, EnginesChoice(made, told, everything=True))[0] / least_cost(small) - 1.0)
    assert statistics.mean(excess) < 0.02


@pytest.mark.slow
@pytest.mark.parametrize("seed", [0, 1, 2, 4, 7, 10, 11, 13])
def test_with_remedies_as_moves_the_course_is_near_the_best(seed: int) -> None:
    """Within 5 % on seven of these, 6 % on the eighth."""
    made, told = very_small_pack(seed)
    course = Course(made, told)
    least = course.least()
    assert least - 1e-9 <= course.cost_of(EnginesCourse(made, told)) <= 1.06 * least


def test_the_published_six_states_are_solved_at_their_optimum() -> None:
    made, told = six_states()
    small = lay_out(made, told)
    assert least_cost(small) == pytest.approx(OPTIMUM, abs=1e-4)
    assert cost_of(small, EnginesChoice(made, told))[0] == pytest.approx(OPTIMUM, abs=1e-4)
    assert number_by_information() == pytest.approx(BY_INFORMATION, abs=1e-9)
    assert cost_of(small, OneStep(small))[0] > 1.3 * OPTIMUM


# -- what a look at one test at a time misses -----------------------------------------------------------


def two_that_decide_together() -> tuple[Pack, dict[str, str]]:
    """Four parts, dear enough to be changed only where one is likelier than not; two looks, each of which shows two
    of them: one look leaves two even, both leave one."""
    made = pack(
        [
            cause(name, 0.05, {"complaint": (0.02, 0.98), **shows}, minutes=15.0, part_costs=105.0)
            for name, shows in (
                ("first", {"left": (0.02, 0.98), "upper": (0.02, 0.98)}),
                ("second", {"left": (0.02, 0.98)}),
                ("third", {"upper": (0.02, 0.98)}),
                ("fourth", {}),
            )
        ],
        [
            told_by_the_customer(),
            observation("left", background=(0.995, 0.005), reliability=0.99, minutes=2.0),
            observation("upper", background=(0.995, 0.005), reliability=0.99, minutes=2.0),
        ],
    )
    return made, complaint()


def test_two_tests_that_decide_only_together_are_made() -> None:
    made, told = two_that_decide_together()
    small = lay_out(made, told)
    alone, _ = cost_of(small, OneStep(small))
    least = least_cost(small)
    assert alone == pytest.approx(float(small.ending[PLACES.index(START), 0])), "each alone is worth nothing"
    assert least < 0.8 * alone
    assert cost_of(small, EnginesChoice(made, told))[0] == pytest.approx(least, rel=1e-6)


def several_behind_one_cover() -> tuple[Pack, dict[str, str]]:
    """Four parts behind the covers, each with a test of its own that would not pay for taking them off."""
    names = ("a", "b", "c", "d")
    made = pack(
        [
            *(
                cause(
                    name,
                    0.03,
                    {"complaint": (0.02, 0.98), f"{name}_ohms": (0.01, 0.99)},
                    remedy_need=Need.OPEN_DEAD,
                    minutes=20.0,
                    part_costs=100.0,
                    if_missed=120.0,
                )
                for name in names
            ),
            cause("outside", 0.12, {"complaint": (0.02, 0.98)}, minutes=10.0, part_costs=0.0),
        ],
        [
            told_by_the_customer(),
            *(
                observation(f"{name}_ohms", need=Need.OPEN_DEAD, minutes=1.0, reliability=0.99)
                for name in names
            ),
        ],
    )
    return made, complaint()


def test_the_covers_come_off_where_only_several_tests_together_pay_for_it() -> None:
    made, told = several_behind_one_cover()
    small = lay_out(made, told)
    one_by_one, _ = cost_of(small, OneStep(small))
    assert one_by_one == pytest.approx(float(small.ending[PLACES.index(START), 0])), (
        "no test pays for the way"
    )
    least = least_cost(small)
    assert least < one_by_one - 1.0
    assert cost_of(small, EnginesChoice(made, told))[0] < one_by_one - 0.9 * (one_by_one - least)


def test_a_cheap_remedy_comes_before_any_test_where_testing_costs_more() -> None:
    """The filter is cleaned in 3 minutes, looking at what else it could be means opening the machine."""
    made = pack(
        [
            cause("filter_clogged", 0.12, {"complaint": (0.02, 0.98)}, minutes=3.0, if_missed=60.0),
            cause(
                "duct_clogged",
                0.05,
                {"complaint": (0.02, 0.98), "duct_look": (0.02, 0.98)},
                remedy_need=Need.OPEN_DEAD,
                minutes=40.0,
            ),
        ],
        [
            told_by_the_customer(),
            observation("duct_look", need=Need.OPEN_DEAD, minutes=3.0, reliability=0.99),
        ],
    )
    course = Course(made, complaint())
    least = course.least()
    case = Case(made)
    case.record("complaint", "yes")
    first = case.next_steps(1)[0]
    assert (first.kind, first.target) == (StepKind.PUT_RIGHT, "filter_clogged")
    assert course.cost_of(EnginesCourse(made, complaint())) == pytest.approx(least, rel=0.02)

    def opens_first(moment: Moment) -> str:
        done = [name for name, _ in moment.steps]
        return next((name for name in ("duct_look", "filter_clogged") if name not in done), ENOUGH)

    assert course.cost_of(opens_first) > least + 5.0


def test_what_can_be_done_while_the_machine_is_open_comes_before_what_it_is_closed_for() -> None:
    made = pack(
        [
            cause(
                "belt",
                0.1,
                {"complaint": (0.02, 0.98), "belt_seen": (0.01, 0.99)},
                remedy_need=Need.OPEN_DEAD,
                minutes=20.0,
            ),
            cause(
                "load", 0.1, {"complaint": (0.1, 0.9), "load_seen": (0.02, 0.98)}, minutes=3.0, if_missed=40.0
            ),
        ],
        [
            told_by_the_customer(),
            observation("belt_seen", need=Need.OPEN_DEAD, minutes=1.0, reliability=0.99),
            observation("load_seen", need=Need.IN_USE, minutes=1.0, reliability=0.99),
        ],
    )
    case = Case(made)
    case.record("complaint", "yes")
    case.record("belt_seen", "yes")
    case.access = Access.OPEN_DEAD
    assert case.next_steps(1)[0].target == "belt"


@pytest.mark.slow
def test_the_instances_are_of_the_size_promised() -> None:
    """Eight causes and ten observations at the most, some of them behind the covers, some of them dear."""
    made = [small_pack(seed)[0] for seed in range(FIRST, FIRST + 500)]
    assert max(len(each.causes) for each in made) == 8
    assert max(len(each.observations) for each in made) == 10
    needs = {item.need for each in made for item in each.observations.values()}
    assert needs == set(Need)
