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

from faultfinder.errors import FaultFinderError
from faultfinder.job import audit_model as audit
from faultfinder.job import events as happened
from faultfinder.job import state as job_state
from faultfinder.job.audit import known_from
from faultfinder.job.events import Event
from faultfinder.job.findings import open_findings
from faultfinder.job.state import JobState, apply, begin, fold, marked
from faultfinder.safety import gate as safety
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
            happened.PutRight(cause.id, inside=inside, electrical=cause.touches_electrics),
            happened.DangerSeen("tingle"),
            happened.Noted("as it was"),
            happened.Resumed("taken up again"),
            happened.Paused(choose.choice((5.0, 40.0))),
            happened.TakenBack(choose.choice(("plug_out", *RETURN_TESTS))),
            happened.FactGiven("protection", choose.choice(("class_i", "class_ii"))),
        ]
    )


def walked(name: str, seed: int, moves: int = 60) -> int:
    """One walk; how many tests failed on it. Raises AssertionError where job and audit differ."""
    choose = random.Random(seed)
    pack = shipped(name)
    known = known_from(pack)
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
        shadow, broken = audit.follow(shadow, events[-1], known)
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
    for end in range(0, len(events), 7):
        again, troubles = fold(pack, [*events[:end], happened.Resumed("taken up again")])
        assert not troubles, (troubles, events[:end])
        live = begin(pack)
        for each in events[:end]:
            live = apply(live, each)
        assert again == apply(live, happened.Resumed("taken up again"))
    return failed


@pytest.mark.parametrize("name", PACKS)
def test_job_and_audit_agree_on_random_jobs_whatever_happens(name: str) -> None:
    assert sum(walked(name, seed) for seed in range(60)) > 20


def _never(event: Event) -> bool:
    return True


def _all_lifted(state: JobState, observation: str) -> JobState:
    return replace(state, gate=replace(state.gate, signs=()))


MUTANTS: dict[str, tuple[str, Callable[..., object]]] = {
    "a slip stays one whatever was done since": ("_undoes_nothing", _never),
    "a test that failed by its reading outlives nothing": ("_return_tested", lambda state, event: state),
    "a correction lifts every sign": ("_signs_lifted", _all_lifted),
}


@pytest.mark.parametrize("mutant", MUTANTS)
def test_with_one_of_these_rules_changed_they_differ(mutant: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(job_state, *MUTANTS[mutant])
    with pytest.raises((AssertionError, pytest.fail.Exception)):
        for seed in range(60):
            walked("tumble_dryer", seed)
