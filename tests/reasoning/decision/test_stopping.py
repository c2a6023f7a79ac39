"""Why a search is over, and that what can burn or shock is never left without being named."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from packs import cause, observation, pack, random_pack

from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Hazard, Need, Pack
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.constants import GRAVE_SETTLED
from faultfinder.reasoning.decision.step import Apart, StepKind, Why


def hose_or_fan(**fan: object) -> Pack:
    """Two faults behind one symptom, and a look at each."""
    return pack(
        [
            cause("hose", 0.05, {"weak": (0.02, 0.98), "hose_seen": (0.02, 0.98)}, part_costs=20.0),
            cause("fan", 0.05, {"weak": (0.02, 0.98), "fan_seen": (0.02, 0.98)}, part_costs=80.0),
        ],
        [
            observation("weak", need=Need.ANYWHERE),
            observation("hose_seen", minutes=2.0, reliability=0.99),
            replace(observation("fan_seen", minutes=2.0, reliability=0.99), **fan),
        ],
    )


def test_settled_names_what_was_found_and_how_surely() -> None:
    case = Case(hose_or_fan())
    case.record("weak", "yes")
    case.record("hose_seen", "yes")
    case.record("fan_seen", "no")
    case.put_right("hose")
    case.record("weak", "no")
    done = case.done
    assert done is not None
    assert (done.why, done.found, done.left) == (Why.SETTLED, ("hose",), ())
    assert done.sure == (case.found()["hose"],)
    assert str(done) == f"settled; found: hose ({case.found()['hose']:.0%})"


@pytest.mark.parametrize("barred", ["skipped", "no instrument", "out of reach"])
def test_not_decidable_names_which_cause_only_something_not_available_would_tell(barred: str) -> None:
    needs = {"need": Need.OPEN_DEAD} if barred == "out of reach" else {"instruments": ("mirror",)}
    case = Case(hose_or_fan(**needs))
    case.record("weak", "yes", kind="told")
    if barred == "skipped":
        case.skip("fan_seen", "cannot_here")
    elif barred == "no instrument":
        case.without("mirror")
    else:
        case.unreachable = frozenset({Need.OPEN_DEAD})
    case.record("hose_seen", "no")
    case.declined = frozenset({"fan", "hose"})
    done = case.done
    assert done is not None
    assert done.why is Why.NOT_DECIDABLE
    assert done.apart == (Apart("fan", ("fan_seen",)),)
    assert "only fan_seen would tell about fan" in str(done)


def test_nothing_worth_its_minutes_where_all_that_could_tell_was_asked() -> None:
    """The fan was looked at and looked whole, on a look that misses it often; nothing else could tell."""
    made = pack(
        [cause("fan", 0.3, {"weak": (0.02, 0.98), "fan_seen": (0.6, 0.4)}, part_costs=80.0, if_missed=60.0)],
        [
            observation("weak", need=Need.ANYWHERE, background=(0.7, 0.3)),
            observation("fan_seen", minutes=2.0),
        ],
    )
    case = Case(made)
    case.record("weak", "yes")
    case.record("fan_seen", "no")
    case.skip("fan_seen")
    done = case.done
    assert done is not None
    assert (done.why, done.left, done.apart) == (Why.NOTHING_WORTH, ("fan",), ())


def test_a_test_that_would_not_tell_is_no_reason_to_call_it_undecidable() -> None:
    """What was left out says next to nothing about the fan."""
    made = pack(
        [
            cause(
                "fan",
                0.3,
                {"weak": (0.02, 0.98), "fan_seen": (0.6, 0.4), "hum": (0.9, 0.1)},
                part_costs=80.0,
                if_missed=60.0,
            )
        ],
        [
            observation("weak", need=Need.ANYWHERE, background=(0.7, 0.3)),
            observation("fan_seen", minutes=2.0),
            observation("hum", background=(0.9, 0.1)),
        ],
    )
    case = Case(made)
    case.record("weak", "yes")
    case.record("fan_seen", "no")
    case.skip("hum")
    done = case.done
    assert done is not None
    assert done.why is Why.NOTHING_WORTH


def named(case: Case) -> set[str]:
    done = case.done
    assert done is not None
    return {*done.found, *done.left, *done.not_looked_at}


def grave_above_threshold(case: Case) -> set[str]:
    return {
        name
        for name, chance in case.confidence().items()
        if case.pack.causes[name].hazard.grave and chance > GRAVE_SETTLED
    }


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_no_grave_cause_above_its_threshold_is_left_without_being_named(seed: int) -> None:
    """Jobs on random packs with answers at random, some left out, some remedies declined, to their end."""
    random_ = random.Random(seed)
    made = random_pack(random_, causes=6, observations=8, takes=random_.choice((1.0, 0.8)))
    causes = {
        name: replace(item, hazard=random_.choice((Hazard.FIRE, Hazard.SHOCK, Hazard.NONE)))
        for name, item in made.causes.items()
    }
    case = Case(replace(made, causes=causes))
    for _ in range(60):
        steps = case.steps()
        if not steps:
            break
        step = steps[0]
        match step.kind:
            case StepKind.CHANGE_ACCESS:
                case.access = step.access
            case StepKind.ASK | StepKind.PROVE:
                item = case.pack.observations[step.target]
                if random_.random() < 0.3:
                    case.skip(item.id)
                else:
                    case.access = step.access
                    case.record(item.id, random_.choice(item.answers).id)
            case _:
                if random_.random() < 0.5:
                    case.declined = case.declined | {step.target}
                else:
                    case.put_right(step.target)
    assert grave_above_threshold(case) <= named(case)


def test_a_grave_cause_whose_remedy_may_not_have_taken_is_named() -> None:
    made = pack(
        [
            cause(
                "terminal",
                0.2,
                {"smell": (0.02, 0.98), "burnt": (0.01, 0.99)},
                hazard=Hazard.FIRE,
                takes=0.9,
                minutes=20.0,
                part_costs=10.0,
            )
        ],
        [observation("smell", need=Need.ANYWHERE), observation("burnt", reliability=0.99)],
    )
    case = Case(made)
    case.record("smell", "yes")
    case.record("burnt", "yes")
    case.put_right("terminal")
    case.skip("burnt")
    case.skip("smell")
    case.declined = frozenset({"terminal"})
    assert case.confidence()["terminal"] > GRAVE_SETTLED
    done = case.done
    assert done is not None
    assert "terminal" in {*done.left, *done.not_looked_at}


@pytest.fixture(scope="module")
def dryer() -> Pack:
    return load_pack("tumble_dryer")


@pytest.mark.slow
def test_on_the_shipped_pack_what_can_burn_is_named_when_the_machine_cannot_be_opened(dryer: Pack) -> None:
    case = Case(dryer, {"type": "vented"})
    case.record("takes_too_long", "yes")
    case.unreachable = frozenset({Need.OPEN_DEAD, Need.IN_USE})
    for _ in range(60):
        steps = case.steps()
        if not steps:
            break
        step = steps[0]
        if step.kind in (StepKind.ASK, StepKind.PROVE):
            if step.target in dryer.questions:
                case.skip(step.target)
            else:
                case.record(step.target, dryer.observations[step.target].healthy)
        elif step.kind is StepKind.CHANGE_ACCESS:
            case.access = step.access
        else:
            case.declined = case.declined | {step.target}
    assert grave_above_threshold(case)
    assert grave_above_threshold(case) <= named(case)
    done = case.done
    assert done is not None
    assert done.why is Why.NOT_DECIDABLE
    for each in done.apart:
        assert each.cause in done.left
        for name in each.by:
            assert not case.available(dryer.observations[name])


@pytest.mark.slow
def test_on_the_shipped_pack_a_settled_job_says_so(dryer: Pack) -> None:
    case = Case(dryer, {"type": "vented", "volts": 240})
    case.record("takes_too_long", "yes")
    case.record("outlet_airflow", "weak")
    case.record("hose_crushed_seen", "yes")
    case.put_right("vent_hose_crushed")
    for _ in range(80):
        steps = case.steps()
        if not steps:
            break
        step = steps[0]
        if step.kind in (StepKind.ASK, StepKind.PROVE):
            case.access = step.access
            if step.target in dryer.questions:
                case.record(step.target, _healthy_choice(dryer, step.target))
            else:
                case.record(step.target, dryer.observations[step.target].healthy)
        elif step.kind is StepKind.CHANGE_ACCESS:
            case.access = step.access
        else:
            case.put_right(step.target)
    done = case.done
    assert done is not None
    assert done.why is Why.SETTLED
    assert done.found[0] == "vent_hose_crushed"
    assert done.sure[0] > 0.9


def _healthy_choice(made: Pack, target: str) -> list[str]:
    """The choice of a question that sets nothing abnormal."""
    question = made.questions[target]
    for choice in question.choices:
        if all(made.observations[name].healthy == answer for name, answer in choice.sets.items()):
            return [choice.id]
    return ["none"]
