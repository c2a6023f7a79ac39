"""The only way out for an instruction: `how`, `probes` and `remedy_how` are read here and nowhere else."""

from __future__ import annotations

import re
from dataclasses import dataclass

from faultfinder.errors import Refused
from faultfinder.knowledge.model import Cause, Kind, Need, Observation, Probes, Question
from faultfinder.safety.actions import CAUTIONS, CAUTIONS_AT, FLAMMABLE_CAUTION
from faultfinder.safety.dangers import LEAVE_NOW, NO_SWITCHING, stop_text
from faultfinder.safety.standing import Gate, permits, remedy_need
from faultfinder.safety.tables import ACCESS_WORDS, LEAVE, NEED_WORDS
from faultfinder.safety.ways import next_action


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


def instruction_for_observation(gate: Gate, observation: Observation | Question) -> Instruction:
    """How to make an observation, when its access state is confirmed. Raises Refused otherwise."""
    need = observation.need
    _ask_for(gate, need, observation.ask)
    probes = observation.probes if isinstance(observation, Observation) else None
    live = need is Need.IN_USE and observation.kind is Kind.READING
    cautions = ((CAUTIONS["no_live_work"],) if live else ()) + _cautions(gate, need)
    own = _own_cautions(observation.how)
    return Instruction(observation.id, observation.ask, observation.how, need, probes, cautions, own)


def instruction_for_remedy(gate: Gate, cause: Cause) -> Instruction:
    """How to put a cause right, when its access state is confirmed. Raises Refused otherwise."""
    if cause.hand_to:
        raise Refused(f"'{cause.remedy}' is for a licensed person: hand it over.")
    need = remedy_need(cause)
    _ask_for(gate, need, cause.remedy)
    own = _own_cautions(f"{cause.remedy} {cause.remedy_how}")
    return Instruction(cause.id, cause.remedy, cause.remedy_how, need, None, _cautions(gate, need), own)


def cautions_at(gate: Gate, action: str) -> tuple[str, ...]:
    """What to take care of from this action on, to be shown with it."""
    texts = tuple(CAUTIONS[name] for name in CAUTIONS_AT.get(action, ()))
    return texts + ((FLAMMABLE_CAUTION,) if texts and gate.flammable else ())


def _cautions(gate: Gate, need: Need) -> tuple[str, ...]:
    texts = (CAUTIONS["no_bridging"],) if need is Need.OPEN_DEAD else ()
    return texts + ((FLAMMABLE_CAUTION,) if gate.flammable and need is not Need.ANYWHERE else ())


def _own_cautions(how: str) -> tuple[str, ...]:
    return (CAUTIONS["smouldering"],) if _VACUUM.search(how) else ()


_VACUUM = re.compile(r"\b(vacuum|hoover)", re.IGNORECASE)
"""Whoever is told to use one is told when not to, whatever the rule's author thought of."""


def _ask_for(gate: Gate, need: Need, title: str) -> None:
    """Raises Refused, saying why and how to get there, where the need is not permitted now."""
    if permits(gate, need):
        return
    if gate.stop:
        raise Refused(stop_text(leading_sign(gate)))
    first = next_action(gate, need)
    now = f"'{title}' needs {NEED_WORDS[need]}. Now it is: {ACCESS_WORDS[gate.access]}."
    raise Refused(f"{now} First: {first.text}" if first else now)


def leading_sign(gate: Gate) -> str:
    """The danger sign that a stop is about."""
    leaving = [sign for sign in gate.signs if sign in LEAVE_NOW]
    leaving = [sign for sign in leaving if sign in NO_SWITCHING] or leaving
    return leaving[0] if gate.stop == LEAVE and leaving else "voltage_when_isolated"
