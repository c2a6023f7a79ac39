"""How a person gets from one access state to another: the actions still to be confirmed, one by one, in order.

`way` plans with the good outcome of each action; `confirm` takes the outcome that there was. A leg may be begun
only where no guard stands before it; beginning another leg drops what was confirmed on the first.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from faultfinder.errors import Refused
from faultfinder.knowledge.model import Access, Need
from faultfinder.safety.actions import (
    ACTIONS,
    RETURN_TESTS,
    TESTS_AT_PLUG,
    TESTS_INSIDE,
    Action,
    Effect,
    Outcome,
)
from faultfinder.safety.gate_state import (
    Gate,
    danger_seen,
    doubt,
    measurable,
    owed_tests,
    permits,
    settled,
)
from faultfinder.safety.tables import CONNECTIONS, LEGS, ROUTE, WAYS, Leg
from faultfinder.text.catalogue import say
from faultfinder.text.format import choices

# -- guards: why a leg may not be walked now; each returns '' when it may --------------------------------


def _nothing_owed(gate: Gate) -> str:
    """Covers off and danger signs owe tests too, so this one guard stands for all three."""
    owed = owed_tests(gate)
    if not owed:
        return ""
    if gate.covers_off:
        return say("refused_covers_off_cut_supply")
    if gate.signs:
        return say("refused_there_danger_sign_cut", owed=in_words(owed))
    return say("refused_first_measure_pass_until", owed=in_words(owed))


def _left_open(gate: Gate) -> str:
    return "" if gate.covers_off else say("refused_covers_on")


def _can_be_isolated(gate: Gate) -> str:
    if gate.connection == "fixed":
        return say("refused_wired_in_without_isolator")
    if gate.connection not in CONNECTIONS:
        return say("refused_say_first_how_machine")
    return ""


GUARDS: tuple[tuple[str, frozenset[str], Callable[[Gate], str]], ...] = (
    ("nothing_owed", frozenset({"use"}), _nothing_owed),
    ("can_be_isolated", frozenset({"isolate"}), _can_be_isolated),
    ("left_open", frozenset({"cover_up"}), _left_open),
)
"""(name, legs it stands before, why not)."""


def in_words(tests: tuple[str, ...] | list[str]) -> str:
    """Action ids as a person reads them."""
    return ", ".join(say(f"test_name_{test}") for test in tests)


def _why_not(gate: Gate, leg: str) -> str:
    return next((reason for _, legs, guard in GUARDS if leg in legs and (reason := guard(gate))), "")


# -- what may be confirmed now --------------------------------------------------------------------------


def _variant(gate: Gate, leg: str) -> str:
    if leg == "isolate":
        return "short" if gate.short else gate.connection
    if leg == "prove":
        return "short" if gate.short == "dead" else ""
    return gate.stop if leg == "stop" else ""


def _actions_of(gate: Gate, leg: str) -> tuple[str, ...]:
    """The actions of a leg for this gate, leaving out what is confirmed once a job."""
    known = {"dangers_answered": gate.danger_list, "notices_looked_up": gate.notices}
    return tuple(
        action for action in WAYS.get((leg, _variant(gate, leg)), ()) if not known.get(action, False)
    )


def _legs_from(gate: Gate) -> tuple[Leg, ...]:
    if gate.stop:
        return (Leg("stop", gate.access, gate.access),)
    return tuple(leg for leg in LEGS if leg.start is gate.access and not _why_not(gate, leg.id))


def _next_of(gate: Gate, leg: str) -> str:
    held = gate.held if gate.leg == leg else ()
    return next((action for action in _actions_of(gate, leg) if action not in held), "")


def _tests_in_reach(gate: Gate) -> list[str]:
    tests = {Access.OPEN_DEAD: TESTS_INSIDE, Access.ISOLATED: TESTS_AT_PLUG}.get(gate.access, ())
    return [test for test in tests if measurable(gate, test)]


def open_actions(gate: Gate) -> tuple[Action, ...]:
    """Every action that may be confirmed now: the next one of each way out, and the return tests in reach."""
    names = [name for leg in _legs_from(gate) if (name := _next_of(gate, leg.id))]
    if not gate.stop:
        names += _tests_in_reach(gate)
    return tuple(ACTIONS[name] for name in names)


# -- the way to a need ----------------------------------------------------------------------------------


def _next_towards(gate: Gate, need: Need) -> str:
    """The next action towards a need. Raises Refused where there is no way."""
    if gate.stop:
        raise Refused(say("refused_work_stopped_here_only"))
    leg = ROUTE[gate.access, need]
    if need is Need.COVERS_ON and leg == "isolate" and gate.covers_off and _why_not(gate, leg):
        # Nothing can cut its supply: the covers go back all the same, by somebody who treats it as live.
        leg = "cover_up"
    owed = owed_tests(gate)
    if need is Need.IN_USE and owed:
        if skipped := [test for test in owed if test in gate.skipped]:
            raise Refused(say("refused_not_measured_here_machine", skipped=in_words(skipped)))
        inside = any(test in TESTS_INSIDE for test in owed)
        due = [test for test in _tests_in_reach(gate) if test in owed]
        if due and not (inside and gate.access is Access.ISOLATED):
            return due[0]
        leg = {Access.AS_FOUND: "isolate", Access.ISOLATED: "open"}.get(gate.access, leg)
    if leg == "close" and (test := _before_the_covers(gate, owed)):
        return test
    if reason := _why_not(gate, leg):
        raise Refused(reason)
    return _next_of(gate, leg)


def _before_the_covers(gate: Gate, owed: tuple[str, ...]) -> str:
    """The test inside that is asked for before the covers go back, so that nobody has to open the machine again for
    it; none that was put off, and none any more once one has failed: then the covers may go back as it is."""
    if "return_test_failed" in gate.signs:
        return ""
    return next((test for test in _tests_in_reach(gate) if test in owed and test not in gate.skipped), "")


def way(gate: Gate, need: Need) -> tuple[Action, ...]:
    """The numbered actions still to be confirmed, in order, until an instruction of this need may be given.

    Empty when it may be given now. Raises Refused where no way leads there, saying why and what to do. Return
    tests stand in it where they are due: each outcome but the good one changes the way.
    """
    actions: list[Action] = []
    ahead = gate
    while not permits(ahead, need):
        action = ACTIONS[_next_towards(ahead, need)]
        actions.append(action)
        ahead = confirm(ahead, action.id, action.outcomes[0].id)
    return tuple(actions)


def next_action(gate: Gate, need: Need) -> Action | None:
    """The one action to confirm next towards a need; None when permitted now. Raises Refused as `way`."""
    return None if permits(gate, need) else ACTIONS[_next_towards(gate, need)]


def confirm(gate: Gate, action_id: str, outcome_id: str) -> Gate:
    """The gate after an action was answered. Raises Refused when it is not its turn, the gate unchanged."""
    now = open_actions(gate)
    action = next((each for each in now if each.id == action_id), None)
    if action is None:
        turn = choices(f"'{each.id}'" for each in now) or say("need_anywhere")
        raise Refused(say("refused_not_turn_now_can", action_id=action_id[:40], turn=turn))
    outcome = action.outcome(outcome_id)
    if outcome is None:
        known = ", ".join(each.id for each in action.outcomes)
        raise Refused(say("refused_no_answer", outcome_id=outcome_id[:40], action_id=action_id, known=known))
    return _after(gate, action.id, outcome)


# -- what an outcome does -------------------------------------------------------------------------------


def _after(gate: Gate, action: str, outcome: Outcome) -> Gate:
    match outcome.effect:
        case Effect.HOLD:
            return _held(gate, action, outcome.id)
        case Effect.NOT_YET:
            return gate
        case Effect.BEGIN_AGAIN if action in WAYS["isolate", "short"]:
            # 'Not sure' on a short way is the full list; on a full list it starts that list again.
            return doubt(gate)
        case Effect.BEGIN_AGAIN:
            return replace(gate, leg="", held=(), short="isolated" if gate.short == "dead" else gate.short)
        case Effect.OUT_OF_USE:
            return danger_seen(gate, outcome.sign)
        case Effect.VOLTAGE:
            return danger_seen(gate, "voltage_when_isolated")
        case Effect.PASS:
            return settled(replace(gate, passed=gate.passed | {action}, skipped=gate.skipped - {action}))
        case Effect.FAIL:
            earth = gate.earth_failed or action.startswith("earth")
            gate = replace(gate, skipped=gate.skipped - {action}, earth_failed=earth)
            return danger_seen(gate, "return_test_failed")
        case Effect.SKIP:
            return replace(gate, passed=gate.passed - {action}, skipped=gate.skipped | {action})


def _held(gate: Gate, action: str, outcome: str) -> Gate:
    """An action confirmed: the next one of its leg may follow, or the leg's end is reached."""
    leg = next(leg for leg in _legs_from(gate) if _next_of(gate, leg.id) == action)
    gate = replace(gate, leg=leg.id, held=(*(gate.held if gate.leg == leg.id else ()), action))
    if action == "return_testers_here" and outcome == "not_here":
        gate = replace(gate, skipped=frozenset(RETURN_TESTS))
    if action == "supply_cut_from_afar" and outcome == "done":
        gate = replace(gate, cut_from_afar=True)
    if action == "covers_back_or_guarded" and outcome == "done":
        gate = replace(gate, covers_off=False, access=Access.AS_FOUND)
    return gate if leg.id == "stop" or _next_of(gate, leg.id) else _arrive(gate, leg)


def _arrive(gate: Gate, leg: Leg) -> Gate:
    """All actions of a leg are held: the gate at its end."""
    gate = replace(gate, access=leg.end, leg="", held=())
    if leg.id == "isolate" and gate.covers_off:
        # The machine was left open: isolated again, not yet proved dead again; `short` still counts for that.
        return replace(gate, access=Access.OPEN_UNPROVED)
    gate = replace(gate, short="")
    if leg.id == "use":
        return replace(gate, danger_list=True, notices=True)
    if leg.id == "open":
        return replace(gate, covers_off=True, opened=True, passed=frozenset())
    if leg.id in ("close", "close_unproved", "cover_up"):
        return replace(gate, covers_off=False)
    return gate
