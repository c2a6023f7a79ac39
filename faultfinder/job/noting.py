"""Events as the program itself notes them: what safety and the audit need to know is filled in from the pack.

A hand may leave these keys out; the program never does.
"""

from __future__ import annotations

from faultfinder.job.events import (
    ACCESS_NOT_CONFIRMED,
    Advised,
    Answered,
    Chosen,
    Opened,
    PutRight,
    RemedyStarted,
)
from faultfinder.job.state import JobState
from faultfinder.knowledge.model import Need, Pack
from faultfinder.safety import gate as safety
from faultfinder.safety.gate import Instruction


def opened(pack: Pack, at: str = "") -> Opened:
    """The first event of a job on this pack."""
    return Opened(pack.name, pack.version, pack.fingerprint, at=at)


def answered(
    state: JobState,
    observation_id: str,
    *,
    value: str = "",
    reads: str = "",
    told: bool = False,
    at: str = "",
) -> Answered:
    """An answer or reading as it is given now: led to by the tool, brought by a technician, or only told."""
    observation = state.pack.observations[observation_id]
    inside = observation.need is Need.OPEN_DEAD and not told
    how = "told" if told and observation.need is not Need.ANYWHERE else ""
    return Answered(observation_id, value, reads, _access(state, observation.need, told), inside, how, at)


def chosen(state: JobState, question_id: str, choices: tuple[str, ...], at: str = "") -> Chosen:
    """The choices ticked at a question."""
    return Chosen(question_id, choices, _access(state, state.pack.questions[question_id].need, False), at)


def advised(state: JobState, item_id: str, at: str = "") -> tuple[Instruction, Advised]:
    """The instruction for an observation, a question or a cause's remedy, and the event that notes its giving.

    Raises Refused where the gate does not permit it now.
    """
    cause = state.pack.causes.get(item_id)
    if cause is not None:
        instruction = safety.instruction_for_remedy(state.gate, cause)
        return instruction, Advised(item_id, instruction.need.value, cause.remedy, at)
    item = state.pack.questions.get(item_id) or state.pack.observations[item_id]
    instruction = safety.instruction_for_observation(state.gate, item)
    return instruction, Advised(item_id, instruction.need.value, "", at)


def remedy_started(state: JobState, cause_id: str, at: str = "") -> RemedyStarted:
    """Work on a remedy begins."""
    cause = state.pack.causes[cause_id]
    return RemedyStarted(cause_id, cause.minutes, cause.remedy, at)


def put_right(state: JobState, cause_id: str, at: str = "") -> PutRight:
    """A remedy was carried out."""
    cause = state.pack.causes[cause_id]
    need = safety.remedy_need(cause)
    access = _access(state, need, False)
    return PutRight(cause_id, access, need is Need.OPEN_DEAD, cause.touches_electrics, cause.remedy, at)


def _access(state: JobState, need: Need, told: bool) -> str:
    """The access state that an answer was made in; 'not confirmed here' where the gate did not permit it."""
    if told or need is Need.ANYWHERE:
        return ""
    return state.gate.access.value if safety.permits(state.gate, need) else ACCESS_NOT_CONFIRMED
