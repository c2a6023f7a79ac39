"""The safety gate: which instruction may be given now, and what must be confirmed before. The public names.

Theory. A `Gate` (gate_state.py) is a value: the access state, what is held confirmed on the way under way, and what
is still owed. Events make a new Gate out of an old one; nothing here prints, asks or looks at a clock. An event
that is not allowed raises `Refused` with a sentence that says why and how to get there, and the old Gate stays
what it was. Laws, each with a test that fails when its rule is taken out:

  * An instruction leaves only where `PERMITTED` (tables.py) has its need beside the access state.
  * The only ways between access states are the rows of `LEGS`; each is walked action by action, in order
    (transitions.py).
  * Whatever throws doubt on a confirmation (pause, resume, correction, clock gone back) leads to AS_FOUND, from
    where every way goes through cutting the supply again, or through the list before switching on.
  * Back to IN_USE only with covers on, nothing owed, no danger sign open. What was open, or had an electrical
    part touched, owes its return tests.
  * A sign of the leave-now list, or voltage where none may be, is a stop: nothing is permitted until a deliberate
    restart, and after it the machine is out of use until the return tests pass.
"""

from __future__ import annotations

from faultfinder.safety.closing import asked_after_stop, may_close, must_be_cut, not_isolated, why_not_close
from faultfinder.safety.gate_state import (
    Gate,
    all_dealt_with,
    corrected,
    danger_seen,
    facts_known,
    instruction_given,
    needed_tests,
    owed_tests,
    paused,
    permits,
    reading_brought,
    remedy_done,
    remedy_need,
    restart_after_stop,
    resumed,
    sign_lifted,
    work_done,
)
from faultfinder.safety.instructions import (
    Instruction,
    cautions_at,
    instruction_for_observation,
    instruction_for_remedy,
    instruction_for_run,
    leading_sign,
)
from faultfinder.safety.tables import CLOSINGS, CONNECTIONS, PAUSE_MINUTES, access_words, need_words
from faultfinder.safety.transitions import confirm, in_words, next_action, open_actions, way

__all__ = [
    "access_words",
    "CLOSINGS",
    "CONNECTIONS",
    "need_words",
    "PAUSE_MINUTES",
    "Gate",
    "Instruction",
    "all_dealt_with",
    "asked_after_stop",
    "cautions_at",
    "confirm",
    "corrected",
    "danger_seen",
    "facts_known",
    "in_words",
    "instruction_for_observation",
    "instruction_for_remedy",
    "instruction_for_run",
    "instruction_given",
    "leading_sign",
    "may_close",
    "must_be_cut",
    "not_isolated",
    "next_action",
    "open_actions",
    "paused",
    "permits",
    "reading_brought",
    "remedy_done",
    "remedy_need",
    "restart_after_stop",
    "resumed",
    "sign_lifted",
    "work_done",
    "needed_tests",
    "owed_tests",
    "way",
    "why_not_close",
]
