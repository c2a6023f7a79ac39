"""Each of the chosen numbers of decision/ does what it says: with half of it, or half as much again, a test fails."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest
from engine_networks import soft, two_level
from packs import cause, observation, pack, random_pack

from faultfinder.knowledge.model import Hazard, Kind, Need
from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.expected_loss import Price, price_of
from faultfinder.reasoning.decision.imagined import Imagined, Worlds
from faultfinder.reasoning.decision.rollout import Planner
from faultfinder.reasoning.decision.root_causes import unsettled_bringers
from faultfinder.reasoning.decision.scope import concerned, price_list, raised, while_complaints_stand
from faultfinder.reasoning.decision.step import StepKind
from faultfinder.reasoning.decision.test_selection import standing_of
from faultfinder.reasoning.decision.world import Look, Loss, Situation, World
from faultfinder.reasoning.inference.mixture import Mixture
from faultfinder.reasoning.inference.unrolling import Built


def worlds(case: Case) -> Worlds:
    return Worlds(Imagined(case), price_list(case))


def test_the_planner_s_machines_are_free_of_what_a_remedy_also_mends() -> None:
    made = pack(
        [
            cause("motor", 0.3, {"hums": (0.1, 0.9)}, also_mends=["dust"]),
            cause("dust", 0.4, {"seen": (0.05, 0.95)}),
        ],
        [observation("hums"), observation("seen")],
    )
    imagined = worlds(Case(made)).imagined
    before, after = imagined.cells("seen"), imagined.cells("seen", frozenset({"motor"}))
    assert imagined.present(frozenset({"motor"}))["dust"] == 0
    assert after[1].bit_count() < 0.2 * before[1].bit_count()


def many_tests() -> Case:
    case = Case(random_pack(random.Random(3), causes=12, observations=24))
    case.record("o0", "a1")
    return case


@pytest.fixture(scope="module")
def planned() -> tuple[Planner, Worlds, int]:
    """A planner that has chosen among many tests, its worlds, and how many first moves it followed to the end."""
    case = many_tests()
    made = worlds(case)
    planner = Planner(made, constants.MACHINES)
    plan = planner.choose(standing_of(case))
    return planner, made, len(plan.options)


def test_a_plan_is_made_on_so_many_machines_that_a_chance_of_one_in_a_hundred_is_known_to_a_tenth() -> None:
    """The standard error of a counted chance p is sqrt(p (1 - p) / N)."""
    p = 0.01
    assert 0.10 < (p * (1.0 - p) / constants.MACHINES) ** 0.5 / p < 0.12


def test_first_moves_tests_and_situations_are_as_many_as_the_table_says(
    planned: tuple[Planner, Worlds, int],
) -> None:
    planner, made, options = planned
    assert options == 3, "half of the 6 candidates"
    assert len(made.followed) == 12
    assert max(len(mended) for mended in made._made) == 2, "remedies one after another"
    assert 135 < planner.nodes <= 180, "many tests take all the situations that there are to weigh"


@pytest.mark.parametrize(("machines", "weighed"), [(26, 0), (40, 1)])
def test_a_branch_of_few_machines_is_followed_no_further(machines: int, weighed: int) -> None:
    case = many_tests()
    made = worlds(case)
    planner = Planner(made, constants.MACHINES)
    planner.choose(standing_of(case))
    before, few = planner.nodes, (1 << machines) - 1
    planner._most = before + 1
    live = tuple(range(len(price_list(case))))
    planner._onward(Situation(few, few, standing_of(case), live=live))
    assert planner.nodes == before + weighed


def test_what_can_burn_or_shock_is_five_times_as_dear_to_miss() -> None:
    assert price_of(cause("belt", 0.1, {}, if_missed=60)).missed == 60
    assert price_of(cause("lead", 0.1, {}, if_missed=60, hazard=Hazard.SHOCK)).missed == 300


def test_no_part_is_fitted_that_is_less_likely_than_not() -> None:
    part = price_of(cause("heater", 0.1, {}, part_costs=40.0, minutes=10.0, if_missed=900.0))
    assert not part.pays(0.45) and part.pays(0.55), "however much it costs to leave it"
    assert part.for_nothing == 950.0, "the work, the part, and the second visit"
    assert price_of(cause("filter", 0.1, {}, minutes=3.0, if_missed=60.0)).pays(0.2)


def test_what_gains_less_than_the_words_take_is_not_proposed() -> None:
    assert not Price(100.0, 0.0).pays(0.004)
    assert Price(100.0, 0.0).pays(0.006)


def complained(background: float, how_common: float = 0.05) -> Case:
    """A symptom that one cause shows in, and a cause that it has nothing to do with."""
    made = pack(
        [
            cause("slow_one", how_common, {"slow": (0.1, 0.9)}),
            cause("other", 0.05, {"smell": (0.1, 0.9)}),
        ],
        [
            replace(
                observation(
                    "slow", background=(1.0 - background, background), need=Need.ANYWHERE, kind=Kind.TOLD
                ),
                symptom=True,
            ),
            observation("smell"),
        ],
    )
    case = Case(made)
    case.record("slow", "yes", complaint=True)
    return case


def test_a_complaint_that_stands_counts_threefold() -> None:
    case = complained(0.04, 0.01)
    price = price_list(case)
    assert case.confidence()["slow_one"] < 0.5
    assert while_complaints_stand(case, price)["slow_one"].missed == 3.0 * price["slow_one"].missed


def times(case: Case) -> float:
    return case.confidence()["slow_one"] / case.prior()["slow_one"]


def test_a_cause_is_raised_by_the_answers_from_twice_its_chance() -> None:
    clearly, a_little = complained(0.25), complained(0.6)
    assert 2.0 < times(clearly) < 3.0 and 1.0 < times(a_little) < 2.0
    assert "slow_one" in raised(clearly) and "slow_one" not in raised(a_little)


def test_steps_are_chosen_for_what_is_a_little_likelier_than_it_was() -> None:
    a_little = complained(0.7)
    assert 1.1 < times(a_little) < 1.65
    assert concerned(a_little) == {"slow_one"}, "what stands where it stood is none of the job's business"


@pytest.mark.parametrize(("chance", "named"), [(0.02, False), (0.035, True)])
def test_what_is_less_likely_than_one_in_twenty_is_not_named_as_left(chance: float, named: bool) -> None:
    made = pack(
        [cause("fan", chance / 2.0, {"weak": (0.02, 0.98)}, part_costs=80.0, if_missed=600.0)],
        [observation("weak", need=Need.ANYWHERE, background=(0.75, 0.25), reliability=1.0)],
    )
    case = Case(made)
    case.record("weak", "yes")
    p = case.confidence()["fan"]
    assert (p > 0.05) == named and 0.025 < p < 0.075
    done = case.done
    assert done is not None and (done.left == ("fan",)) == named


@pytest.mark.parametrize(("chance", "named"), [(0.013, False), (0.027, True)])
def test_a_grave_cause_is_named_from_one_in_fifty(chance: float, named: bool) -> None:
    made = pack(
        [
            cause(
                "lead",
                chance,
                {},
                hazard=Hazard.SHOCK,
                part_costs=900.0,
                if_missed=10.0,
                remedy_need=Need.OPEN_DEAD,
            )
        ],
        [observation("weak", need=Need.ANYWHERE)],
    )
    case = Case(made)
    case.record("weak", "no")
    done = case.done
    assert done is not None and (done.not_looked_at == ("lead",)) == named


@pytest.mark.parametrize(("chance", "settled"), [(0.08, True), (0.13, False)])
def test_what_brought_a_fault_on_is_settled_below_one_in_ten(chance: float, settled: bool) -> None:
    made = pack(
        [
            cause("hose", chance, {}),
            cause("cut_out", 0.3, {"ohms": (0.0, 1.0)}, brought_on_by={"hose": 1e-6}),
        ],
        [observation("ohms", background=(1.0, 0.0), reliability=1.0)],
    )
    case = Case(made)
    case.record("ohms", "yes")
    assert case.confidence()["cut_out"] > 0.99
    assert bool(unsettled_bringers(case)) != settled


@pytest.mark.parametrize(("missed", "stays_on"), [(45.0, False), (75.0, True)])
def test_the_covers_stay_on_while_a_test_outside_saves_five_minutes(missed: float, stays_on: bool) -> None:
    made = pack(
        [
            cause("hose", 0.1, {"hose_seen": (0.0, 1.0)}, minutes=90.0, part_costs=0.0, if_missed=missed),
            cause(
                "belt",
                0.4,
                {"belt_seen": (0.0, 1.0)},
                remedy_need=Need.OPEN_DEAD,
                part_costs=300.0,
                if_missed=900.0,
            ),
        ],
        [
            observation("hose_seen", background=(1.0, 0.0), reliability=1.0, minutes=1.0),
            observation("belt_seen", background=(1.0, 0.0), reliability=1.0, need=Need.OPEN_DEAD),
        ],
    )
    case = Case(made)
    plan = Planner(worlds(case), constants.MACHINES).choose(standing_of(case))
    first = [option.move.target for option in plan.options if hasattr(option.move, "target")]
    assert ("belt_seen" not in first) == stays_on


@pytest.mark.slow
@pytest.mark.parametrize(("seed", "exact"), [(3, True), (1, False)])
def test_a_run_is_exact_up_to_sixteen_thousand_entries(seed: int, exact: bool) -> None:
    """One network that takes between 8,000 and 16,000, and one that takes between 16,000 and 24,000."""
    rng = random.Random(seed)
    network = two_level(rng, 40, 30, (4, 8))
    answers = tuple((j, soft(rng, 2), True) for j in range(18))
    built = Built(network, answers, {}, {}, {}, {}, {})
    assert Mixture(built, (), rates={0.0: 1.0}).exact == exact


def test_before_anything_is_said_four_or_five_answers_in_a_thousand_are_expected_to_be_wrong() -> None:
    """0.05 x 0.03 + 0.03 x 0.10; answers that agree lower it, see test_mixture.py."""
    made = pack([cause("only", 0.1, {"a": (0.1, 0.9)})], [observation("a")])
    assert 0.0040 < Case(made).error_rate < 0.0050
    assert max(constants.ERROR_RATES) == pytest.approx(0.1, rel=0.4)


def by_hand(*looks: tuple[int, ...]) -> Planner:
    """A planner on machines of which every second one has a fault, for these tests: the answers' numbers of machines,
    the first answer's from the first machine on."""
    count = constants.MACHINES
    half = (1 << count // 2) - 1
    made = []
    for number, sizes in enumerate(looks):
        cells, at = [], 0
        for size in sizes:
            cells.append(((1 << size) - 1) << at)
            at += size
        made.append(Look(f"look{number}", tuple(cells), 1.0, Need.ANYWHERE, frozenset({0})))
    loss = Loss("fault", half, 0.5, 100.0, 100.0, 0.0, False)
    world = World((loss,), tuple(made), (), 0)

    class One:
        followed = frozenset[str]()

        def __call__(self, mended: frozenset[str]) -> World:
            return world

    return Planner(One(), count)


def test_answers_of_four_machines_in_eight_thousand_are_weighed_together() -> None:
    rest = constants.MACHINES - 3 - 3 - 6 - 1000
    planner = by_hand((3, 3, 6, 1000, rest))
    full = (1 << constants.MACHINES) - 1
    (found,), _ = planner.weigh(
        Situation(full, full, standing_of(many_tests()), live=(0,)), planner.worlds(frozenset()).looks
    )
    assert sorted(part.bit_count() for part in found.parts) == [6, 6, 1000, rest], "three and three together"


def test_the_test_made_next_gains_half_of_the_most_at_least() -> None:
    """Of three tests the one that saves most takes long, another saves 0.7 of it in a quarter of the time, the third
    0.3 of it in no time."""
    half = constants.MACHINES // 2
    planner = by_hand(
        (half, half),
        (int(0.6 * half), 2 * half - int(0.6 * half)),
        (int(0.35 * half), 2 * half - int(0.35 * half)),
    )
    world = planner.worlds(frozenset())
    minutes = (8.0, 1.0, 0.1)
    looks = tuple(look._replace(minutes=each) for look, each in zip(world.looks, minutes, strict=True))
    planner.worlds = worlds_of(World(world.losses, looks, (), 0), {look.target for look in looks})
    full = (1 << constants.MACHINES) - 1
    at = Situation(full, full, standing_of(many_tests()), live=(0,))
    found, _ = planner.weigh(at, looks)
    gains = [each.gain / max(each.gain for each in found) for each in found]
    assert 0.25 < gains[2] < 0.5 < gains[1] < 1.0 == gains[0], gains
    assert found[2].rate > found[1].rate > found[0].rate
    asked: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Planner, "_asked", lambda self, at, look: asked.append(look.target) or 0.0)
        planner._most = 100
        planner._onward(at)
    assert asked == ["look1"]


def worlds_of(world: World, followed: set[str]) -> Any:
    """The same world whatever was put right."""

    class One:
        def __init__(self) -> None:
            self.followed = frozenset(followed)

        def __call__(self, mended: frozenset[str]) -> World:
            return world

    return One()


@pytest.mark.parametrize(("strength", "first"), [(0.92, StepKind.ASK), (0.75, StepKind.PUT_RIGHT)])
def test_what_can_halve_a_chance_is_looked_at_before_the_remedy(strength: float, first: StepKind) -> None:
    made = pack(
        [cause("gentle", 0.3, {"cool": (0.02, 0.98), "dial": (1.0 - strength, strength)}, minutes=2)],
        [
            observation("cool", need=Need.ANYWHERE, kind=Kind.TOLD),
            observation("dial", background=(0.999, 0.001), reliability=0.999),
        ],
    )
    case = Case(made)
    case.record("cool", "yes")
    now = case.confidence()["gentle"]
    after = case.outlook(["dial"])["dial"]["no"][1]["gentle"]
    assert 0.25 < after / now < 0.5 or 0.5 < after / now < 1.0
    assert case.steps()[0].kind is first


@pytest.mark.parametrize(("missed", "weighed"), [(2.0, False), (4.0, True)])
def test_what_costs_three_seconds_in_the_mean_to_leave_is_not_thought_of(
    missed: float, weighed: bool
) -> None:
    made = pack(
        [
            cause("slight", 0.02, {"seen": (0.0, 1.0)}, if_missed=missed, minutes=0.1),
            cause("other", 0.1, {"seen": (0.0, 1.0)}),
        ],
        [observation("seen", need=Need.ANYWHERE)],
    )
    case = Case(made)
    planner = Planner(worlds(case), constants.MACHINES)
    full = (1 << constants.MACHINES) - 1
    looks = planner.worlds(frozenset()).looks
    _, live = planner.weigh(Situation(full, full, standing_of(case), live=(0, 1)), looks)
    assert (0 in live) == weighed


@pytest.mark.parametrize(("chance", "parts"), [(0.011, 3), (0.02, 4)])
def test_an_answer_of_one_in_sixty_is_told_apart_further(chance: float, parts: int) -> None:
    made = pack(
        [cause("one", 0.05, {"a": (0.5, 0.5)})],
        [
            observation("a", background=(1.0 - chance, chance), reliability=1.0),
            observation("b", background=(0.5, 0.5), reliability=1.0),
        ],
    )
    case = Case(replace(made, causes={"one": replace(made.causes["one"], shows={})}))
    imagined = Imagined(case)
    together = Worlds(imagined, {})._all_of([imagined.cells("a"), imagined.cells("b")])
    assert len(together) == parts
