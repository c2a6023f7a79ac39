"""The only way out for an instruction: steps, `probes` and remedies are read here and nowhere else.

Two things must hold for it: the access that it asks for is permitted, and each of its steps is of an act that may
be shown in the access state that is confirmed now, whatever the pack asked for (knowledge/instructions/acts.py).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from faultfinder.errors import Refused
from faultfinder.knowledge.instructions.acts import not_allowed_now
from faultfinder.knowledge.model import Cause, Kind, Need, Observation, Probes, Question, Step, numbered
from faultfinder.safety.actions import CAUTIONS_AT, caution_text
from faultfinder.safety.dangers import LEAVE_NOW, NO_SWITCHING, stop_text
from faultfinder.safety.gate_state import Gate, permits, remedy_need
from faultfinder.safety.tables import LEAVE, access_words, need_words
from faultfinder.safety.transitions import next_action
from faultfinder.text.catalogue import say

OwnCautions = Mapping[str, tuple[str, ...]]
"""Act -> what a pack says to take care of."""
NO_CAUTIONS: OwnCautions = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Instruction:
    """What a person may read now. cautions: of work in this access state; own: of this very step, never left out."""

    id: str
    title: str
    how: str
    need: Need
    probes: Probes | None = None
    cautions: tuple[str, ...] = ()
    own: tuple[str, ...] = ()


def instruction_for_observation(
    gate: Gate, observation: Observation | Question, own_cautions: OwnCautions = NO_CAUTIONS
) -> Instruction:
    """How to make an observation, when its access state is confirmed. own_cautions: what the pack says of each act.
    Raises Refused otherwise."""
    told = _told(gate, observation.need, observation.id, observation.ask, observation.how_steps, own_cautions)
    live = observation.need is Need.IN_USE and observation.kind is Kind.READING
    cautions = (caution_text("no_live_work"), *told.cautions) if live else told.cautions
    probes = observation.probes if isinstance(observation, Observation) else None
    return replace(told, probes=probes, cautions=cautions)


def instruction_for_remedy(gate: Gate, cause: Cause, own_cautions: OwnCautions = NO_CAUTIONS) -> Instruction:
    """How to put a cause right, when its access state is confirmed. Raises Refused otherwise."""
    if cause.hand_to:
        raise Refused(say("refused_for_licensed_person_hand", remedy=cause.remedy))
    return _told(gate, remedy_need(cause), cause.id, cause.remedy, cause.remedy_steps, own_cautions)


def has_instruction(cause: Cause) -> bool:
    """Whether the rules tell how the cause is put right; no text leaves by this."""
    return bool(cause.remedy_how)


def instruction_for_run(gate: Gate, cause: Cause, own_cautions: OwnCautions = NO_CAUTIONS) -> Instruction:
    """The run that proves a repair: only in use, covers on and nothing owed. Raises Refused otherwise."""
    return _told(gate, Need.IN_USE, cause.id, cause.remedy, cause.then_run, own_cautions)


def _told(
    gate: Gate, need: Need, name: str, title: str, steps: tuple[Step, ...], own_cautions: OwnCautions
) -> Instruction:
    """Steps as an instruction: every one goes through here. Raises Refused where one of the two things that must hold
    for it does not."""
    _ask_for(gate, need, title)
    _ask_acts(gate, steps, title)
    own = _own_cautions(steps, own_cautions)
    return Instruction(name, title, numbered(steps), need, cautions=_cautions(gate, need), own=own)


def cautions_at(gate: Gate, action: str, own_cautions: OwnCautions = NO_CAUTIONS) -> tuple[str, ...]:
    """What to take care of from this action on, to be shown with it; what the pack says of opening it comes last."""
    texts = tuple(caution_text(name) for name in CAUTIONS_AT.get(action, ()))
    if action == "covers_off":
        texts += own_cautions.get("uncover", ())
    return texts + ((caution_text("flammable"),) if texts and gate.flammable else ())


def _cautions(gate: Gate, need: Need) -> tuple[str, ...]:
    texts = (caution_text("no_bridging"),) if need is Need.OPEN_DEAD else ()
    return texts + ((caution_text("flammable"),) if gate.flammable and need is not Need.ANYWHERE else ())


def _own_cautions(steps: tuple[Step, ...], own_cautions: OwnCautions) -> tuple[str, ...]:
    """What the pack says of the acts of these steps, each once. Of covers it was said before they came off."""
    texts = [text for step in steps if step.act != "uncover" for text in own_cautions.get(step.act, ())]
    return tuple(dict.fromkeys(texts))


def _ask_acts(gate: Gate, steps: tuple[Step, ...], title: str) -> None:
    """Raises Refused where a step does what may not be done in the access state confirmed now."""
    wrong = not_allowed_now(steps, gate.access)
    if not wrong and gate.connection != "plug":
        # What stays connected is fed by its breaker.
        wrong = [step for step in steps if step.act == "breaker"]
    if wrong:
        text = say("refused_has_step_not_for", title=title, access=access_words(gate.access))
        raise Refused(text)


def _ask_for(gate: Gate, need: Need, title: str) -> None:
    """Raises Refused, saying why and how to get there, where the need is not permitted now."""
    if permits(gate, need):
        return
    if gate.stop:
        raise Refused(stop_text(leading_sign(gate)))
    first = next_action(gate, need)
    now = say("refused_needs_now", title=title, need=need_words(need), access=access_words(gate.access))
    raise Refused(say("refused_first", now=now, text=first.text) if first else now)


def leading_sign(gate: Gate) -> str:
    """The danger sign that a stop is about."""
    leaving = [sign for sign in gate.signs if sign in LEAVE_NOW]
    leaving = [sign for sign in leaving if sign in NO_SWITCHING] or leaving
    return leaving[0] if gate.stop == LEAVE and leaving else "voltage_when_isolated"
