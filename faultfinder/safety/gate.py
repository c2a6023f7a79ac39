"""Which instruction may be given now, and what must be confirmed before: the safety gate.

Theory of this file. A `Gate` is a value: the access state, what is held confirmed on the way under way, and
what is still owed. Events make a new Gate out of an old one; nothing here prints, asks or looks at a clock.
An event that is not allowed raises `Refused` with a sentence that says why and how to get there, and the old
Gate stays what it was. Laws, each with a test that fails when its line is taken out:

  * An instruction leaves this module only where `PERMITTED` has its need beside the access state.
  * The only ways between access states are the rows of `LEGS`; each is walked action by action, in order.
  * Whatever throws doubt on a confirmation (pause, resume, correction, clock gone back) leads to AS_FOUND,
    from where every way goes through cutting the supply again, or the list before switching on.
  * Back to IN_USE only with covers on, nothing owed, no danger sign open. What was open, or had an
    electrical part touched, owes its return tests.
  * A sign of the leave-now list, or voltage where none may be, is a stop: nothing is permitted until a
    deliberate restart, and after it the machine is out of use until the return tests pass.

AS_FOUND means 'nothing confirmed'; with `covers_off` it is an open machine whose isolation is not confirmed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from faultfinder.errors import Refused
from faultfinder.knowledge.model import Access, Cause, Need, Observation, Probes, Question
from faultfinder.safety.actions import (
    ACTIONS,
    CAUTIONS,
    FLAMMABLE_CAUTION,
    IN_USE_CAUTIONS,
    OPEN_CAUTIONS,
    RETURN_TESTS,
    TESTS_AT_PLUG,
    TESTS_INSIDE,
    Action,
    Effect,
    Outcome,
)
from faultfinder.safety.dangers import LEAVE_NOW, SIGNS, Danger, stop_text

PAUSE_MINUTES = 10.0
"""Longest absence after which confirmations still count (chosen)."""
LEAVE, VOLTAGE = "leave_now", "voltage"
CONNECTIONS = ("plug", "isolator", "fixed")
CLOSINGS = ("fit_for_use", "left_isolated", "handed_over")


@dataclass(frozen=True, slots=True)
class Gate:
    """The safety state of one job; begin with `Gate()`.

    connection: plug, isolator, fixed, or empty while unknown. earthed: False only for a machine known to have
    no earth (class II). leg, held: the way under way and its confirmed actions, in order. short: what the
    short way back may rely on: '', 'isolated' or 'dead'. opened, touched: covers were off, an electrical part
    was touched with covers on, since the return tests last passed. signs: danger signs not settled yet. stop:
    '', 'leave_now' or 'voltage'.
    """

    access: Access = Access.AS_FOUND
    covers_off: bool = False
    connection: str = ""
    earthed: bool = True
    flammable: bool = False
    leg: str = ""
    held: tuple[str, ...] = ()
    short: str = ""
    danger_list: bool = False
    notices: bool = False
    opened: bool = False
    touched: bool = False
    passed: frozenset[str] = frozenset()
    skipped: frozenset[str] = frozenset()
    signs: tuple[str, ...] = ()
    stop: str = ""

    @property
    def danger(self) -> Danger:
        """How far danger restricts the job now."""
        if self.stop:
            return Danger.LEAVE_NOW
        return Danger.OUT_OF_USE if self.signs else Danger.NONE


@dataclass(frozen=True, slots=True)
class Instruction:
    """What a person may read now: the only form in which `how`, `probes` and `remedy_how` leave the gate."""

    id: str
    title: str
    how: str
    need: Need
    probes: Probes | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Leg:
    """One way between access states. `end` is where it leads once all its actions are held."""

    id: str
    start: Access
    end: Access


LEGS: tuple[Leg, ...] = (
    Leg("use", Access.AS_FOUND, Access.IN_USE),
    Leg("use", Access.ISOLATED, Access.IN_USE),
    Leg("isolate", Access.AS_FOUND, Access.ISOLATED),
    Leg("isolate", Access.IN_USE, Access.ISOLATED),
    Leg("open", Access.ISOLATED, Access.OPEN_UNPROVED),
    Leg("prove", Access.OPEN_UNPROVED, Access.OPEN_DEAD),
    Leg("close", Access.OPEN_DEAD, Access.ISOLATED),
    Leg("close_unproved", Access.OPEN_UNPROVED, Access.ISOLATED),
)

_TESTER = (
    "tester_proved",
    "dead_line_neutral",
    "dead_line_earth",
    "dead_neutral_earth",
    "tester_proved_again",
)
WAYS: Mapping[tuple[str, str], tuple[str, ...]] = MappingProxyType(
    {
        ("use", ""): (
            "dangers_answered",
            "plug_flex_whole",
            "casing_whole",
            "notices_looked_up",
            "supply_on",
        ),
        ("isolate", "plug"): ("switched_off", "plug_out", "plug_in_sight"),
        ("isolate", "isolator"): ("switched_off", "isolator_locked", "key_kept"),
        ("isolate", "short"): ("still_isolated", "nobody_else"),
        ("open", ""): ("tester_here", "return_testers_here", "covers_off"),
        ("prove", ""): (*_TESTER, "capacitors_discharged", "board_waited", "parts_cooled", "parts_at_rest"),
        ("prove", "short"): _TESTER,
        ("close", ""): ("inside_clear", "covers_on"),
        ("close_unproved", ""): ("covers_on_unproved",),
        ("stop", LEAVE): ("supply_cut_from_afar",),
        ("stop", VOLTAGE): ("covers_back_or_guarded",),
    }
)
"""(leg, variant) -> its actions in order."""

PERMITTED: Mapping[Need, frozenset[Access]] = MappingProxyType(
    {
        Need.ANYWHERE: frozenset(Access),
        Need.COVERS_ON: frozenset({Access.AS_FOUND, Access.IN_USE, Access.ISOLATED}),
        Need.IN_USE: frozenset({Access.IN_USE}),
        Need.ISOLATED: frozenset({Access.ISOLATED, Access.OPEN_DEAD}),
        Need.OPEN_DEAD: frozenset({Access.OPEN_DEAD}),
    }
)
PERMITTED_IN_DANGER: Mapping[Need, frozenset[Access]] = MappingProxyType(
    {**PERMITTED, Need.COVERS_ON: frozenset({Access.ISOLATED}), Need.IN_USE: frozenset()}
)
"""The same while a danger sign is open: nothing of the machine but with the supply cut."""

_ROUTE: Mapping[tuple[Access, Need], str] = MappingProxyType(
    {
        (Access.AS_FOUND, Need.COVERS_ON): "isolate",
        (Access.AS_FOUND, Need.IN_USE): "use",
        (Access.AS_FOUND, Need.ISOLATED): "isolate",
        (Access.AS_FOUND, Need.OPEN_DEAD): "isolate",
        (Access.IN_USE, Need.COVERS_ON): "isolate",
        (Access.IN_USE, Need.IN_USE): "isolate",
        (Access.IN_USE, Need.ISOLATED): "isolate",
        (Access.IN_USE, Need.OPEN_DEAD): "isolate",
        (Access.ISOLATED, Need.IN_USE): "use",
        (Access.ISOLATED, Need.OPEN_DEAD): "open",
        (Access.OPEN_UNPROVED, Need.COVERS_ON): "close_unproved",
        (Access.OPEN_UNPROVED, Need.IN_USE): "prove",
        (Access.OPEN_UNPROVED, Need.ISOLATED): "prove",
        (Access.OPEN_UNPROVED, Need.OPEN_DEAD): "prove",
        (Access.OPEN_DEAD, Need.COVERS_ON): "close",
        (Access.OPEN_DEAD, Need.IN_USE): "close",
    }
)
"""Which leg to take next from an access state towards a need, where nothing is owed."""

ACCESS_WORDS: Mapping[Access, str] = MappingProxyType(
    {
        Access.AS_FOUND: "as found, nothing confirmed",
        Access.IN_USE: "in use, covers on",
        Access.ISOLATED: "supply cut, covers on",
        Access.OPEN_UNPROVED: "covers off, NOT proved dead",
        Access.OPEN_DEAD: "covers off, proved dead",
    }
)
NEED_WORDS: Mapping[Need, str] = MappingProxyType(
    {
        Need.ANYWHERE: "nothing",
        Need.COVERS_ON: "the covers on",
        Need.IN_USE: "the machine in use, covers on",
        Need.ISOLATED: "the supply cut",
        Need.OPEN_DEAD: "the machine open and proved dead",
    }
)


# -- what is owed ---------------------------------------------------------------------------------------


def tests_needed(gate: Gate) -> tuple[str, ...]:
    """Which return tests must pass before the machine runs again, all of them, in order."""
    if gate.opened:
        needed: tuple[str, ...] = TESTS_INSIDE + TESTS_AT_PLUG
    elif gate.touched or gate.signs:
        needed = TESTS_AT_PLUG
    else:
        needed = ()
    return tuple(test for test in needed if gate.earthed or not test.startswith("earth"))


def tests_owed(gate: Gate) -> tuple[str, ...]:
    """Which return tests are still to pass before the machine runs again."""
    return tuple(test for test in tests_needed(gate) if test not in gate.passed)


# -- guards: why a leg may not be walked now; each returns '' when it may --------------------------------


def _no_stop(gate: Gate) -> str:
    if gate.stop:
        return "Work is stopped here. Only a deliberate restart, written in the record, leads on."
    return ""


def _covers_are_on(gate: Gate) -> str:
    return (
        "The covers are off. Cut the supply, prove it dead, put the covers back." if gate.covers_off else ""
    )


def _nothing_owed(gate: Gate) -> str:
    owed = tests_owed(gate)
    if not owed:
        return ""
    names = ", ".join(owed).replace("_", " ")
    return f"First measure and pass: {names}. Until then the machine stays disconnected."


def _no_danger(gate: Gate) -> str:
    if gate.signs:
        return "There was a danger sign. Cut the supply; it runs again only after earth and insulation pass."
    return ""


def _can_be_isolated(gate: Gate) -> str:
    if gate.connection == "fixed":
        return "It is wired in without an isolator that can be locked. Hand it to an electrician."
    if gate.connection not in CONNECTIONS:
        return "Say first how the machine is connected: plug, isolator (lockable) or fixed."
    return ""


GUARDS: tuple[tuple[str, frozenset[str], Callable[[Gate], str]], ...] = (
    ("no_stop", frozenset({"use", "isolate", "open", "prove", "close", "close_unproved"}), _no_stop),
    ("covers_are_on", frozenset({"use"}), _covers_are_on),
    ("nothing_owed", frozenset({"use"}), _nothing_owed),
    ("no_danger", frozenset({"use"}), _no_danger),
    ("can_be_isolated", frozenset({"isolate"}), _can_be_isolated),
)
"""(name, legs it stands before, why not)."""


def _why_not(gate: Gate, leg: str) -> str:
    for _, legs, guard in GUARDS:
        if leg in legs and (reason := guard(gate)):
            return reason
    return ""


# -- the ways -------------------------------------------------------------------------------------------


def _variant(gate: Gate, leg: str) -> str:
    if leg == "isolate":
        return "short" if gate.short else gate.connection
    if leg == "prove":
        return "short" if gate.short == "dead" else ""
    if leg == "stop":
        return gate.stop
    return ""


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


def open_actions(gate: Gate) -> tuple[Action, ...]:
    """Every action that may be confirmed now: the next one of each way out, and the return tests in reach."""
    names = [name for leg in _legs_from(gate) if (name := _next_of(gate, leg.id))]
    if not gate.stop:
        names += _tests_in_reach(gate)
    return tuple(ACTIONS[name] for name in names)


def _tests_in_reach(gate: Gate) -> list[str]:
    tests: tuple[str, ...] = ()
    if gate.access is Access.OPEN_DEAD:
        tests = TESTS_INSIDE
    elif gate.access is Access.ISOLATED:
        tests = TESTS_AT_PLUG
    return [test for test in tests if gate.earthed or not test.startswith("earth")]


def _next_towards(gate: Gate, need: Need) -> str:
    """The next action towards a need. Raises Refused where there is no way."""
    if reason := _no_stop(gate):
        raise Refused(reason)
    leg = _ROUTE[gate.access, need]
    owed = tests_owed(gate)
    if need is Need.IN_USE and owed:
        if skipped := [test for test in owed if test in gate.skipped]:
            raise Refused(
                f"Not measured here: {', '.join(skipped).replace('_', ' ')}. The machine may not run; "
                "measure it after all, or end the job with the machine left disconnected."
            )
        here = [test for test in owed if test in _tests_in_reach(gate)]
        inside = [test for test in owed if test in TESTS_INSIDE]
        if here and not (inside and gate.access is Access.ISOLATED):
            return here[0]
        if gate.access is Access.AS_FOUND:
            leg = "isolate"
        elif gate.access is Access.ISOLATED:
            leg = "open"
    elif need is Need.IN_USE and gate.access is Access.AS_FOUND and gate.covers_off:
        leg = "isolate"
    if reason := _why_not(gate, leg):
        raise Refused(reason)
    return _next_of(gate, leg)


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
    action = ACTIONS.get(action_id)
    if action is None or action not in open_actions(gate):
        turn = " or ".join(f"'{each.id}'" for each in open_actions(gate)) or "nothing"
        raise Refused(f"It is not the turn of '{action_id}': now {turn} can be confirmed.")
    outcome = action.outcome(outcome_id)
    if outcome is None:
        known = ", ".join(each.id for each in action.outcomes)
        raise Refused(f"'{outcome_id}' is no answer to '{action_id}': {known}.")
    return _EFFECTS[outcome.effect](gate, action, outcome)


# -- what an outcome does -------------------------------------------------------------------------------


def _hold(gate: Gate, action: Action, outcome: Outcome) -> Gate:
    leg = next(leg for leg in _legs_from(gate) if _next_of(gate, leg.id) == action.id)
    held = (*(gate.held if gate.leg == leg.id else ()), action.id)
    gate = replace(gate, leg=leg.id, held=held)
    if action.id == "return_testers_here" and outcome.id == "not_here":
        gate = replace(gate, skipped=frozenset(RETURN_TESTS))
    if leg.id != "stop" and not _next_of(gate, leg.id):
        return _arrive(gate, leg)
    return gate


def _arrive(gate: Gate, leg: Leg) -> Gate:
    """All actions of a leg are held: the gate at its end."""
    if leg.id == "use":
        gate = replace(gate, danger_list=True, notices=True, short="")
    elif leg.id == "isolate" and gate.covers_off:
        # The machine was left open: it is isolated again, and not yet proved dead again.
        return replace(gate, access=Access.OPEN_UNPROVED, leg="", held=())
    elif leg.id == "isolate":
        gate = replace(gate, short="")
    elif leg.id == "open":
        gate = replace(gate, covers_off=True, opened=True, passed=frozenset(), short="")
    elif leg.id == "prove":
        gate = replace(gate, short="")
    elif leg.id in ("close", "close_unproved"):
        gate = replace(gate, covers_off=False, short="")
    return replace(gate, access=leg.end, leg="", held=())


def _stay(gate: Gate, action: Action, outcome: Outcome) -> Gate:
    return gate


def _begin_again(gate: Gate, action: Action, outcome: Outcome) -> Gate:
    """'Not sure' on a short way is the full list; on a full list it starts that list again."""
    if gate.short and action.id in ("still_isolated", "nobody_else"):
        return _doubt(gate)
    return replace(gate, leg="", held=(), short="isolated" if gate.short == "dead" else gate.short)


def _out_of_use(gate: Gate, action: Action, outcome: Outcome) -> Gate:
    return danger_seen(gate, outcome.sign)


def _voltage(gate: Gate, action: Action, outcome: Outcome) -> Gate:
    return danger_seen(gate, "voltage_when_isolated")


def _pass(gate: Gate, action: Action, outcome: Outcome) -> Gate:
    gate = replace(gate, passed=gate.passed | {action.id}, skipped=gate.skipped - {action.id})
    if tests_needed(gate) and not tests_owed(gate) and not gate.covers_off:
        # Measured inside and at the plug, covers on: nothing is owed, and what was feared is settled.
        gate = replace(gate, opened=False, touched=False, signs=(), passed=frozenset(), skipped=frozenset())
    return gate


def _fail(gate: Gate, action: Action, outcome: Outcome) -> Gate:
    gate = replace(gate, passed=gate.passed - {action.id}, skipped=gate.skipped - {action.id})
    return replace(gate, signs=_with(gate.signs, "return_test_failed"))


def _skip(gate: Gate, action: Action, outcome: Outcome) -> Gate:
    return replace(gate, passed=gate.passed - {action.id}, skipped=gate.skipped | {action.id})


_EFFECTS: Mapping[Effect, Callable[[Gate, Action, Outcome], Gate]] = {
    Effect.HOLD: _hold,
    Effect.NOT_YET: _stay,
    Effect.BEGIN_AGAIN: _begin_again,
    Effect.OUT_OF_USE: _out_of_use,
    Effect.VOLTAGE: _voltage,
    Effect.PASS: _pass,
    Effect.FAIL: _fail,
    Effect.SKIP: _skip,
}


# -- events that throw doubt ----------------------------------------------------------------------------


def _with(signs: Iterable[str], sign: str) -> tuple[str, ...]:
    return tuple(sorted({*signs, sign}))


def _doubt(gate: Gate) -> Gate:
    """Nothing counts as confirmed any more; what is owed and the covers stay as they are."""
    return replace(
        gate,
        access=Access.AS_FOUND,
        leg="",
        held=(),
        short="",
        danger_list=False,
        passed=frozenset(),
        skipped=frozenset(),
    )


def _lapse(gate: Gate) -> Gate:
    """Confirmations have aged: back to AS_FOUND, the short way open to what had been confirmed before."""
    unproved = gate.short or "isolated"
    short = {Access.ISOLATED: "isolated", Access.OPEN_UNPROVED: unproved, Access.OPEN_DEAD: "dead"}
    asked = gate.danger_list and gate.access not in (Access.AS_FOUND, Access.IN_USE)
    return replace(
        gate,
        access=Access.AS_FOUND,
        leg="",
        held=(),
        short=gate.short if gate.access is Access.AS_FOUND else short.get(gate.access, ""),
        danger_list=asked,
        skipped=frozenset(),
    )


def paused(gate: Gate, minutes: float, allowed: float = 0.0) -> Gate:
    """The gate after an absence of so many minutes; `allowed`: the stated minutes of the work under way.

    A clock that went back (negative minutes, or no number) counts as a pause.
    """
    if gate.stop or 0.0 <= minutes <= max(PAUSE_MINUTES, allowed):
        return gate
    return _lapse(gate)


def resumed(gate: Gate) -> Gate:
    """The gate after the job was left and taken up again, or handed to somebody else."""
    return gate if gate.stop else _lapse(gate)


def corrected(gate: Gate) -> Gate:
    """The gate after a confirmation was taken back: nothing counts, and the full list is due."""
    return gate if gate.stop else replace(_doubt(gate), notices=False)


def facts_known(gate: Gate, facts: Mapping[str, object]) -> Gate:
    """Take up the facts that safety rests on: connection, protection, refrigerant. Unknown is the strictest.

    A connection that turns out to be another throws doubt on the isolation confirmed for the old one.
    """
    connection = str(facts.get("connection") or "")
    connection = connection if connection in CONNECTIONS else ""
    if connection != gate.connection:
        if gate.connection and gate.access is not Access.IN_USE and not gate.stop:
            gate = _doubt(gate)
        gate = replace(gate, connection=connection, leg="", held=())
    refrigerant = facts.get("refrigerant", "not_flammable")
    return replace(
        gate, earthed=facts.get("protection") != "class_ii", flammable=refrigerant != "not_flammable"
    )


def danger_seen(gate: Gate, sign: str) -> Gate:
    """The gate after a danger sign (`dangers.stop_text` says what to tell). KeyError: no such sign."""
    signs = _with(gate.signs, SIGNS[sign].id)
    gate = replace(gate, signs=signs, passed=frozenset(), leg="", held=())
    if sign in LEAVE_NOW:
        return replace(gate, stop=LEAVE)
    if sign == "voltage_when_isolated":
        return replace(gate, stop=gate.stop or VOLTAGE)
    return gate


def restart_after_stop(gate: Gate, reason: str) -> Gate:
    """Take up work again after a stop, on purpose; the reason goes into the record.

    Nothing counts as confirmed, and the machine is out of use until its return tests pass. Raises
    Refused where nothing is stopped or no reason is given.
    """
    if not gate.stop:
        raise Refused("Nothing is stopped here; there is nothing to restart.")
    if not reason.strip():
        raise Refused("A restart needs its reason in words: what has changed since the stop?")
    signs = _with(gate.signs, "restarted_after_stop")
    return replace(_doubt(gate), stop="", notices=False, signs=signs)


# -- instructions ---------------------------------------------------------------------------------------


def permits(gate: Gate, need: Need) -> bool:
    """Whether an instruction of this need may be given now. During a stop none may."""
    if gate.stop:
        return False
    if need is Need.COVERS_ON and gate.covers_off:
        return False
    table = PERMITTED_IN_DANGER if gate.signs else PERMITTED
    return gate.access in table[need]


def _ask_for(gate: Gate, need: Need, title: str) -> None:
    """Raises Refused, saying why and how to get there, where the need is not permitted now."""
    if permits(gate, need):
        return
    if gate.stop:
        raise Refused(stop_text(_leading_sign(gate)))
    first = way(gate, need)[0]
    raise Refused(
        f"'{title}' needs {NEED_WORDS[need]}; now it is: {ACCESS_WORDS[gate.access]}. First: {first.text}"
    )


def _leading_sign(gate: Gate) -> str:
    leaving = [sign for sign in gate.signs if sign in LEAVE_NOW]
    return leaving[0] if gate.stop == LEAVE and leaving else "voltage_when_isolated"


def cautions(gate: Gate, need: Need) -> tuple[str, ...]:
    """What to take care of at work of this need, besides the actions that are confirmed."""
    names: tuple[str, ...] = ()
    if need is Need.OPEN_DEAD:
        names = OPEN_CAUTIONS
    elif need is Need.IN_USE:
        names = IN_USE_CAUTIONS
    texts = tuple(CAUTIONS[name] for name in names)
    return (*texts, FLAMMABLE_CAUTION) if gate.flammable and need is not Need.ANYWHERE else texts


def instruction_for_observation(gate: Gate, observation: Observation | Question) -> Instruction:
    """How to make an observation, when its access state is confirmed. Raises Refused otherwise."""
    _ask_for(gate, observation.need, observation.ask)
    probes = observation.probes if isinstance(observation, Observation) else None
    return Instruction(
        observation.id,
        observation.ask,
        observation.how,
        observation.need,
        probes,
        cautions(gate, observation.need),
    )


def remedy_need(cause: Cause) -> Need:
    """The access state that a remedy is done in: never in use, and never connected at an electrical part."""
    if cause.remedy_need is Need.IN_USE:
        return Need.OPEN_DEAD
    if cause.touches_electrics and cause.remedy_need in (Need.ANYWHERE, Need.COVERS_ON):
        return Need.ISOLATED
    return cause.remedy_need


def instruction_for_remedy(gate: Gate, cause: Cause) -> Instruction:
    """How to put a cause right, when its access state is confirmed. Raises Refused otherwise."""
    if cause.hand_to:
        raise Refused(f"'{cause.remedy}' is for a licensed person: hand it over.")
    need = remedy_need(cause)
    _ask_for(gate, need, cause.remedy)
    return Instruction(cause.id, cause.remedy, cause.remedy_how, need, None, cautions(gate, need))


def instruction_given(gate: Gate, need: Need) -> Gate:
    """The gate after an instruction was shown: work inside makes what was measured inside before stale."""
    if need is Need.OPEN_DEAD:
        return replace(gate, passed=gate.passed - frozenset(TESTS_INSIDE))
    return gate


def reading_brought(gate: Gate, need: Need) -> Gate:
    """The gate after an answer was brought that nobody was led to: never refused, never trusted for safety.

    What can only be seen with the covers off shows that they were off: the return tests are owed, and a
    machine that counted as in use no longer does.
    """
    if need is not Need.OPEN_DEAD or permits(gate, need):
        return gate
    gate = replace(gate, opened=True, passed=frozenset())
    return _doubt(gate) if gate.access is Access.IN_USE and not gate.stop else gate


def remedy_done(gate: Gate, cause: Cause) -> Gate:
    """The gate after a remedy was carried out: what it touched owes the return tests."""
    need = remedy_need(cause)
    if need is Need.OPEN_DEAD:
        gate = reading_brought(gate, need)
        return replace(gate, opened=True, passed=frozenset())
    return replace(gate, touched=True, passed=frozenset()) if cause.touches_electrics else gate


# -- closing --------------------------------------------------------------------------------------------


def why_not_close(gate: Gate, closing: str, unsafe: Collection[str] = ()) -> str:
    """Why the job may not be closed like this, with what to do; empty when it may.

    closing: 'fit_for_use', 'left_isolated' or 'handed_over'. unsafe: what was found, is not put right, and
    makes the machine unfit (titles, for the sentence).
    """
    if closing not in CLOSINGS:
        return f"A job is closed as one of: {', '.join(CLOSINGS)}."
    if closing == "fit_for_use":
        return _why_not_fit(gate, unsafe)
    if gate.stop == LEAVE:
        return ""
    if gate.stop == VOLTAGE:
        if closing == "left_isolated":
            return "There was voltage with the supply cut: it is not isolated. Hand it to an electrician."
        if "covers_back_or_guarded" not in gate.held:
            return "First say whether the covers are back or the machine is guarded."
        return ""
    if gate.covers_off:
        return "The covers are off. Put them back first."
    if closing == "left_isolated" and gate.access is not Access.ISOLATED:
        return "The supply is not confirmed cut. Cut it first, action by action."
    if gate.signs and gate.access is not Access.ISOLATED and gate.connection != "fixed":
        return "There is a danger sign. Cut the supply first, then hand over."
    return ""


def _why_not_fit(gate: Gate, unsafe: Collection[str]) -> str:
    if gate.stop:
        return "Work was stopped for danger. It can only be left isolated or handed over."
    if gate.signs:
        return "A danger sign is open. It is not fit until earth and insulation are measured and pass."
    if owed := tests_owed(gate):
        return f"Still to be measured: {', '.join(owed).replace('_', ' ')}. Without it: left isolated."
    if unsafe:
        return f"Found and not put right: {', '.join(unsafe)}. With that it is not fit for use."
    if gate.access is not Access.IN_USE:
        return "It is fit for use only once it has run again. Bring it back into use first."
    return ""


def may_close(gate: Gate, closing: str, unsafe: Collection[str] = ()) -> bool:
    """Whether the job may be closed like this now; see `why_not_close`."""
    return not why_not_close(gate, closing, unsafe)
