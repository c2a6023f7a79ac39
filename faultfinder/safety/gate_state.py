"""How a job stands with safety: the `Gate` value, what it owes, and the events that throw doubt on it.

Every function makes a new Gate from an old one. Doubt is cheap: whatever may have changed behind the person's
back leads to AS_FOUND, and only what was confirmed before opens the short way back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from faultfinder.errors import Refused
from faultfinder.knowledge.model import Access, Cause, Need
from faultfinder.safety.actions import TESTS_AT_PLUG, TESTS_INSIDE
from faultfinder.safety.dangers import FORGOTTEN, LEAVE_NOW, SIGNS, Danger
from faultfinder.safety.tables import (
    CONNECTIONS,
    LEAVE,
    PAUSE_MINUTES,
    PERMITTED,
    PERMITTED_IN_DANGER,
    VOLTAGE,
)
from faultfinder.text.catalogue import say


@dataclass(frozen=True, slots=True)
class Gate:
    """The safety state of one job; begin with `Gate()`.

    access: AS_FOUND means 'nothing confirmed'; with covers_off it is an open machine whose isolation is not
    confirmed. connection: plug, isolator, fixed, or empty while unknown. earthed: False only for a machine known
    to have no earth (class II). leg, held: the way under way and its confirmed actions, in order. short: what the
    short way back may rely on: '', 'isolated' or 'dead'. danger_list, notices: confirmed in this job. opened,
    touched: covers were off, an electrical part was touched with covers on, since the return tests last passed.
    passed, skipped: return tests since then. earth_failed: an earth test failed since then, whatever class the
    machine is said to be. signs: danger signs not settled yet. stop: '', 'leave_now' or
    'voltage'. cut_from_afar: after such a stop, the supply was said to be cut at the main switch or by the plug.
    forgotten: the record holds what the rules do not know any more, and nobody has dealt with it: no electrical test
    settles that, since it may have been anything.
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
    earth_failed: bool = False
    signs: tuple[str, ...] = ()
    stop: str = ""
    cut_from_afar: bool = False
    forgotten: bool = False

    @property
    def danger(self) -> Danger:
        """How far danger restricts the job now."""
        if self.stop:
            return Danger.LEAVE_NOW
        return Danger.OUT_OF_USE if self.signs else Danger.NONE


def permits(gate: Gate, need: Need) -> bool:
    """Whether an instruction of this need may be given now. During a stop none may."""
    if gate.stop:
        return False
    if need is Need.COVERS_ON and gate.covers_off:
        return False
    table = PERMITTED_IN_DANGER if gate.signs else PERMITTED
    return gate.access in table[need]


# -- what is owed ---------------------------------------------------------------------------------------


def needed_tests(gate: Gate) -> tuple[str, ...]:
    """Which return tests must pass before the machine runs again, all of them, in order.

    Covers were off: inside and at the plug. An electrical part touched with covers on, or a danger sign: at the
    plug. A machine without earth has no earth to measure; what failed must pass, whatever was said of it since.
    """
    if gate.opened:
        needed: tuple[str, ...] = TESTS_INSIDE + TESTS_AT_PLUG
    elif gate.touched or gate.signs:
        needed = TESTS_AT_PLUG
    else:
        needed = ()
    return tuple(test for test in needed if measurable(gate, test))


def measurable(gate: Gate, test: str) -> bool:
    """Whether there is anything to measure: no earth on a machine without one, unless one was measured and failed."""
    return gate.earthed or not test.startswith("earth") or gate.earth_failed


def owed_tests(gate: Gate) -> tuple[str, ...]:
    """Which return tests are still to pass before the machine runs again."""
    return tuple(test for test in needed_tests(gate) if test not in gate.passed)


def settled(gate: Gate) -> Gate:
    """The gate with nothing owed any more, once every test needed has passed.

    While the covers are off that cannot be: opening owes the tests at the plug, which need them on.
    """
    if owed_tests(gate):
        return gate
    nothing: frozenset[str] = frozenset()
    return replace(
        gate, opened=False, touched=False, signs=(), passed=nothing, skipped=nothing, earth_failed=False
    )


# -- events that throw doubt ----------------------------------------------------------------------------


def doubt(gate: Gate) -> Gate:
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
    short = {
        Access.AS_FOUND: gate.short,
        Access.IN_USE: "",
        Access.ISOLATED: "isolated",
        Access.OPEN_UNPROVED: gate.short or "isolated",
        Access.OPEN_DEAD: "dead",
    }
    # Seen from the machine's side: while it was connected, new signs may have come up unseen.
    asked = gate.danger_list and gate.access not in (Access.AS_FOUND, Access.IN_USE)
    return replace(doubt(gate), short=short[gate.access], danger_list=asked, passed=gate.passed)


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


def corrected(gate: Gate, action: str) -> Gate:
    """The gate after the confirmation of an action was taken back: nothing counts, and the full list is due.

    A return test taken back is owed again.
    """
    if action in TESTS_INSIDE:
        gate = replace(gate, opened=True)
    elif action in TESTS_AT_PLUG:
        gate = replace(gate, touched=True)
    return replace(gate if gate.stop else doubt(gate), notices=False, passed=frozenset())


def facts_known(gate: Gate, facts: Mapping[str, object]) -> Gate:
    """Take up the facts that safety rests on: connection, protection, refrigerant. Unknown is the strictest.

    A connection that turns out to be another throws doubt on the isolation confirmed for the old one.
    """
    connection = str(facts.get("connection") or "")
    connection = connection if connection in CONNECTIONS else ""
    if connection != gate.connection:
        if not gate.stop:
            gate = replace(gate if gate.access is Access.IN_USE else doubt(gate), leg="", held=())
        gate = replace(gate, connection=connection)
    earthed = facts.get("protection") != "class_ii"
    if earthed and not gate.earthed:
        # It has an earth after all, and what passed before passed without it.
        gate = work_done(gate, inside=False, electrical=True)
    refrigerant = facts.get("refrigerant", "not_flammable")
    return settled(replace(gate, earthed=earthed, flammable=refrigerant != "not_flammable"))


def danger_seen(gate: Gate, sign: str) -> Gate:
    """The gate after a danger sign (`dangers.stop_text` says what to tell). KeyError: no such sign."""
    gate = replace(gate, signs=_with(gate.signs, SIGNS[sign].id), passed=frozenset(), leg="", held=())
    if sign in LEAVE_NOW:
        return replace(gate, stop=LEAVE)
    if sign == "voltage_when_isolated":
        return replace(gate, stop=gate.stop or VOLTAGE)
    return replace(gate, forgotten=True) if sign == FORGOTTEN else gate


def all_dealt_with(gate: Gate) -> Gate:
    """The gate after all was dealt with that the rules did not know any more. Its sign stands until the return tests
    pass, as every sign does."""
    return replace(gate, forgotten=False)


def sign_lifted(gate: Gate, sign: str) -> Gate:
    """The gate after what had set a sign was corrected. What makes people leave is lifted by no correction, and a
    stop by none: only by the deliberate restart."""
    if sign in LEAVE_NOW or sign == "voltage_when_isolated":
        return gate
    return settled(replace(gate, signs=tuple(each for each in gate.signs if each != sign)))


def restart_after_stop(gate: Gate, reason: str) -> Gate:
    """Take up work again after a stop, on purpose; the reason goes into the record.

    Nothing counts as confirmed, and the machine is out of use until its return tests pass. Raises Refused where
    nothing is stopped or no reason is given.
    """
    if not gate.stop:
        raise Refused(say("refused_nothing_stopped_here_there"))
    if not reason.strip():
        raise Refused(say("refused_restart_needs_its_reason"))
    signs = _with(gate.signs, "restarted_after_stop")
    return replace(doubt(gate), stop="", notices=False, signs=signs, cut_from_afar=False)


def _with(signs: Iterable[str], sign: str) -> tuple[str, ...]:
    return tuple(sorted({*signs, sign}))


# -- work that was done ---------------------------------------------------------------------------------


def instruction_given(gate: Gate, need: Need) -> Gate:
    """The gate after an instruction was shown: work inside makes what was measured inside before stale."""
    if need is Need.OPEN_DEAD:
        return replace(gate, passed=gate.passed - frozenset(TESTS_INSIDE))
    return gate


def reading_brought(gate: Gate, need: Need) -> Gate:
    """The gate after an answer was brought that nobody was led to: never refused, never trusted for safety.

    What can only be seen with the covers off shows that they were off: the return tests are owed, and a machine
    that counted as in use no longer does.
    """
    if need is not Need.OPEN_DEAD or permits(gate, need):
        return gate
    return work_done(gate, inside=True, electrical=False)


def remedy_need(cause: Cause) -> Need:
    """The access state that a remedy is done in: never in use, and never connected at an electrical part."""
    if cause.remedy_need is Need.IN_USE:
        return Need.OPEN_DEAD
    if cause.touches_electrics and cause.remedy_need in (Need.ANYWHERE, Need.COVERS_ON):
        return Need.ISOLATED
    return cause.remedy_need


def remedy_done(gate: Gate, cause: Cause) -> Gate:
    """The gate after a remedy was carried out, by whomever: what it touched owes the return tests."""
    inside = remedy_need(cause) is Need.OPEN_DEAD
    return work_done(gate, inside=inside, electrical=cause.touches_electrics)


def work_done(gate: Gate, *, inside: bool, electrical: bool) -> Gate:
    """The gate after work behind the covers, or at an electrical part with the covers on."""
    if not inside and not electrical:
        return gate
    opened, touched = gate.opened or inside, gate.touched or not inside
    return _no_more_running(replace(gate, opened=opened, touched=touched, passed=frozenset()))


def _no_more_running(gate: Gate) -> Gate:
    """What was done needs the supply cut: a machine that counted as in use no longer does."""
    return doubt(gate) if gate.access is Access.IN_USE and not gate.stop else gate
