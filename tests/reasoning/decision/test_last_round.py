"""What is looked at before every closing: once in a job, inside while open, the plug-out tests left to the return
tests where the machine was opened."""

from __future__ import annotations

import random
from dataclasses import replace
from types import MappingProxyType

import pytest
from packs import cause, observation, pack, random_pack

from faultfinder.knowledge.model import Access, Band, Kind, Need, Pack, ReadingSpec
from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.last_round import closing_readings, unproved
from faultfinder.reasoning.decision.step import Stage, StepKind

RARE = (0.9999, 0.0001)
EARTH = ReadingSpec("resistance", "ohm", (), (Band("0", "0.2"), Band("0.2", "OL")))


def looked_at(made: Pack, *always: str) -> Pack:
    """The pack with these observations in its last round."""
    items = {
        name: replace(item, last_round=True) if name in always else item
        for name, item in made.observations.items()
    }
    return replace(made, observations=MappingProxyType(items))


def machine(*always: str) -> Case:
    """Two faults that bring people to call, and rare ones that nothing of that points at: each shows in one look."""
    made = pack(
        [
            cause("plug", 0.05, {"dead": (0.02, 0.98)}),
            cause("motor", 0.05, {"hums": (0.02, 0.98)}, remedy_need=Need.OPEN_DEAD, proof=["runs"]),
            cause("grille", 0.0001, {"grille_look": (0.01, 0.99)}),
            cause("fluff", 0.0001, {"inside_look": (0.01, 0.99)}, remedy_need=Need.OPEN_DEAD),
            cause("earth", 0.0001, {"earth_ohms": (0.01, 0.99)}),
        ],
        [
            observation("dead", need=Need.ANYWHERE),
            observation("hums", need=Need.ANYWHERE),
            observation("runs", need=Need.IN_USE, background=RARE),
            observation("grille_look", reliability=0.99, background=RARE),
            observation("inside_look", need=Need.OPEN_DEAD, reliability=0.99, background=RARE),
            replace(
                observation("earth_ohms", need=Need.ISOLATED, kind=Kind.READING, background=RARE),
                reading=EARTH,
            ),
        ],
    )
    case = Case(looked_at(made, *always))
    case.access = Access.ISOLATED
    return case


def targets(case: Case) -> list[str]:
    return [step.target for step in case.steps() if step.stage is Stage.LAST_ROUND]


def test_what_is_always_looked_at_comes_before_a_job_is_done_and_once() -> None:
    case = machine("grille_look", "earth_ohms")
    case.record("dead", "yes")
    assert case.steps()[0].target == "plug" and not targets(case)
    case.put_right("plug")
    case.record("dead", "no")
    assert set(targets(case)) == {"grille_look", "earth_ohms"}
    case.record("earth_ohms", 0.08)
    case.record("grille_look", "no")
    case.record("hums", "no")
    assert not case.steps() and case.done is not None


def test_what_is_not_in_the_last_round_is_left_alone_at_its_base_rate() -> None:
    case = machine()
    case.record("dead", "no")
    case.record("hums", "no")
    assert not case.steps()


def test_what_it_shows_is_put_right_like_any_other_fault() -> None:
    made = machine("earth_ohms").pack
    earth = replace(made.causes["earth"], how_common=0.02)
    case = Case(replace(made, causes=MappingProxyType({**made.causes, "earth": earth})))
    case.access = Access.ISOLATED
    case.record("dead", "no")
    assert targets(case) == ["earth_ohms"]
    case.record("earth_ohms", 4.0)
    assert (case.steps()[0].kind, case.steps()[0].target) == (StepKind.PUT_RIGHT, "earth")


def test_inside_is_looked_at_only_while_it_stands_open_and_before_the_machine_is_closed_to_prove() -> None:
    case = machine("inside_look")
    case.record("dead", "no")
    assert not targets(case), "nobody opens a machine for it"
    case.record("hums", "yes")
    case.access = Access.OPEN_DEAD
    assert case.steps()[0].target == "motor"
    case.put_right("motor")
    first, second = case.steps()[:2]
    assert (first.target, first.stage) == ("inside_look", Stage.LAST_ROUND)
    assert (second.kind, second.target) == (StepKind.PROVE, "runs")
    case.record("inside_look", "no")
    assert case.steps()[0].target == "runs"
    case.access = Access.IN_USE
    case.record("runs", "no")
    assert not targets(case)


def test_a_machine_that_was_opened_for_nothing_is_looked_round_in_too() -> None:
    case = machine("inside_look")
    case.record("dead", "no")
    case.record("hums", "no")
    case.access = Access.OPEN_DEAD
    assert targets(case) == ["inside_look"]


def test_what_is_measured_with_the_plug_out_is_left_to_the_return_tests_of_an_opened_machine() -> None:
    case = machine("earth_ohms", "grille_look")
    case.record("dead", "no")
    assert set(targets(case)) == {"earth_ohms", "grille_look"}
    case.reassembled()
    case.access = Access.ISOLATED
    assert targets(case) == ["grille_look"]


def seen_inside(*, fluff: float = 0.0001, tests: tuple[str, ...] = ()) -> Case:
    """The motor is put right inside, and fluff was seen there that stands against 'fit for use'."""
    made = machine("inside_look").pack
    look = replace(made.observations["inside_look"], unsafe=MappingProxyType({"yes": tests}))
    rare = replace(made.causes["fluff"], how_common=fluff)
    case = Case(
        replace(
            made,
            observations=MappingProxyType({**made.observations, "inside_look": look}),
            causes=MappingProxyType({**made.causes, "fluff": rare}),
        )
    )
    case.record("dead", "no")
    case.record("hums", "yes")
    case.access = Access.OPEN_DEAD
    case.put_right("motor")
    case.record("inside_look", "yes")
    return case


def test_what_stands_against_use_and_is_likelier_a_slip_is_looked_at_again_while_it_is_open() -> None:
    case = seen_inside()
    assert case.confidence()["fluff"] < 0.5
    first, second = case.steps()[:2]
    assert (first.target, second.target) == ("inside_look", "runs")
    case.record("inside_look", "no", again=True)
    assert case.steps()[0].target == "runs"
    twice = seen_inside()
    twice.record("inside_look", "yes", again=True)
    assert "inside_look" not in targets(twice), "no third time"
    shut = seen_inside()
    shut.access = Access.ISOLATED
    assert "inside_look" not in targets(shut), "nobody opens it again for that alone before the end"


def test_what_is_measured_first_before_that_clears_anything_comes_first() -> None:
    case = seen_inside(tests=("earth_ohms",))
    assert [step.target for step in case.steps()][:2] == ["earth_ohms", "inside_look"]
    case.record("earth_ohms", 0.08)
    assert case.steps()[0].target == "inside_look"


def test_what_is_likelier_there_than_not_is_put_right_and_proved_instead() -> None:
    case = seen_inside(fluff=0.1)
    assert case.confidence()["fluff"] > 0.5
    assert (case.steps()[0].kind, case.steps()[0].target) == (StepKind.PUT_RIGHT, "fluff")
    assert "inside_look" not in targets(case)


def test_what_was_answered_skipped_or_lacks_its_instrument_is_not_asked_for_again() -> None:
    case = machine("earth_ohms", "grille_look")
    case.record("dead", "no")
    case.skip("grille_look")
    case.record("earth_ohms", 0.05)
    assert not targets(case)


def closing_with(*names: str) -> Case:
    """A job whose complaint, that it hums, closes with these."""
    made = machine().pack
    hums = replace(made.observations["hums"], symptom=True, closes_with=names)
    case = Case(replace(made, observations=MappingProxyType({**made.observations, "hums": hums})))
    case.access = Access.IN_USE
    case.record("hums", "yes", complaint=True)
    return case


def owed(case: Case) -> list[str]:
    return [step.target for step in closing_readings(case)]


def test_a_complaint_closes_with_the_quickest_of_what_its_rule_names() -> None:
    case = closing_with("earth_ohms", "runs")
    assert owed(case) == ["runs"]
    case.record("runs", "no", kind=Kind.TOLD)
    assert owed(case) == ["earth_ohms"]
    case.record("earth_ohms", "0.1R")
    assert owed(case) == []


def test_the_search_does_not_end_before_that() -> None:
    case = closing_with("runs")
    case.record("dead", "no")
    case.put_right("motor")
    case.record("hums", "no", kind=Kind.LOOK)
    case.skip("inside_look")
    asked = [step.target for step in case.steps()]
    while case.steps():
        case.record(case.steps()[0].target, "no")
        asked += [step.target for step in case.steps()]
    assert "runs" in asked and owed(case) == [] and case.done is not None


def test_after_two_that_were_passed_over_none_is_owed_and_it_stays_unproved() -> None:
    case = closing_with("runs", "earth_ohms", "grille_look")
    case.skip("runs", "cannot_here")
    assert len(owed(case)) == 1 and owed(case) != ["runs"]
    case.skip(owed(case)[0], "dont_know")
    assert owed(case) == [] and unproved(case) == ["hums"]


def test_one_reading_proves_it_whatever_was_passed_over() -> None:
    case = closing_with("runs", "earth_ohms")
    case.skip("runs", "cannot_here")
    case.record("earth_ohms", "0.1R")
    assert owed(case) == [] and unproved(case) == []


def test_what_cannot_be_measured_is_owed_by_nobody() -> None:
    case = closing_with("runs")
    case.skip("runs", "cannot_here")
    assert owed(case) == []
    case = closing_with()
    assert owed(case) == []
    case = closing_with("runs")
    case.withdraw("hums")
    case.record("hums", "yes")
    assert owed(case) == []


@pytest.mark.slow
def test_a_job_with_everything_in_its_last_round_always_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight random packs in which everything is always looked at, every answer at random."""
    monkeypatch.setattr(constants, "MACHINES", 256)
    for seed in range(8):
        random_ = random.Random(seed)
        made = random_pack(random_, causes=6, observations=9)
        case = Case(looked_at(made, *made.observations))
        for _ in range(120):
            steps = case.next_steps(1)
            if not steps:
                break
            step = steps[0]
            case.access = step.access
            match step.kind:
                case StepKind.ASK | StepKind.PROVE:
                    case.record(step.target, random_.choice(made.observations[step.target].answers).id)
                case StepKind.PUT_RIGHT:
                    case.put_right(step.target)
                case StepKind.HAND_OVER:
                    case.declined |= {step.target}
        else:
            raise AssertionError(f"seed {seed}: no end")


def test_what_is_inside_is_looked_at_before_the_covers_go_back_on_though_the_search_goes_on_outside() -> None:
    made = pack(
        [
            cause("plug", 0.4, {"smell": (0.5, 0.5), "plug_seen": (0.02, 0.98)}, part_costs=20.0),
            cause("motor", 0.3, {"hums": (0.02, 0.98)}, remedy_need=Need.OPEN_DEAD),
            cause("fluff", 0.0001, {"inside_look": (0.01, 0.99)}, remedy_need=Need.OPEN_DEAD),
        ],
        [
            observation("smell", need=Need.ANYWHERE, kind=Kind.TOLD, background=(0.7, 0.3)),
            observation("hums", need=Need.ANYWHERE),
            observation("plug_seen", need=Need.IN_USE, reliability=0.99, background=RARE),
            observation("inside_look", need=Need.OPEN_DEAD, reliability=0.99, background=RARE),
        ],
    )
    case = Case(looked_at(made, "inside_look"))
    case.access = Access.OPEN_DEAD
    case.record("smell", "yes")
    case.record("hums", "yes")
    case.put_right("motor")
    first, *others = [step.target for step in case.steps()]
    assert first == "inside_look", first
    assert "plug_seen" in others, "the search goes on"
