"""The walk over texts: every instruction of both packs in every state where the gate can show it, each act allowed.

What is allowed where stands here a second time, in words of its own, so that the table that the gate looks at
(knowledge/instructions/acts.py) is held against something; each row of it that is widened or narrowed is noticed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import product
from types import MappingProxyType

import pytest
from gate_walk import a_cause
from reading_once import shipped

from faultfinder.errors import Refused
from faultfinder.knowledge.instructions import acts
from faultfinder.knowledge.instructions.acts import ACTS, SHOWN_IN, allowed
from faultfinder.knowledge.model import Access, Cause, Kind, Need, Observation, Pack, Question, Step
from faultfinder.safety import instructions
from faultfinder.safety.gate import Gate, confirm, facts_known, next_action
from faultfinder.safety.instructions import (
    Instruction,
    instruction_for_observation,
    instruction_for_remedy,
    instruction_for_run,
)
from faultfinder.safety.tables import PERMITTED

PACKS = ("tumble_dryer", "electric_oven", "washing_machine")
EVERYWHERE = "as_found in_use isolated open_unproved open_dead"
KNOWN_STATE = "as_found in_use isolated open_dead"
ALLOWED = {
    **dict.fromkeys("ask note wait stop unplug aside".split(), EVERYWHERE),
    **dict.fromkeys("look listen smell feel handle gauge clean vacuum".split(), KNOWN_STATE),
    **dict.fromkeys("run plug_in measure_running".split(), "in_use"),
    **dict.fromkeys(
        "breaker move turn plug_work measure_dead pour part_off part_on mend".split(), "isolated open_dead"
    ),
    **dict.fromkeys("uncover cover lead_off lead_on discharge".split(), "open_dead"),
}


def gates() -> Iterator[Gate]:
    """A gate in each access state, with the plug out or an isolator locked off, on every kind of refrigerant."""
    for connection, refrigerant in product(("plug", "isolator"), ("flammable", "not_flammable")):
        facts = {"connection": connection, "refrigerant": refrigerant, "protection": "class_i"}
        start = facts_known(Gate(), facts)
        yield start
        for need in (Need.IN_USE, Need.ISOLATED, Need.OPEN_DEAD):
            yield from on_the_way(start, need)


def on_the_way(gate: Gate, need: Need) -> Iterator[Gate]:
    while (action := next_action(gate, need)) is not None:
        gate = confirm(gate, action.id, action.outcomes[0].id)
        yield gate


GATES = tuple({(gate.access, gate.connection, gate.flammable): gate for gate in gates()}.values())


def given(give: Callable[[], Instruction]) -> Instruction | None:
    try:
        return give()
    except Refused:
        return None


def shown(pack: Pack) -> Iterator[tuple[str, Gate, tuple[Step, ...]]]:
    """Every instruction of a pack with every gate that gives it out: its id, the gate, its steps."""
    items: list[Observation | Question] = [*pack.observations.values(), *pack.questions.values()]
    for gate in GATES:
        for item in items:
            if given(lambda gate=gate, item=item: instruction_for_observation(gate, item)):
                yield item.id, gate, item.how_steps
        for cause in pack.causes.values():
            if given(lambda gate=gate, cause=cause: instruction_for_remedy(gate, cause)):
                yield cause.id, gate, cause.remedy_steps
            if given(lambda gate=gate, cause=cause: instruction_for_run(gate, cause)):
                yield cause.id, gate, cause.then_run


def test_the_walk_reaches_every_access_state() -> None:
    assert {gate.access for gate in GATES} == set(Access)


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_every_step_that_is_shown_may_be_done_in_that_state(name: str) -> None:
    seen = 0
    for item, gate, steps in shown(shipped(name)):
        for step in steps:
            assert gate.access.value in ALLOWED[step.act].split(), (item, gate.access, step)
            seen += 1
    assert seen > 300


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_every_instruction_is_shown_somewhere_and_its_author_states_each_act(name: str) -> None:
    """A step that no state allows would never be read; the packs that are shipped leave nothing to be placed."""
    pack = shipped(name)
    ids = {item for item, _, _ in shown(pack)}
    licensed = {cause.id for cause in pack.causes.values() if cause.hand_to}
    assert ids | licensed >= {*pack.observations, *pack.questions, *pack.causes}
    asked = [*pack.observations.values(), *pack.questions.values()]
    steps = [step for item in asked for step in item.how_steps]
    steps += [step for cause in pack.causes.values() for step in (*cause.remedy_steps, *cause.then_run)]
    assert len(steps) > 150 and all(step.stated for step in steps)


def planted(act: str, need: Need) -> Observation:
    return Observation("planted", Kind.LOOK, "planted?", (), (), 1.0, need, 1, (Step(act, "Do it."),))


def test_the_gate_shows_a_planted_step_only_where_its_act_is_allowed_whatever_its_pack_asked_for() -> None:
    """A pack that was never checked: every act under every need."""
    for act, need, gate in product(ACTS, Need, GATES):
        may = gate.access in PERMITTED[need] and gate.access.value in ALLOWED[act].split()
        if act == "breaker" and gate.connection != "plug":
            may = False
        observation = given(
            lambda act=act, need=need, gate=gate: instruction_for_observation(gate, planted(act, need))
        )
        assert (observation is not None) == may, (act, need, gate.access)
        if need is not Need.IN_USE:
            cause = replace(a_cause("planted", need), remedy_steps=(Step(act, "Do it."),))
            remedy = given(lambda gate=gate, cause=cause: instruction_for_remedy(gate, cause))
            assert (remedy is not None) == may, (act, need, gate.access)
    for act, gate in product(ACTS, GATES):
        cause = replace(a_cause("planted", Need.OPEN_DEAD), then_run=(Step(act, "Do it."),))
        run = given(lambda gate=gate, cause=cause: instruction_for_run(gate, cause))
        may = gate.access is Access.IN_USE and "in_use" in ALLOWED[act].split()
        assert (run is not None) == may, (act, gate.access)


def test_an_act_that_nobody_knows_is_never_shown() -> None:
    for need, gate in product(Need, GATES):
        assert (
            given(lambda need=need, gate=gate: instruction_for_observation(gate, planted("juggle", need)))
            is None
        )


def test_the_checker_reckons_with_every_state_in_which_the_gate_shows_an_instruction() -> None:
    assert SHOWN_IN == PERMITTED
    for act, need in product(ACTS, Need):
        states = {access.value for access in PERMITTED[need]}
        assert allowed(act, need) == (states <= set(ALLOWED[act].split())), (act, need)


def _widened() -> Iterator[tuple[str, Access]]:
    for act, states in ALLOWED.items():
        yield from ((act, access) for access in Access if access.value not in states.split())


@pytest.mark.parametrize(("act", "access"), list(_widened()))
def test_a_table_that_allows_more_is_noticed(
    act: str, access: Access, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A mutant for each act and each state in which it is not allowed."""
    wider = replace(ACTS[act], states=ACTS[act].states | {access})
    monkeypatch.setattr(acts, "ACTS", MappingProxyType({**ACTS, act: wider}))
    need = next(need for need in Need if access in PERMITTED[need])
    seen = [
        gate
        for gate in GATES
        if gate.access is access
        and given(lambda gate=gate: instruction_for_observation(gate, planted(act, need))) is not None
    ]
    assert seen, "the mutant is shown, and the walk above would object"
    assert all(access.value not in ALLOWED[act].split() for _ in seen)


def test_a_gate_that_does_not_look_at_acts_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(instructions, "_ask_acts", lambda *_: None)
    with pytest.raises(AssertionError):
        test_the_gate_shows_a_planted_step_only_where_its_act_is_allowed_whatever_its_pack_asked_for()


def test_the_remedies_that_end_in_a_run_say_so_apart(name: str = "tumble_dryer") -> None:
    pack = shipped(name)
    ends_in_a_run = (
        "cutout_open cutout_bridged thermostat_stuck_closed thermistor_reads_cold heater_relay_welded "
        "hp_rinse_failed "
        "hp_compressor_capacitor hp_cooling_fan_failed"
    ).split()
    for cause in (pack.causes[each] for each in ends_in_a_run):
        assert any(step.act == "run" for step in cause.then_run), cause.id
    for test in ("plug_rise", "hp_frost_look", "hp_rinse_look"):
        assert pack.observations[test].need is Need.IN_USE
        assert any(step.act == "run" for step in pack.observations[test].how_steps)
    case_heat = pack.observations["motor_case_temperature"]
    assert not any(step.act == "run" for step in case_heat.how_steps) and case_heat.need is Need.OPEN_DEAD


def _of(cause: Cause) -> tuple[Step, ...]:
    return (*cause.remedy_steps, *cause.then_run)


def test_no_remedy_outside_the_run_that_proves_it_runs_or_feeds_anything() -> None:
    for name in PACKS:
        for cause in shipped(name).causes.values():
            assert not any(step.act in ("run", "plug_in", "measure_running") for step in cause.remedy_steps)
            assert all("in_use" in ALLOWED[step.act].split() for step in cause.then_run)
            assert len(_of(cause)) < 12
