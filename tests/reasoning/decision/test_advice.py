"""Which step comes next: the complaint first, the way paid once, repairs proved, bringers settled."""

from __future__ import annotations

import random
from dataclasses import replace
from types import MappingProxyType

import pytest
from packs import cause, observation, pack, random_pack

from faultfinder.knowledge.model import Access, Choice, Hazard, Kind, Need, Question
from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.follow_ups import follow_ups, measured_first
from faultfinder.reasoning.decision.imagined import Imagined, Worlds
from faultfinder.reasoning.decision.rollout import Planner
from faultfinder.reasoning.decision.root_causes import unsettled_bringers
from faultfinder.reasoning.decision.scope import price_list, while_complaints_stand
from faultfinder.reasoning.decision.step import StepKind, Why
from faultfinder.reasoning.decision.test_selection import mendings, standing_of, with_looks
from faultfinder.reasoning.decision.world import Remedy


def blocked_and_cut_out() -> Case:
    made = pack(
        [
            cause("blocked", 0.1, {"weak": (0.1, 0.9)}, proof=["weak"], if_missed=90),
            cause(
                "cut_out",
                0.01,
                {"cold": (0.02, 0.98), "cut_out_ohms": (0.01, 0.99)},
                brought_on_by={"blocked": 0.3},
                remedy_need=Need.OPEN_DEAD,
                part_costs=60,
                proof=["cut_out_ohms"],
            ),
            cause(
                "element",
                0.06,
                {"cold": (0.02, 0.98), "element_ohms": (0.01, 0.99)},
                remedy_need=Need.OPEN_DEAD,
                part_costs=80,
                if_missed=150,
            ),
        ],
        [
            observation("cold", need=Need.ANYWHERE),
            observation("weak", need=Need.IN_USE, minutes=2),
            observation("cut_out_ohms", need=Need.OPEN_DEAD, minutes=2, reliability=0.99),
            observation("element_ohms", need=Need.OPEN_DEAD, minutes=3, reliability=0.99),
        ],
    )
    case = Case(made)
    case.record("cold", "yes")
    return case


def stopping(*, complaint: bool = True, rest: tuple[float, float] = (0.05, 0.95)) -> Case:
    """A machine that stops: a choked motor goes again after a rest; the filter is often full whatever is wrong."""
    told = replace(observation("stops", need=Need.ANYWHERE, kind=Kind.TOLD), symptom=True)
    after = observation("runs_after_rest", need=Need.ANYWHERE, kind=Kind.TOLD, only_if={"stops": ("yes",)})
    made = pack(
        [
            cause("motor", 0.05, {"stops": (0.1, 0.9), "runs_after_rest": rest, "fluff": (0.1, 0.9)}),
            cause("switch", 0.05, {"stops": (0.1, 0.9), "burnt": (0.1, 0.9)}),
            cause("filter", 0.4, {"stops": (0.9, 0.1), "full": (0.05, 0.95)}, if_missed=300),
        ],
        [
            told,
            after,
            observation("full"),
            observation("fluff", minutes=15),
            observation("burnt", minutes=15),
        ],
    )
    case = Case(made)
    case.record("stops", "yes", complaint=complaint)
    return case


def opened_by_the_complaint(case: Case) -> list[str]:
    imagined = Imagined(case)
    return [step.target for step in follow_ups(case, imagined, price_list(case))]


def test_what_is_asked_only_because_of_the_complaint_comes_first() -> None:
    case = stopping()
    assert opened_by_the_complaint(case) == ["runs_after_rest"]
    assert [step.target for step in case.steps()].count("runs_after_rest") == 1
    assert case.next_steps(1)[0].target == "runs_after_rest"
    case.record("runs_after_rest", "yes")
    assert opened_by_the_complaint(case) == []


def test_the_complaint_opens_nothing_that_tells_nothing_or_that_nobody_complained_of() -> None:
    assert opened_by_the_complaint(stopping(rest=(0.99, 0.01))) == []
    assert opened_by_the_complaint(stopping(complaint=False)) == []


def test_what_is_seen_at_the_machine_waits_for_its_turn() -> None:
    case = stopping()
    after = replace(case.pack.observations["runs_after_rest"], need=Need.IN_USE)
    seen = replace(case.pack, observations={**case.pack.observations, after.id: after})
    case = Case(seen)
    case.record("stops", "yes", complaint=True)
    assert opened_by_the_complaint(case) == []


def test_it_is_heard_out_once() -> None:
    case = stopping()
    case.skip("runs_after_rest")
    assert all(step.target != "runs_after_rest" for step in case.next_steps(9))


def measuring_first(*names: str) -> Case:
    """What stops is measured first by these, in this order."""
    made = stopping().pack
    stops = replace(made.observations["stops"], measure_first={"yes": names})
    case = Case(replace(made, observations={**made.observations, "stops": stops}))
    case.record("stops", "yes", complaint=True)
    return case


def test_what_the_rules_measure_first_comes_after_what_is_heard_out_whatever_the_plan_prices() -> None:
    case = measuring_first("burnt", "fluff")
    assert [step.target for step in case.steps()][:2] == ["runs_after_rest", "burnt"]
    assert [step.target for step in case.steps()].count("burnt") == 1
    case.record("burnt", "no")
    assert [step.target for step in measured_first(case)] == ["fluff"]
    case.record("fluff", "no")
    assert measured_first(case) == []


def test_nothing_more_is_measured_first_once_one_is_not_healthy_or_something_was_put_right() -> None:
    case = measuring_first("burnt", "fluff")
    case.record("burnt", "yes")
    assert measured_first(case) == []
    case = measuring_first("burnt", "fluff")
    case.put_right("filter")
    assert measured_first(case) == []


def test_what_cannot_be_measured_first_gives_way_to_the_next() -> None:
    case = measuring_first("burnt", "fluff")
    case.skip("burnt", "cannot_here")
    assert [step.target for step in measured_first(case)] == ["fluff"]
    case.skip("fluff", "cannot_here")
    assert measured_first(case) == []


def test_covers_come_off_once_for_all_that_is_measured_inside() -> None:
    case = blocked_and_cut_out()
    case.access = Access.ISOLATED
    case.record("weak", "no")
    steps = case.next_steps(4)
    assert [step.kind for step in steps[:3]] == [StepKind.CHANGE_ACCESS, StepKind.ASK, StepKind.ASK]
    assert steps[0].access is Access.OPEN_DEAD
    assert {step.target for step in steps[1:3]} == {"cut_out_ohms", "element_ohms"}


def test_what_was_put_right_is_proved_before_the_search_goes_on() -> None:
    case = blocked_and_cut_out()
    case.record("cut_out_ohms", "yes")
    case.put_right("cut_out")
    first = case.next_steps(1)[0]
    assert (first.kind, first.target) == (StepKind.PROVE, "cut_out_ohms")
    case.record("cut_out_ohms", "no")
    assert all(step.kind is not StepKind.PROVE for step in case.next_steps(5))


def test_all_that_was_found_inside_is_put_right_before_the_machine_is_closed_for_a_proof() -> None:
    """Two faults inside, the first of them proved only in use: the machine is opened once. What is proved where it
    stands open comes first; whoever puts the second off goes on to the proof."""
    made = pack(
        [
            cause(
                name,
                0.05,
                {"cold": (0.02, 0.98), f"{name}_ohms": (0.01, 0.99)},
                remedy_need=Need.OPEN_DEAD,
                proof=[f"{name}_ohms", *more],
                if_missed=120,
            )
            for name, more in (("first", ["runs"]), ("second", []))
        ],
        [
            observation("cold", need=Need.ANYWHERE),
            observation("runs", need=Need.IN_USE, minutes=2),
            observation("first_ohms", need=Need.OPEN_DEAD, reliability=0.99),
            observation("second_ohms", need=Need.OPEN_DEAD, reliability=0.99),
        ],
    )
    case = Case(made)
    case.access = Access.OPEN_DEAD
    for name in ("cold", "first_ohms", "second_ohms"):
        case.record(name, "yes")
    case.put_right("first")
    assert [step.target for step in case.next_steps(2)] == ["first_ohms", "runs"]
    case.record("first_ohms", "no")
    steps = case.next_steps(2)
    assert [(step.kind, step.target) for step in steps] == [
        (StepKind.PUT_RIGHT, "second"),
        (StepKind.PROVE, "runs"),
    ]
    case.declined = frozenset({"second"})
    assert [step.target for step in case.next_steps(1)] == ["runs"]
    case.declined = frozenset()
    case.access = Access.IN_USE
    assert [step.target for step in case.next_steps(1)] == ["runs"]


def test_what_was_found_and_would_spoil_a_proof_is_put_right_before_it() -> None:
    """A crushed hose and a thick filter both weaken the air: with one mended, the other is mended before the air is
    felt. What cannot spoil the proof does not hold it up, nor does what was put off."""
    made = pack(
        [
            cause("hose", 0.1, {"weak": (0.05, 0.95), "hose_look": (0.01, 0.99)}, proof=["weak"]),
            cause("filter", 0.1, {"weak": (0.05, 0.95), "filter_look": (0.01, 0.99)}, proof=["filter_look"]),
            cause("knob", 0.1, {"knob_look": (0.01, 0.99)}, proof=["knob_look"]),
        ],
        [
            observation("weak", need=Need.IN_USE, minutes=2),
            *(observation(f"{name}_look", reliability=0.99) for name in ("hose", "filter", "knob")),
        ],
    )
    case = Case(made)
    for name in ("weak", "hose_look", "filter_look", "knob_look"):
        case.record(name, "yes")
    case.put_right("hose")
    steps = case.next_steps(2)
    assert [(step.kind, step.target) for step in steps] == [
        (StepKind.PUT_RIGHT, "filter"),
        (StepKind.PROVE, "weak"),
    ]
    case.declined = frozenset({"filter"})
    assert [(step.kind, step.target) for step in case.next_steps(1)] == [(StepKind.PROVE, "weak")]


def test_what_shows_still_after_the_same_remedy_twice_is_not_put_right_a_third_time() -> None:
    made = pack(
        [cause("panel", 0.1, {"rattle_seen": (0.001, 0.999)}, proof=["rattle_seen"], takes=0.5)],
        [observation("rattle_seen", background=(0.999, 0.001), reliability=0.999)],
    )
    case = Case(made)
    case.record("rattle_seen", "yes")
    for times in range(3):
        proposed = [step.kind for step in case.next_steps(2)].count(StepKind.PUT_RIGHT)
        assert proposed == (times < 2), times
        case.put_right("panel")
        case.record("rattle_seen", "yes")


def test_what_may_have_brought_a_found_fault_on_is_asked_before_the_job_is_done() -> None:
    case = blocked_and_cut_out()
    case.record("cut_out_ohms", "yes")
    assert "blocked" in unsettled_bringers(case)
    case.put_right("cut_out")
    case.record("cut_out_ohms", "no")
    assert case.done is None
    assert {step.target for step in case.next_steps(5)} & {"weak", "blocked"}


def test_a_skipped_observation_is_not_offered_again_and_done_names_it() -> None:
    case = blocked_and_cut_out()
    for name in ("weak", "cut_out_ohms", "element_ohms"):
        case.skip(name, "cannot_here")
    assert all(step.kind is not StepKind.ASK for step in case.next_steps(9))


def test_a_missing_instrument_takes_its_tests_out() -> None:
    case = blocked_and_cut_out()
    case.without("multimeter")
    assert case.next_steps(3)


def test_access_out_of_reach_is_not_offered_and_what_needs_it_is_handed_over() -> None:
    case = blocked_and_cut_out()
    case.record("weak", "no")
    case.unreachable = frozenset({Need.OPEN_DEAD})
    handed = {step.target for step in case.next_steps(9) if step.kind is StepKind.HAND_OVER}
    done_here = {step.target for step in case.next_steps(9) if step.kind is not StepKind.HAND_OVER}
    assert done_here <= {"weak", "blocked", str(Access.IN_USE)}
    assert handed == {"element"}


def dust_that_nobody_told_of(how_common: float) -> Case:
    """A belt was put right outside and proved; nothing points at the dust inside."""
    made = pack(
        [
            cause(
                "dust",
                how_common,
                {"dust_seen": (0.02, 0.98)},
                hazard=Hazard.FIRE,
                remedy_need=Need.OPEN_DEAD,
            ),
            cause("belt", 0.05, {"still": (0.02, 0.98), "belt_seen": (0.01, 0.99)}),
        ],
        [
            observation("still", need=Need.ANYWHERE),
            observation("belt_seen", need=Need.COVERS_ON),
            observation("dust_seen", need=Need.OPEN_DEAD, minutes=2),
        ],
    )
    case = Case(made)
    case.record("still", "yes")
    case.record("belt_seen", "yes")
    case.put_right("belt")
    case.record("belt_seen", "no")
    case.record("still", "no")
    return case


def test_a_grave_cause_at_its_base_rate_opens_the_machine_only_where_that_pays_and_else_is_named() -> None:
    case = dust_that_nobody_told_of(0.04)
    assert case.next_steps(5) == []
    done = case.done
    assert done is not None
    assert done.why is Why.SETTLED
    assert done.not_looked_at == ("dust",)
    case = dust_that_nobody_told_of(0.2)
    assert [step.target for step in case.next_steps(5)] == [str(Access.OPEN_DEAD), "dust_seen"]


def test_what_is_put_right_behind_covers_is_measured_first_once_they_come_off_for_it() -> None:
    """Nothing pays for opening by itself, the remedy does: with the way paid by it, the measurement pays too."""
    made = pack(
        [
            cause(
                "element",
                0.3,
                {"cold": (0.02, 0.98), "ohms": (0.01, 0.99)},
                remedy_need=Need.OPEN_DEAD,
                part_costs=40,
                if_missed=300,
            ),
            cause("control", 0.05, {"cold": (0.02, 0.98)}, part_costs=60),
        ],
        [
            observation("cold", need=Need.ANYWHERE),
            observation("ohms", need=Need.OPEN_DEAD, minutes=2, reliability=0.99),
        ],
    )
    case = Case(made)
    case.record("cold", "yes")
    case.reassembled()
    case.access = Access.ISOLATED
    kinds = [(step.kind, step.target) for step in case.steps()]
    assert kinds.index((StepKind.ASK, "ohms")) < kinds.index((StepKind.PUT_RIGHT, "element"))


def over_a_blocked_hose() -> Case:
    made = pack(
        [
            cause("hose", 0.1, {"hose_seen": (0.01, 0.99)}, proof=["hose_seen"]),
            cause("flap", 0.1, {"flap_seen": (0.01, 0.99)}),
            replace(
                cause(
                    "cut_out",
                    0.005,
                    {"cold": (0.01, 0.99), "ohms": (0.005, 0.995)},
                    brought_on_by={"hose": 0.4, "flap": 0.4},
                    remedy_need=Need.OPEN_DEAD,
                    proof=["ohms", "warm"],
                ),
                returns=0.8,
            ),
        ],
        [
            observation("cold", need=Need.ANYWHERE),
            observation("hose_seen", reliability=0.99, background=(0.999, 0.001)),
            observation("flap_seen", minutes=2, reliability=0.99, background=(0.999, 0.001)),
            observation("ohms", need=Need.OPEN_DEAD),
            observation("warm", need=Need.IN_USE),
        ],
    )
    case = Case(made)
    case.record("cold", "yes")
    case.access = Access.OPEN_DEAD
    case.record("ohms", "yes")
    case.put_right("cut_out")
    case.record("ohms", "no")
    return case


def test_why_a_cut_out_opened_is_looked_for_before_the_machine_is_run_over_it() -> None:
    case = over_a_blocked_hose()
    first, second, third = case.steps()
    assert {first.target, second.target} == {"hose_seen", "flap_seen"} and third.target == "warm"
    case.access = Access.ISOLATED
    case.record("hose_seen", "yes")
    step = case.steps()[0]
    assert (step.kind, step.target) == (StepKind.PUT_RIGHT, "hose"), (
        "a reason that is known is put right first"
    )
    case.put_right("hose")
    case.record("hose_seen", "no")
    assert case.steps()[0].target == "warm"


def test_while_a_complaint_stands_what_would_explain_it_is_dearer_to_miss_and_to_guess() -> None:
    made = pack(
        [
            cause("slow_one", 0.003, {"slow": (0.1, 0.9), "look": (0.1, 0.9)}, if_missed=60),
            cause("part", 0.002, {"slow": (0.1, 0.9)}, if_missed=60, part_costs=30),
            cause("other", 0.01, {"smell": (0.1, 0.9)}, if_missed=60),
        ],
        [
            replace(observation("slow", need=Need.ANYWHERE), symptom=True),
            observation("look", minutes=4, background=(0.999, 0.001), reliability=0.999),
            observation("smell"),
        ],
    )
    case = Case(made)
    price = price_list(case)
    assert while_complaints_stand(case, price) == price, "nothing is complained of"
    case.record("slow", "yes", complaint=True)
    dearer = while_complaints_stand(case, price)
    assert dearer["slow_one"].missed == constants.STANDING * price["slow_one"].missed
    assert dearer["slow_one"].for_nothing == price["slow_one"].for_nothing
    second_visit = (constants.STANDING - 1.0) * 60
    assert dearer["part"].for_nothing == price["part"].for_nothing + second_visit
    assert dearer["other"] == price["other"]
    case.record("look", "yes")
    assert case.confidence()["slow_one"] > 0.5 > case.confidence()["part"]
    assert while_complaints_stand(case, price) == {**price, "slow_one": dearer["slow_one"]}, "it is explained"
    case.put_right("slow_one")
    assert while_complaints_stand(case, price) == price, "nobody has said yet whether it is gone"


def rivals_behind_a_complaint(common: float, minutes: float) -> Case:
    """A complaint that three causes explain, none likely enough to be put right, and looks that bear on none."""
    shows = {"slow": (0.1, 0.9)}
    names = ("one", "two", "three")
    rivals = [cause(name, common, shows, if_missed=60, minutes=minutes) for name in names]
    others = [cause(f"cause_{n}", 0.001, {f"look_{n}": (0.1, 0.9)}, if_missed=200) for n in range(6)]
    looks = [observation(f"look_{n}", minutes=3) for n in range(6)]
    slow = observation("slow", need=Need.ANYWHERE, background=(0.995, 0.005))
    case = Case(pack([*rivals, *others], [replace(slow, symptom=True), *looks]))
    case.record("slow", "yes", complaint=True)
    return case


@pytest.mark.parametrize(
    ("common", "minutes"), [(0.02, 62), (0.02, 90), (0.05, 60), (0.05, 100), (0.1, 70), (0.1, 100)]
)
def test_a_test_that_says_nothing_stands_for_no_remedy_that_is_not_proposed(
    common: float, minutes: float
) -> None:
    """One remedy after the other saves much; the looks before them save nothing."""
    case = rivals_behind_a_complaint(common, minutes)
    assert 0.3 < case.confidence()["one"] < 0.4
    assert not mendings(case, price_list(case))
    imagined = Imagined(case)
    worlds = Worlds(imagined, while_complaints_stand(case, price_list(case)))
    plan = Planner(worlds, imagined.count).choose(standing_of(case), set())
    assert plan.options and all(option.cost >= plan.stop for option in plan.options)
    assert not case.steps()


def test_a_remedy_that_is_not_proposed_is_no_first_move_and_takes_no_tests_place() -> None:
    names = [f"cheap_{number}" for number in range(6)]
    made = pack(
        [
            *(cause(name, 0.1, {"slow": (0.3, 0.7)}, if_missed=60) for name in names),
            cause("dear", 0.04, {"slow": (0.2, 0.8), "ohms": (0.1, 0.9)}, if_missed=300, part_costs=60),
        ],
        [
            replace(observation("slow", need=Need.ANYWHERE), symptom=True),
            observation("ohms", minutes=5, reliability=0.99),
        ],
    )
    case = Case(made)
    case.record("slow", "yes", complaint=True)
    imagined = Imagined(case)
    worlds = Worlds(imagined, while_complaints_stand(case, price_list(case)))
    for proposed in (set(names), {"cheap_3"}, set[str]()):
        options = Planner(worlds, imagined.count).choose(standing_of(case), proposed).options
        assert {option.move.cause for option in options if isinstance(option.move, Remedy)} <= proposed
        assert proposed == set(names) or "ohms" in {getattr(option.move, "target", "") for option in options}


def test_what_takes_a_moment_to_see_is_seen_before_it_is_put_right() -> None:
    def job(minutes: float) -> Case:
        made = pack(
            [cause("gentle", 0.3, {"cool": (0.02, 0.98), "dial": (0.02, 0.98)}, minutes=2)],
            [
                observation("cool", need=Need.ANYWHERE, kind=Kind.TOLD),
                observation("dial", minutes=minutes, background=(0.999, 0.001), reliability=0.999),
            ],
        )
        case = Case(made)
        case.record("cool", "yes")
        assert 0.5 < case.confidence()["gentle"]
        return case

    sure, quick, slow = job(1.0), job(1.0), job(9.0)
    assert (quick.steps()[0].kind, quick.steps()[0].target) == (StepKind.ASK, "dial")
    assert (slow.steps()[0].kind, slow.steps()[0].target) == (StepKind.PUT_RIGHT, "gentle")
    sure.record("dial", "yes")
    assert (sure.steps()[0].kind, sure.steps()[0].target) == (StepKind.PUT_RIGHT, "gentle")
    quick.record("dial", "no")
    assert all(step.kind is not StepKind.PUT_RIGHT for step in quick.steps())


def with_a_last_round() -> Case:
    """Two faults outside, the second hidden by the first and told by nobody; a round that shows both."""
    made = pack(
        [
            cause("dead_socket", 0.05, {"dead": (0.02, 0.98)}, if_missed=90),
            cause("worn", 0.02, {"slow": (0.01, 0.99)}, if_missed=60),
            cause("scorched", 0.004, {"smell": (0.01, 0.99)}, hazard=Hazard.FIRE, remedy_need=Need.OPEN_DEAD),
        ],
        [
            observation("dead", need=Need.ANYWHERE),
            observation("slow", need=Need.ANYWHERE),
            observation("smell", minutes=3, background=(0.9999, 0.0001), reliability=1.0),
        ],
    )
    choices = tuple(Choice(name, name, MappingProxyType({name: "yes"})) for name in ("dead", "slow"))
    asked = Question("all_told", Kind.TOLD, "What?", choices, True, Need.ANYWHERE, 2.0, last_round=True)
    # Once something was put right it is judged on the machine run again.
    asked = replace(asked, symptom=True)
    case = Case(replace(made, questions=MappingProxyType({"all_told": asked})))
    case.record("dead", "yes")
    return case


def answered(case: Case, **choices: str) -> None:
    for name in ("dead", "slow"):
        case.record(name, choices.get(name, "no"))


def test_the_last_round_is_made_before_a_job_is_done_and_again_once_something_was_put_right() -> None:
    case = with_a_last_round()
    case.access = Access.ISOLATED
    assert (step := case.steps()[0]).kind is StepKind.PUT_RIGHT and step.target == "dead_socket"
    case.put_right("dead_socket")
    step = case.steps()[0]
    assert (step.kind, step.target, step.access) == (StepKind.ASK, "all_told", Access.IN_USE)
    assert case.done is None
    answered(case, slow="yes")
    assert [(step.kind, step.target) for step in case.steps()] == [(StepKind.PUT_RIGHT, "worn")]
    case.put_right("worn")
    assert [step.target for step in case.steps()] == ["all_told"]
    answered(case)
    assert not case.steps()
    assert case.done is not None and case.done.why is Why.SETTLED


def test_no_machine_is_run_for_the_last_round_over_a_fault_that_burns() -> None:
    case = with_a_last_round()
    case.access = Access.ISOLATED
    case.put_right("dead_socket")
    case.record("smell", "yes")
    case.declined = frozenset({"scorched"})
    assert case.confidence()["scorched"] > 0.5
    assert all(step.target != "all_told" for step in case.steps())
    case.access = Access.IN_USE
    assert [step.target for step in case.steps()] == ["all_told"]


@pytest.mark.slow
def test_a_job_answered_as_its_steps_ask_always_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight random packs, every answer at random: a job is over within a bound, whatever is said."""
    monkeypatch.setattr(constants, "MACHINES", 256)
    for seed in range(8):
        random_ = random.Random(seed)
        case = Case(random_pack(random_, causes=6, observations=9))
        for _ in range(80):
            steps = case.next_steps(1)
            if not steps:
                break
            step = steps[0]
            match step.kind:
                case StepKind.CHANGE_ACCESS:
                    case.access = step.access
                case StepKind.ASK | StepKind.PROVE:
                    case.access = step.access
                    item = case.pack.observations[step.target]
                    case.record(item.id, random_.choice(item.answers).id)
                case _:
                    case.put_right(step.target)
        else:
            raise AssertionError(f"seed {seed}: no end after 80 steps")
        assert case.done is not None


def filter_or_fan(part_costs: float = 10.0) -> Case:
    """A filter that one quick look shows, and a fan behind the covers that only the complaint hints at."""
    made = pack(
        [
            cause("filter", 0.01, {"seen": (0.05, 0.95)}, part_costs=part_costs, minutes=5.0, if_missed=60.0),
            cause(
                "fan",
                0.1,
                {"weak": (0.1, 0.9), "fan_seen": (0.05, 0.95)},
                remedy_need=Need.OPEN_DEAD,
                part_costs=60.0,
                if_missed=120.0,
            ),
        ],
        [
            observation("weak", need=Need.ANYWHERE, kind=Kind.TOLD),
            observation("seen", reliability=0.98, background=(0.999, 0.001), minutes=1.0),
            observation("fan_seen", need=Need.OPEN_DEAD, reliability=0.98, background=(0.999, 0.001)),
        ],
    )
    case = Case(made)
    case.access = Access.ISOLATED
    return case


def test_what_was_seen_and_is_likelier_a_slip_than_the_fault_is_looked_at_once_more() -> None:
    case = filter_or_fan()
    case.record("seen", "yes")
    assert 0.2 < case.confidence()["filter"] < 0.5
    first = case.steps()[0]
    assert (first.kind, first.target) == (StepKind.ASK, "seen")
    again = case.fork()
    again.record("seen", "yes", again=True)
    assert again.steps()[0].kind is StepKind.PUT_RIGHT, "seen twice"
    case.record("seen", "no", again=True)
    assert "seen" not in [step.target for step in case.steps()], "and no third time"


def test_what_was_ticked_in_a_list_is_looked_at_by_itself_before_a_part_is_fitted() -> None:
    made = filter_or_fan().pack
    causes = {**made.causes, "filter": replace(made.causes["filter"], how_common=0.3)}
    choices = (
        Choice("dirty", "The filter is dirty", {"seen": "yes"}),
        Choice("broken", "The fan is broken", {"fan_seen": "yes"}),
    )
    round_ = Question("round", Kind.LOOK, "What?", choices, several=True, need=Need.ANYWHERE, minutes=1.0)
    case = Case(replace(made, causes=MappingProxyType(causes), questions={"round": round_}))
    case.access = Access.ISOLATED
    case.record("weak", "yes", complaint=True)
    by_itself = case.fork()
    by_itself.record("seen", "yes")
    case.record("round", ["dirty", "none"])
    assert case.latest("seen").ticked and not by_itself.latest("seen").ticked
    first, second = case.steps()[:2]
    assert (first.kind, first.target) == (StepKind.ASK, "seen")
    assert (second.kind, second.target) == (StepKind.PUT_RIGHT, "filter")
    case.record("seen", "yes", again=True)
    assert case.steps()[0].kind is StepKind.PUT_RIGHT


def test_a_part_is_measured_where_it_is_fitted_though_a_current_at_the_plug_makes_it_nearly_certain() -> None:
    for part_costs, first in ((60.0, StepKind.ASK), (0.0, StepKind.PUT_RIGHT)):
        shows = {"current": (0.01, 0.99), "ohms": (0.01, 0.99)}
        heater = cause(
            "heater", 0.3, shows, remedy_need=Need.OPEN_DEAD, part_costs=part_costs, if_missed=120.0
        )
        tests = [
            observation(
                name,
                kind=Kind.LOOK,
                need=need,
                reliability=0.998,
                background=(0.9999, 0.0001),
                minutes=minutes,
            )
            for name, need, minutes in (("current", Need.IN_USE, 3.0), ("ohms", Need.OPEN_DEAD, 4.0))
        ]
        case = Case(pack([heater], tests))
        case.access = Access.IN_USE
        case.record("current", "yes")
        assert case.confidence()["heater"] > 0.97
        case.access = Access.OPEN_DEAD
        step = case.steps()[0]
        assert step.kind is first and step.target in ("ohms", "heater"), part_costs


def test_a_part_known_from_hearsay_alone_is_looked_for_in_its_own_proofs_before_it_is_fitted() -> None:
    for proof in (("turn", "play"), ()):
        bearing = cause(
            "bearing",
            0.1,
            {"roar": (0.1, 0.9), "turn": (0.35, 0.65), "play": (0.35, 0.65)},
            remedy_need=Need.OPEN_DEAD,
            part_costs=60.0,
            minutes=180.0,
            if_missed=600.0,
            proof=proof,
        )
        told = observation(
            "roar", kind=Kind.TOLD, background=(0.9999, 0.0001), minutes=0.5, reliability=0.999
        )
        looks = [
            observation(name, kind=Kind.LOOK, need=Need.ISOLATED, background=(0.99, 0.01), minutes=2.0)
            for name in ("turn", "play")
        ]
        case = Case(pack([bearing], [told, *looks]))
        case.access = Access.OPEN_DEAD
        case.record("roar", "yes")
        assert case.confidence()["bearing"] > 0.85
        asked = []
        while case.steps() and (step := case.steps()[0]).kind is StepKind.ASK and len(asked) < 4:
            asked.append(step.target)
            case.record(step.target, "no")
        assert sorted(asked) == sorted(proof), asked


def test_what_was_ticked_as_told_is_asked_by_itself_before_a_machine_is_opened_for_it() -> None:
    made = filter_or_fan().pack
    weak = replace(made.observations["weak"], minutes=0.5)
    choices = (Choice("weak", "The air is weak", {"weak": "yes"}),)
    round_ = Question("round", Kind.TOLD, "What?", choices, several=True, need=Need.ANYWHERE, minutes=1.0)
    case = Case(
        replace(
            made,
            observations=MappingProxyType({**made.observations, "weak": weak}),
            questions={"round": round_},
        )
    )
    case.access = Access.ISOLATED
    told = case.fork()
    told.record("weak", "yes")
    assert "weak" not in [step.target for step in told.steps()], "said by itself it is believed as said"
    case.record("round", ["weak", "none"])
    first = case.steps()[0]
    assert (first.kind, first.target) == (StepKind.ASK, "weak")
    case.record("weak", "no", again=case.counts_beside(weak))
    assert case.confidence()["fan"] < 0.15
    assert all(step.access is not Access.OPEN_DEAD for step in case.steps())


def test_where_no_part_hangs_on_it_it_is_put_right_and_not_looked_at_again() -> None:
    case = filter_or_fan(part_costs=0.0)
    case.record("seen", "yes")
    assert case.steps()[0].kind is StepKind.PUT_RIGHT


def test_where_it_was_only_ticked_and_takes_long_to_put_right_it_is_looked_at_by_itself_if_that_pays() -> (
    None
):
    for minutes, looked_at in ((90.0, True), (3.0, False)):
        made = filter_or_fan(part_costs=0.0).pack
        long = replace(made.causes["filter"], minutes=minutes, how_common=0.03)
        choices = (Choice("dirty", "The filter is dirty", {"seen": "yes"}),)
        round_ = Question("round", Kind.LOOK, "?", choices, several=True, need=Need.ANYWHERE, minutes=1.0)
        causes = MappingProxyType({**made.causes, "filter": long})
        case = Case(replace(made, causes=causes, questions={"round": round_}))
        case.access = Access.ISOLATED
        case.record("round", ["dirty", "none"])
        assert case.confidence()["filter"] > 0.5
        assert (case.steps()[0].kind is StepKind.ASK) is looked_at


def test_what_is_found_where_one_stands_is_put_right_before_the_covers_come_off() -> None:
    made = filter_or_fan().pack
    causes = {**made.causes, "filter": replace(made.causes["filter"], how_common=0.3)}
    case = Case(replace(made, causes=MappingProxyType(causes)))
    case.access = Access.ISOLATED
    case.record("weak", "yes")
    case.record("seen", "yes")
    assert case.confidence()["filter"] > 0.9
    first, second = case.steps()[:2]
    assert first.target == "seen", "looked at once more, since a part hangs on it"
    assert (second.kind, second.target) == (StepKind.PUT_RIGHT, "filter")
    case.put_right("filter")
    assert "fan_seen" in [step.target for step in case.steps()]


def test_the_search_inside_goes_on_before_the_covers_go_back_on_for_a_proof() -> None:
    made = pack(
        [
            cause("wall", 0.2, {"gap": (0.01, 0.99)}, proof=["gap"]),
            cause(
                "motor",
                0.05,
                {"hum": (0.1, 0.9), "spin": (0.01, 0.99)},
                if_missed=300,
                part_costs=60,
                remedy_need=Need.OPEN_DEAD,
            ),
            cause("knob", 0.05, {"hum": (0.1, 0.9), "turn": (0.01, 0.99)}),
        ],
        [
            observation("gap", minutes=2),
            replace(observation("hum", need=Need.ANYWHERE), symptom=True),
            observation("turn", minutes=2),
            observation("spin", need=Need.OPEN_DEAD, minutes=3),
        ],
    )
    case = Case(made)
    case.access = Access.OPEN_DEAD
    case.record("hum", "yes", complaint=True)
    case.put_right("wall")
    targets = [step.target for step in case.steps()]
    assert targets[0] == "spin" and "gap" in targets, "it would have to be opened once more"
    case.record("spin", "no")
    assert case.steps()[0].target == "gap", "nothing else pays inside"
    explained = Case(made)
    explained.access = Access.OPEN_DEAD
    explained.record("hum", "yes", complaint=True)
    explained.record("gap", "yes")
    explained.put_right("knob")
    explained.put_right("wall")
    assert explained.steps()[0].target == "gap", "it may be gone: that is looked at first"


def test_nothing_unlikely_is_put_right_inside_while_a_test_with_the_covers_on_saves_much() -> None:
    made = pack(
        [
            cause(
                "dusty",
                0.1,
                {"dust": (0.01, 0.99), "hot": (0.5, 0.5)},
                if_missed=600,
                remedy_need=Need.OPEN_DEAD,
                minutes=5,
            ),
            cause("blocked", 0.2, {"hot": (0.1, 0.9), "air": (0.02, 0.98)}, if_missed=300, minutes=120),
        ],
        [
            observation("hot"),
            observation("air", minutes=2),
            observation("dust", need=Need.OPEN_DEAD, minutes=2),
        ],
    )
    case = Case(made)
    case.record("hot", "yes")
    imagined = Imagined(case)
    planner = Planner(Worlds(imagined, price_list(case)), imagined.count)
    assert case.confidence()["dusty"] < constants.FOUND
    moves = [option.move for option in planner.choose(standing_of(case)).options]
    assert not any(isinstance(move, Remedy) and move.cause == "dusty" for move in moves)
    assert case.steps()[0].target == "air"


def test_what_was_heard_and_is_less_likely_than_not_is_looked_at_before_it_is_put_right() -> None:
    made = pack(
        [cause("object", 0.05, {"noise": (0.05, 0.95), "duct": (0.01, 0.99)}, minutes=40, if_missed=400)],
        [
            observation("noise", kind=Kind.SOUND, background=(0.92, 0.08), reliability=0.99),
            observation("duct", minutes=6, background=(0.999, 0.001)),
        ],
    )
    case = Case(made)
    case.record("noise", "yes")
    assert 0.2 < case.confidence()["object"] < constants.FOUND
    price = price_list(case)
    mend = mendings(case, price)
    assert [step.target for step in mend] == ["object"]
    imagined = Imagined(case)
    assert [step.target for step in with_looks(case, imagined, mend, price)] == ["duct"]


def test_a_test_that_decides_nothing_is_no_first_move_where_another_pays_by_itself() -> None:
    idle = [f"idle_{number}" for number in range(6)]
    shows = {"good": (0.02, 0.98), **dict.fromkeys(idle, (0.95, 0.05))}
    made = pack(
        [cause("fault", 0.2, shows, if_missed=300, minutes=60)],
        [
            observation("good", minutes=3, reliability=0.99),
            *(observation(name, minutes=0.5, background=(0.95, 0.05)) for name in idle),
        ],
    )
    case = Case(made)
    imagined = Imagined(case)
    options = Planner(Worlds(imagined, price_list(case)), imagined.count).choose(standing_of(case)).options
    assert [getattr(each.move, "target", "fault") for each in options if each.move[0] in idle] == []
    assert any(each.move[0] == "good" for each in options)


def behind_covers(missed: float = 400.0) -> Case:
    """Two faults inside that hum alike; a reading inside tells them apart, one outside half so well, and a question
    about something else is worth nothing."""
    made = pack(
        [
            cause(
                "capacitor",
                0.1,
                {"hums": (0.05, 0.95), "farads": (0.01, 0.99), "amps": (0.3, 0.7)},
                remedy_need=Need.OPEN_DEAD,
                part_costs=30,
                if_missed=missed,
            ),
            cause(
                "bearing",
                0.1,
                {"hums": (0.05, 0.95), "spun": (0.01, 0.99)},
                remedy_need=Need.OPEN_DEAD,
                part_costs=200,
                if_missed=missed,
            ),
            cause("filter", 0.1, {"hot": (0.5, 0.5)}, if_missed=5.0),
        ],
        [
            observation("hums", need=Need.ANYWHERE, kind=Kind.TOLD),
            observation("farads", need=Need.OPEN_DEAD, minutes=4, reliability=0.99),
            observation("spun", need=Need.OPEN_DEAD, minutes=3, reliability=0.99),
            observation("amps", need=Need.IN_USE, minutes=3, reliability=0.99),
            observation("hot", need=Need.ANYWHERE, minutes=0.5, kind=Kind.TOLD),
        ],
    )
    case = Case(made)
    case.record("hums", "yes")
    return case


@pytest.mark.parametrize("access", [Access.AS_FOUND, Access.IN_USE, Access.OPEN_DEAD])
def test_where_one_side_of_the_covers_comes_first_what_is_worth_nothing_stands_for_no_test(
    access: Access,
) -> None:
    """A question that changes nothing, followed by the best test behind the covers, looked as good as that test."""
    case = behind_covers()
    case.access = access
    worlds = Worlds(Imagined(case), price_list(case))
    planner = Planner(worlds, constants.MACHINES)
    standing = standing_of(case)
    alone = {
        each.look.target: each.gain
        for each in planner.weigh(planner.here(standing), worlds(frozenset()).looks)[0]
    }
    options = [option.move for option in planner.choose(standing).options]
    looks = [move.target for move in options if not isinstance(move, Remedy)]
    assert looks and all(alone[target] > 0.0 for target in looks), (looks, alone)
    assert "hot" not in looks


def test_an_open_machine_is_searched_on_after_a_guess_and_proved_after_a_find() -> None:
    """A panel screwed tight at one chance in four explains no hum: what is inside is measured before it is closed."""
    for likely, inside in ((0.02, True), (0.9, False)):
        made = pack(
            [
                cause("panel", likely, {"hums": (0.05, 0.95)}, remedy_need=Need.OPEN_DEAD, proof=["hums"]),
                cause(
                    "capacitor",
                    0.1,
                    {"hums": (0.05, 0.95), "farads": (0.01, 0.99)},
                    remedy_need=Need.OPEN_DEAD,
                    if_missed=400,
                ),
            ],
            [
                observation("hums", need=Need.IN_USE),
                observation("farads", need=Need.OPEN_DEAD, minutes=4, reliability=0.99),
            ],
        )
        case = Case(made)
        case.record("hums", "yes")
        case.access = Access.OPEN_DEAD
        case.put_right("panel")
        first = case.steps()[0]
        assert (first.target == "farads") == inside, (likely, first)
