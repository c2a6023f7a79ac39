"""How a job may end: fit for use, left isolated, or handed over."""

from __future__ import annotations

from collections.abc import Collection

from faultfinder.knowledge.model import Access
from faultfinder.safety.actions import Action
from faultfinder.safety.dangers import NO_SWITCHING
from faultfinder.safety.gate_state import Gate, owed_tests
from faultfinder.safety.tables import CLOSINGS, LEAVE, VOLTAGE
from faultfinder.safety.transitions import in_words, open_actions


def why_not_close(gate: Gate, closing: str, unsafe: Collection[str] = ()) -> str:
    """Why the job may not be closed like this, with what to do; empty when it may.

    closing: 'fit_for_use', 'left_isolated' or 'handed_over'. unsafe: what was found, is not put right, and
    makes the machine unfit (titles, for the sentence).
    """
    if closing not in CLOSINGS:
        return f"A job is closed as one of: {', '.join(CLOSINGS)}."
    if closing == "fit_for_use":
        return _why_not_fit(gate, unsafe)
    if gate.stop:
        return _why_not_stopped(gate, closing)
    if gate.covers_off:
        return "The covers are off. Put them back first."
    if closing == "left_isolated" and gate.access is not Access.ISOLATED:
        return "The supply is not confirmed cut. Cut it first, action by action."
    if must_be_cut(gate, unsafe) and gate.access is not Access.ISOLATED:
        why = "There is a danger sign." if gate.signs else "It is not safe to use as it is."
        return f"{why} Cut the supply first, then hand over."
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
        return "There was voltage with the supply cut: it is not isolated. Hand it to an electrician."
    if gate.stop == VOLTAGE and "covers_back_or_guarded" not in gate.held:
        return "First say whether the covers are back or the machine is guarded."
    return ""


def _why_not_fit(gate: Gate, unsafe: Collection[str]) -> str:
    if gate.stop:
        return "Work was stopped for danger. It can only be left isolated or handed over."
    if gate.signs:
        return "A danger sign is open. It is not fit until earth and insulation are measured and pass."
    if owed := owed_tests(gate):
        return f"Still to be measured: {in_words(owed)}. Without it: left isolated."
    if unsafe:
        return f"Found and not put right: {', '.join(unsafe)}. With that it is not fit for use."
    if gate.forgotten:
        return "The record holds what these rules do not know any more. Say what was done: dealt with, and its name."
    if gate.access is not Access.IN_USE:
        return "It is fit for use only once it has run again. Bring it back into use first."
    return ""
