"""A gate with one rule taken out must make the walks fail: one mutation a rule, none may live."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from types import MappingProxyType

import gate_walk
import pytest

from faultfinder.job.audit_model import Shadow
from faultfinder.knowledge.model import Access, Need
from faultfinder.safety import closing, gate_state, instructions, tables, transitions
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS, Effect
from faultfinder.safety.tables import LEAVE

O_UNPROVED, O_DEAD = Access.OPEN_UNPROVED, Access.OPEN_DEAD
Patch = Callable[[pytest.MonkeyPatch], None]

STARTS = [
    (gate_state.Gate(connection="plug"), Shadow(connection="plug")),
    (gate_state.Gate(connection="isolator"), Shadow(connection="isolator")),
    (gate_state.Gate(connection="plug", earthed=False), Shadow(connection="plug", earthed=False)),
]


def killed(walks: int = 400) -> str:
    """What the walks said of this gate; empty when they found nothing."""
    with gate_walk.remembering():
        leading = gate_walk.Ways()
        for seed in range(walks // 10):
            try:
                gate_walk.wander(STARTS, seed, walks=10, leading=leading)
            except Exception as wrong:
                return repr(wrong)
    return ""


@pytest.mark.slow
def test_the_gate_as_it_is_survives_the_same_walks(capsys: pytest.CaptureFixture[str]) -> None:
    with gate_walk.remembering():
        made = gate_walk.wander(STARTS, 7, walks=250)
    with capsys.disabled():
        print(f" gate: {made:,} moves on 250 random walks;", end="")
    assert made > 10_000


# -- the mutants ------------------------------------------------------------------------------------------


def without_an_action() -> Iterator[tuple[str, Patch]]:
    """Each action of each way, not asked for. (What is asked from afar after a stop is information only.)"""
    for (leg, variant), actions in tables.WAYS.items():
        for action in actions:
            if action == "supply_cut_from_afar":
                continue
            fewer = tuple(each for each in actions if each != action)
            table = MappingProxyType({**tables.WAYS, (leg, variant): fewer})
            yield (
                f"way {leg} {variant}: no {action}",
                lambda patch, t=table: patch.setattr(transitions, "WAYS", t),
            )


def with_a_wider_table() -> Iterator[tuple[str, Patch]]:
    """Each pair of need and access state that is not permitted, permitted."""
    for name in ("PERMITTED", "PERMITTED_IN_DANGER"):
        table = getattr(tables, name)
        for need in Need:
            for access in Access:
                open_state = access in (Access.OPEN_DEAD, Access.OPEN_UNPROVED)
                if access in table[need] or (need is Need.COVERS_ON and open_state):
                    continue  # covers off: held twice, by the table and by the state of the covers
                wider = MappingProxyType({**table, need: table[need] | {access}})
                yield (
                    f"{name}: {need} in {access}",
                    lambda patch, n=name, t=wider: patch.setattr(gate_state, n, t),
                )


def without_a_guard() -> Iterator[tuple[str, Patch]]:
    for guard in transitions.GUARDS:
        fewer = tuple(each for each in transitions.GUARDS if each is not guard)
        yield f"guard {guard[0]}", lambda patch, g=fewer: patch.setattr(transitions, "GUARDS", g)


def with_a_kinder_outcome() -> Iterator[tuple[str, Patch]]:
    """Each outcome that does not confirm, confirming; and each finding, without its consequence."""
    for action in ACTIONS.values():
        for outcome in action.outcomes:
            good = Effect.PASS if action.id in RETURN_TESTS else Effect.HOLD
            kinder = {good} - {outcome.effect}
            if outcome.effect in (Effect.OUT_OF_USE, Effect.VOLTAGE, Effect.FAIL):
                kinder.add(Effect.NOT_YET)
            elif outcome.effect is Effect.BEGIN_AGAIN and _must_begin_again(action.id):
                kinder.add(Effect.NOT_YET)
            for effect in sorted(kinder):
                changed = dataclasses.replace(outcome, effect=effect)
                outcomes = tuple(changed if each is outcome else each for each in action.outcomes)
                table = MappingProxyType(
                    {**ACTIONS, action.id: dataclasses.replace(action, outcomes=outcomes)}
                )
                yield (
                    f"{action.id} {outcome.id}: {effect}",
                    lambda patch, t=table: patch.setattr(transitions, "ACTIONS", t),
                )


def _must_begin_again(action: str) -> bool:
    proving = tables.WAYS["prove", ""][1:]
    return action in tables.WAYS["isolate", "short"] or action in proving


def with_a_leg_too_many() -> Iterator[tuple[str, Patch]]:
    """Each leg beginning in an access state where it does not.

    Left out, since nothing unsafe comes of them: switching on with the covers off (they owe tests, which the guard
    sees), cutting the supply or opening once more, and covering up what was proved dead as if it were not.
    """
    harmless = {(leg, access) for leg in ("use", "isolate", "open") for access in (O_UNPROVED, O_DEAD)}
    harmless.add(("close_unproved", O_DEAD))
    for leg in {leg.id: leg for leg in tables.LEGS if leg.id != "cover_up"}.values():
        starts = {each.start for each in tables.LEGS if each.id == leg.id}
        for access in Access:
            if access in starts or access is leg.end or (leg.id, access) in harmless:
                continue
            more = (*tables.LEGS, tables.Leg(leg.id, access, leg.end))
            yield (
                f"leg {leg.id} from {access}",
                lambda patch, legs=more: patch.setattr(transitions, "LEGS", legs),
            )


def _same(gate: gate_state.Gate, *_: object) -> gate_state.Gate:
    return gate


def _set(module: object, name: str, value: object) -> Patch:
    return lambda patch: patch.setattr(module, name, value)


def _everywhere(name: str, value: object) -> Patch:
    def patch_all(patch: pytest.MonkeyPatch) -> None:
        for module in (gate_state, transitions, closing, instructions):
            if hasattr(module, name):
                patch.setattr(module, name, value)

    return patch_all


def _keeping(function: Callable[..., gate_state.Gate], *fields: str) -> Callable[..., gate_state.Gate]:
    """The function, but for these fields, which stay as they were."""

    def kept(gate: gate_state.Gate, *rest: object) -> gate_state.Gate:
        after = function(gate, *rest)
        return dataclasses.replace(after, **{name: getattr(gate, name) for name in fields})

    return kept


def with_a_weaker_function() -> Iterator[tuple[str, Patch]]:
    s = gate_state
    for name in ("danger_seen", "doubt"):
        yield f"{name} does nothing", _everywhere(name, _same)
    for name in ("paused", "resumed", "corrected", "reading_brought", "remedy_done", "_no_more_running"):
        yield f"{name} does nothing", _set(s, name, _same)
    yield "instruction_given does nothing", _set(s, "instruction_given", _same)
    yield "a lapse does nothing", _set(s, "_lapse", _same)
    yield "a lapse keeps the access state", _set(s, "_lapse", _keeping(s._lapse, "access"))
    yield "doubt keeps the access state", _everywhere("doubt", _keeping(s.doubt, "access"))
    yield "doubt keeps the short way", _everywhere("doubt", _keeping(s.doubt, "short"))
    yield (
        "a lapse makes everything dead before",
        _set(s, "_lapse", lambda gate: dataclasses.replace(standing_lapse(gate), short="dead")),
    )
    yield (
        "a correction leaves the tests passed",
        _set(s, "corrected", lambda gate, action: s.doubt(gate) if not gate.stop else gate),
    )
    yield (
        "a danger sign leaves the tests passed",
        _everywhere("danger_seen", _keeping(s.danger_seen, "passed")),
    )
    yield "a danger sign stops nothing", _everywhere("danger_seen", _keeping(s.danger_seen, "stop"))
    yield (
        "a restart forgets the danger",
        _set(
            s,
            "restart_after_stop",
            lambda gate, reason: dataclasses.replace(standing_restart(gate, reason), signs=()),
        ),
    )
    yield (
        "a restart keeps the access state",
        _set(s, "restart_after_stop", _keeping(s.restart_after_stop, "access")),
    )
    yield "no more running only in words", _set(s, "remedy_done", _keeping(s.remedy_done, "access"))
    yield "a remedy leaves the tests passed", _set(s, "remedy_done", _keeping(s.remedy_done, "passed"))
    yield "a remedy inside is not inside", _set(s, "remedy_done", _keeping(s.remedy_done, "opened"))
    yield "an electrical part is not noted", _set(s, "remedy_done", _keeping(s.remedy_done, "touched"))
    yield (
        "another connection changes nothing",
        _set(
            s,
            "facts_known",
            lambda gate, facts: dataclasses.replace(gate, connection=str(facts["connection"])),
        ),
    )
    yield (
        "an earth after all owes nothing",
        _set(s, "facts_known", _keeping(s.facts_known, "touched", "passed")),
    )
    yield "settled without asking", _everywhere("settled", _settled_at_once)
    yield "a pause of an hour", _set(s, "PAUSE_MINUTES", 60.0)
    yield "what remedies need is not seen to", _everywhere("remedy_need", lambda cause: cause.remedy_need)
    for test in RETURN_TESTS:
        fewer = _without_test(test)
        yield f"{test} is not needed", _everywhere("needed_tests", fewer)
    yield "tests are never owed", _everywhere("owed_tests", lambda gate: ())
    yield "tests can be made anywhere", _set(transitions, "_tests_in_reach", lambda gate: list(RETURN_TESTS))
    yield "covers off is not seen", _everywhere("permits", _permits_without_covers)
    yield "a stop is not seen", _everywhere("permits", _permits_in_a_stop)
    yield "danger is not seen", _everywhere("permits", _permits_in_danger)
    yield "instructions for the asking", _set(instructions, "_ask_for", lambda *_: None)
    yield "ways out of a stop", _set(transitions, "_legs_from", _legs_in_a_stop)
    yield "opening is not noted", _set(transitions, "_arrive", _arrive_keeping("opened", "open"))
    yield "tests outlive an opening", _set(transitions, "_arrive", _arrive_keeping("passed", "open"))
    yield "covers off is not noted", _set(transitions, "_arrive", _arrive_keeping("covers_off", "open"))
    yield "open again is closed again", _set(transitions, "_arrive", _arrive_isolated)
    yield "anything may be confirmed", _set(transitions, "open_actions", lambda gate: tuple(ACTIONS.values()))
    yield "any order", _set(transitions, "_next_of", _last_of)
    yield (
        "a failed earth test is wiped by the class",
        _everywhere("measurable", lambda gate, test: gate.earthed or not test.startswith("earth")),
    )
    yield "what was forgotten is not noted", _everywhere("danger_seen", _keeping(s.danger_seen, "forgotten"))
    yield "tests deal with what was forgotten", _everywhere("settled", _settled_and_remembered)
    yield "nobody must cut the supply", _set(closing, "must_be_cut", lambda gate, unsafe=(): False)
    yield "fit whatever is open", _set(closing, "_why_not_fit", lambda gate, unsafe: "")
    yield "a stopped job ends as it likes", _set(closing, "_why_not_stopped", lambda gate, state: "")
    yield "handed over connected in danger", _set(closing, "why_not_close", _handed_over)
    yield "left isolated for the asking", _set(closing, "why_not_close", lambda gate, state, unsafe=(): "")


_why_not = closing.why_not_close
_settled, standing_owed = gate_state.settled, gate_state.owed_tests
standing_lapse = gate_state._lapse
standing_restart = gate_state.restart_after_stop
_arrive, _legs, _next, _needed, _permits = (
    transitions._arrive,
    transitions._legs_from,
    transitions._next_of,
    gate_state.needed_tests,
    gate_state.permits,
)


def _handed_over(gate: gate_state.Gate, state: str, unsafe: tuple[str, ...] = ()) -> str:
    return (
        ""
        if state == "handed_over" and not gate.stop and not gate.covers_off
        else _why_not(gate, state, unsafe)
    )


def _settled_at_once(gate: gate_state.Gate) -> gate_state.Gate:
    return dataclasses.replace(gate, opened=False, touched=False, signs=(), passed=frozenset())


def _settled_and_remembered(gate: gate_state.Gate) -> gate_state.Gate:
    after = _settled(gate)
    return after if standing_owed(after) else dataclasses.replace(after, forgotten=False)


def _without_test(test: str) -> Callable[[gate_state.Gate], tuple[str, ...]]:
    return lambda gate: tuple(each for each in _needed(gate) if each != test)


def _permits_without_covers(gate: gate_state.Gate, need: Need) -> bool:
    return _permits(dataclasses.replace(gate, covers_off=False), need)


def _permits_in_a_stop(gate: gate_state.Gate, need: Need) -> bool:
    return _permits(dataclasses.replace(gate, stop=""), need)


def _permits_in_danger(gate: gate_state.Gate, need: Need) -> bool:
    return _permits(dataclasses.replace(gate, signs=()), need)


def _legs_in_a_stop(gate: gate_state.Gate) -> tuple[tables.Leg, ...]:
    return _legs(dataclasses.replace(gate, stop="")) + (_legs(gate) if gate.stop == LEAVE else ())


def _arrive_keeping(name: str, leg_id: str) -> Callable[[gate_state.Gate, tables.Leg], gate_state.Gate]:
    def arrive(gate: gate_state.Gate, leg: tables.Leg) -> gate_state.Gate:
        after = _arrive(gate, leg)
        return dataclasses.replace(after, **{name: getattr(gate, name)}) if leg.id == leg_id else after

    return arrive


def _arrive_isolated(gate: gate_state.Gate, leg: tables.Leg) -> gate_state.Gate:
    return dataclasses.replace(_arrive(gate, leg), access=leg.end)


def _last_of(gate: gate_state.Gate, leg: str) -> str:
    held = gate.held if gate.leg == leg else ()
    return next((each for each in reversed(transitions._actions_of(gate, leg)) if each not in held), "")


MUTANTS = dict(
    mutant
    for family in (
        without_an_action,
        with_a_wider_table,
        without_a_guard,
        with_a_kinder_outcome,
        with_a_leg_too_many,
        with_a_weaker_function,
    )
    for mutant in family()
)


@pytest.mark.slow
@pytest.mark.parametrize("name", MUTANTS)
def test_a_gate_with_one_rule_less_does_not_survive(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    MUTANTS[name](monkeypatch)
    assert killed(), f"nothing failed with this rule taken out: {name}"
