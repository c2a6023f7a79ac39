"""Random walks over whole jobs: the job and the audit, which share no code, agree after every event, and a job taken
up again at any event is the same job.

Beside the gate's own moves (gate_walk.py) these hold findings that are a hazard in themselves, and return tests that
fail, are taken back at once, or count for a reading that is corrected.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import gate_walk
import pytest
from reading_once import shipped

from faultfinder.dialogue.converse import lost_to_the_rules
from faultfinder.errors import FaultFinderError
from faultfinder.job import audit_model as audit
from faultfinder.job import events as happened
from faultfinder.job import forgotten_dangers as lost
from faultfinder.job import state as job_state
from faultfinder.job import told
from faultfinder.job.events import Event
from faultfinder.job.findings import open_findings
from faultfinder.job.state import JobState, apply, begin, fold, marked
from faultfinder.knowledge.model import Access, Pack
from faultfinder.safety import gate as safety
from faultfinder.safety import gate_state, transitions
from faultfinder.safety.actions import RETURN_TESTS

PACKS = ("tumble_dryer", "electric_oven", "washing_machine")


def a_move(job: JobState, choose: random.Random) -> Event:
    """An event worth trying: mostly the next action of some way, now and then anything else."""
    if job.before_failure is not None and choose.random() < 0.5:
        return happened.TakenBack(job.tests[-1].test)
    tests = [action.id for action in safety.open_actions(job.gate) if action.id in RETURN_TESTS]
    if tests and choose.random() < 0.4:
        return happened.ReturnTested(choose.choice(tests), choose.choice(("passed", "passed", "failed")))
    if choose.random() < 0.75:
        event = gate_walk._towards(job.gate, choose.choice(list(gate_walk.Need)), choose)
        if event is not None:
            return event
    pack = job.pack
    items = [item for item in pack.observations.values() if item.reading is None or not item.return_test]
    item = choose.choice([each for each in items if each.unsafe or choose.random() < 0.2])
    answer = choose.choice(item.answers).id
    cause = choose.choice(list(pack.causes.values()))
    inside = safety.remedy_need(cause) is gate_walk.Need.OPEN_DEAD
    return choose.choice(
        [
            happened.Answered(item.id, answer),
            happened.Corrected(item.id, answer),
            happened.Withdrawn(item.id),
            happened.PutRight(cause.id, inside=inside, electrical=cause.touches_electrics, work=cause.remedy),
            happened.DangerSeen("tingle"),
            happened.Noted("as it was"),
            happened.Resumed("taken up again"),
            happened.Paused(choose.choice((5.0, 40.0))),
            happened.TakenBack(choose.choice(("plug_out", *RETURN_TESTS))),
            happened.FactGiven("protection", choose.choice(("class_i", "class_ii"))),
            *(happened.DealtWith(each.name, "looked at it again") for each in job.still_lost[:1]),
        ]
    )


def walked(name: str, seed: int, moves: int = 60) -> int:
    """One walk; how many tests failed on it. Raises AssertionError where job and audit differ."""
    choose = random.Random(seed)
    pack = shipped(name)
    job, shadow, events, failed = begin(pack), audit.Shadow(), list[Event](), 0
    cut = map(happened.Confirmed, ("switched_off", "plug_out", "plug_in_sight"))
    for event in (happened.FactGiven("connection", "plug"), *cut, *[None] * moves):
        move = event or a_move(job, choose)
        try:
            after = apply(job, move)
        except FaultFinderError:
            continue
        events.append(marked(after, move))
        before, job = job, after
        shadow, broken = audit.follow(shadow, events[-1], pack)
        assert not broken, (broken, events)
        assert bool(job.gate.signs) == shadow.danger, events
        assert frozenset(safety.owed_tests(job.gate)) == shadow.owes, events
        failed += isinstance(move, happened.ReturnTested) and move.outcome == "failed"
        if isinstance(move, happened.TakenBack) and before.before_failure is not None:
            slip = before.tests[-1].test == move.action
            assert not slip or job.gate == before.before_failure, events
        if open_findings(job):
            fit = replace(job, gate=gate_walk.replace(safety.Gate(connection="plug"), access=job.gate.access))
            with pytest.raises(FaultFinderError):
                apply(fit, happened.Closed("fit_for_use"))
    live = begin(pack)
    for end, event in enumerate(events):
        if end % 5 == seed % 5:
            again, troubles = fold(pack, [*events[:end], happened.Resumed("taken up again")])
            assert not troubles, (troubles, events[:end])
            assert again == apply(live, happened.Resumed("taken up again"))
        live = apply(live, event)
    return failed


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_job_and_audit_agree_on_random_jobs_whatever_happens(name: str) -> None:
    assert sum(walked(name, seed) for seed in range(30)) > 10


# -- rules that change under way ----------------------------------------------------------------------------


def renamed(pack: Pack, name: str) -> Pack:
    """The pack with an observation or a cause under another name."""
    new = f"{name}_now"
    items = {new if key == name else key: each for key, each in pack.observations.items()}
    causes = {new if key == name else key: each for key, each in pack.causes.items()}
    for group in (items, causes):
        if new in group:
            group[new] = replace(group[new], id=new)  # type: ignore[type-var]
    return replace(pack, observations=items, causes=causes, fingerprint=f"{pack.fingerprint} {name}")


def named_elsewhere(pack: Pack) -> set[str]:
    """Observations that other rules name, which a pack that loads would have to change too."""
    names = {name for question in pack.questions.values() for name in question.observations}
    for item in pack.observations.values():
        names |= {*item.tried_by, *(test for tests in item.unsafe.values() for test in tests)}
    return names


def taken_up(pack: Pack, events: list[Event]) -> tuple[JobState, audit.Shadow, list[Event]]:
    """A job taken up again from its record, as the conversation does it; and the audit's own view of it."""
    events = [*events, happened.Resumed("taken up again")]
    job, _ = fold(pack, events)
    for sign in lost_to_the_rules(job)[0]:
        job = apply(job, sign)
        events.append(sign)
    shadow = audit.Shadow()
    for event in events:
        shadow, _ = audit.follow(shadow, event, pack)
    return job, shadow, events


def walked_over_changed_rules(name: str, seed: int, moves: int = 40) -> int:
    """One walk whose rules are changed twice under way; how often something was forgotten by them. Raises
    AssertionError where job and audit differ, or something forgotten does not stand."""
    choose = random.Random(seed)
    pack, events = shipped(name), list[Event]()
    cut = map(happened.Confirmed, ("switched_off", "plug_out", "plug_in_sight"))
    begun = [happened.FactGiven("connection", "plug"), *cut]
    forgotten = 0
    job, shadow = begin(pack), audit.Shadow()
    for _ in range(3):
        for event in (*begun, *[None] * moves):
            move = event or a_move(job, choose)
            try:
                job = apply(job, move)
            except FaultFinderError:
                continue
            events.append(marked(job, move))
            shadow, broken = audit.follow(shadow, events[-1], pack)
            assert not broken, (broken, events)
            assert bool(job.gate.signs) == shadow.danger, events
            assert frozenset(safety.owed_tests(job.gate)) == shadow.owes, events
            assert job.gate.forgotten == shadow.forgotten == bool(job.still_lost), events
            if job.gate.forgotten:
                good = replace(safety.Gate(connection="plug", forgotten=True), access=Access.IN_USE)
                assert not safety.may_close(good, "fit_for_use") and not safety.may_close(good, "handed_over")
        begun = []
        told = [each.name for each in job.given if each.name in pack.observations] + list(job.put_right)
        if told := [each for each in told if each not in named_elsewhere(pack)]:
            pack = renamed(pack, choose.choice(told))
        job, shadow, events = taken_up(pack, events)
        forgotten += job.gate.forgotten
        assert job.gate.forgotten == shadow.forgotten == bool(job.still_lost), events
        assert taken_up(pack, events)[0].gate.forgotten == job.gate.forgotten, "taken up twice it is the same"
    return forgotten


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_rules_that_change_under_way_forget_nothing_and_job_and_audit_agree(name: str) -> None:
    assert sum(walked_over_changed_rules(name, seed) for seed in range(10)) > 5


# -- a turn of which only a part was kept -------------------------------------------------------------------


@pytest.mark.parametrize("name", PACKS)
def test_of_a_turn_kept_in_part_no_danger_is_missing(name: str) -> None:
    """Whatever is left of a turn, in a record that a hand cut or wrote: a reading is a danger by itself, work owes
    its tests by itself, and a sign written behind it adds nothing."""
    pack = shipped(name)
    for item in pack.observations.values():
        for answer, sign in item.danger.items():
            alone = apply(begin(pack), happened.Answered(item.id, answer))
            assert sign in alone.gate.signs
            assert apply(alone, happened.DangerSeen(sign)).gate == alone.gate
    for cause in pack.causes.values():
        done = apply(begin(pack), happened.PutRight(cause.id))
        assert done.gate == safety.remedy_done(begin(pack).gate, cause), cause.id


def _never(event: Event) -> bool:
    return True


def _nothing_kept(state: JobState, event: Event) -> JobState:
    return state


def _all_lifted(state: JobState, observation: str) -> JobState:
    return replace(state, gate=replace(state.gate, signs=()))


MUTANTS: dict[str, tuple[object, str, Callable[..., object]]] = {
    "a slip stays one whatever was done since": (job_state, "_undoes_nothing", _never),
    "a test that failed by its reading outlives nothing": (
        job_state,
        "_return_tested",
        lambda state, event: state,
    ),
    "a correction lifts every sign": (told, "_signs_lifted", _all_lifted),
}


CHANGED: dict[str, tuple[object, str, object]] = {
    "what the rules do not know is dropped": (job_state, "_kept_as_lost", _nothing_kept),
    "tests deal with what was forgotten": (
        gate_state,
        "settled",
        lambda gate: replace(settled(gate), forgotten=False),
    ),
    "dealing with anything deals with all": (lost, "dealt_with", lambda left, event: ()),
    "the gate is not told that all is dealt with": (safety, "all_dealt_with", lambda gate: gate),
}
settled = gate_state.settled


@pytest.mark.slow
@pytest.mark.parametrize("mutant", CHANGED)
def test_with_one_of_these_rules_changed_something_is_forgotten(
    mutant: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(*CHANGED[mutant])  # type: ignore[arg-type]
    monkeypatch.setattr(transitions, "settled", gate_state.settled)
    with pytest.raises((AssertionError, pytest.fail.Exception)):
        for seed in range(150):
            walked_over_changed_rules("tumble_dryer", seed)


@pytest.mark.slow
@pytest.mark.parametrize("mutant", MUTANTS)
def test_with_one_of_these_rules_changed_they_differ(mutant: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(*MUTANTS[mutant])  # type: ignore[arg-type]
    with pytest.raises((AssertionError, pytest.fail.Exception)):
        for seed in range(400):
            walked("tumble_dryer", seed)
