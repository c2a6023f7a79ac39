"""How a job may end: fit for use, left isolated, or handed over."""

from __future__ import annotations

from collections.abc import Collection

from faultfinder.knowledge.model import Access
from faultfinder.safety.actions import Action
from faultfinder.safety.dangers import NO_SWITCHING
from faultfinder.safety.gate_state import Gate, owed_tests
from faultfinder.safety.tables import CLOSINGS, LEAVE, VOLTAGE
from faultfinder.safety.transitions import in_words, open_actions
from faultfinder.text.catalogue import say


def why_not_close(gate: Gate, closing: str, unsafe: Collection[str] = ()) -> str:
    """Why the job may not be closed like this, with what to do; empty when it may.

    closing: 'fit_for_use', 'left_isolated' or 'handed_over'. unsafe: what was found, is not put right, and
    makes the machine unfit (titles, for the sentence).
    """
    if closing not in CLOSINGS:
        return say("refused_job_closed_as_one", names=", ".join(CLOSINGS))
    if closing == "fit_for_use":
        return _why_not_fit(gate, unsafe)
    if gate.stop:
        return _why_not_stopped(gate, closing)
    if gate.covers_off:
        return say("refused_covers_off_put_them")
    if closing == "left_isolated" and gate.access is not Access.ISOLATED:
        return say("refused_supply_not_confirmed_cut")
    if must_be_cut(gate, unsafe) and gate.access is not Access.ISOLATED:
        why = say("refused_there_danger_sign") if gate.signs else say("refused_not_safe_use_as")
        return say("refused_cut_supply_first_then", why=why)
    return ""


def must_be_cut(gate: Gate, unsafe: Collection[str] = ()) -> bool:
    """Whether a machine that is handed over has to have its supply cut first: danger, tests owed, or what was found.
    Where it is wired in with nothing to lock off nobody can."""
    return gate.connection != "fixed" and bool(gate.signs or owed_tests(gate) or unsafe or gate.forgotten)


def may_close(gate: Gate, closing: str, unsafe: Collection[str] = ()) -> bool:
    """Whether the job may be closed like this now; see `why_not_close`."""
    return not why_not_close(gate, closing, unsafe)


def asked_after_stop(gate: Gate) -> Action | None:
    """What is still asked before a stopped job is closed. Nothing about switches where a spark could set fire."""
    if gate.stop == LEAVE and not NO_SWITCHING.isdisjoint(gate.signs):
        return None
    return next(iter(open_actions(gate)), None) if gate.stop else None


def not_isolated(gate: Gate) -> bool:
    """Whether a machine that people had to leave stands as it was found: nobody confirmed its supply cut."""
    cut = gate.access in (Access.ISOLATED, Access.OPEN_UNPROVED, Access.OPEN_DEAD)
    cut = cut and "voltage_when_isolated" not in gate.signs
    return gate.stop == LEAVE and not (cut or gate.cut_from_afar)


def _why_not_stopped(gate: Gate, closing: str) -> str:
    if gate.stop == LEAVE:
        return ""
    if closing == "left_isolated":
        return say("refused_there_voltage_with_supply")
    if gate.stop == VOLTAGE and "covers_back_or_guarded" not in gate.held:
        return say("refused_first_say_whether_covers")
    return ""


def _why_not_fit(gate: Gate, unsafe: Collection[str]) -> str:
    if gate.stop:
        return say("refused_work_stopped_for_danger")
    if gate.signs:
        return say("refused_danger_sign_open_not")
    if owed := owed_tests(gate):
        return say("refused_still_measured_without_left", owed=in_words(owed))
    if unsafe:
        return say("refused_found_not_put_right", names=", ".join(unsafe))
    if gate.forgotten:
        return say("refused_record_holds_what_these")
    if gate.access is not Access.IN_USE:
        return say("refused_fit_for_use_only")
    return ""
