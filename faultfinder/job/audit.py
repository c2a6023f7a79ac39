"""Whether a job kept the safety rules, judged from its record alone and afterwards.

This reader shares no code and no table with safety/: it was written from the rules and not from the gate, so that
a slip in one shows in the other. It follows the events with a model of its own (audit_model.py) and counts:
instructions given before their access state was confirmed, machines energised that owed tests or had a danger sign
open, jobs closed in a state they were not in, and texts that tell somebody to bridge a protective device.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.job import events as happened
from faultfinder.job.audit_model import NOTHING, Known, Shadow, follow
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Need, Observation, Pack, Question

BRIDGED = "a protective device bridged"

_BRIDGE = re.compile(
    r"\b(bridg\w*|jumper\w*|by-?pass\w*|link\w* (it |them )?out|short\w* (it |them )?out)\b", re.I
)
_FORBIDDEN = re.compile(r"\b(never|not|nor|no|without)\b[^.;:,]{0,30}$", re.I)
_FOUND_SO = re.compile(r"\b(found|been|was|were|is|are)\s+(\w+\s+)?$", re.I)


@dataclass(frozen=True, slots=True)
class Violation:
    """A broken rule: the event's position in the record (from 0), which rule, and what happened."""

    position: int
    rule: str
    what: str


@dataclass(frozen=True, slots=True)
class AuditReport:
    """What the audit of one record found, and how the job was closed last."""

    violations: tuple[Violation, ...]
    closed: str

    @property
    def clean(self) -> bool:
        return not self.violations


def known_from(pack: Pack) -> Known:
    """What a pack says, read here once more and not through the gate.

    Its instructions are not among the texts: they leave the rules through the gate alone, and the checker of rule
    packs reads them for bridging.
    """
    items: list[Observation | Question] = [*pack.observations.values(), *pack.questions.values()]
    opened = {item.id for item in items if item.need is Need.OPEN_DEAD}
    # A remedy is never done in use, whatever its rule says.
    opened |= {
        cause.id for cause in pack.causes.values() if cause.remedy_need in (Need.OPEN_DEAD, Need.IN_USE)
    }
    return Known(
        frozenset(opened),
        frozenset(cause.id for cause in pack.causes.values() if cause.touches_electrics),
        MappingProxyType(
            {
                (item.id, answer): sign
                for item in pack.observations.values()
                for answer, sign in item.danger.items()
            }
        ),
        MappingProxyType(
            {
                (question.id, choice.id): signs
                for question in pack.questions.values()
                for choice in question.choices
                if (signs := _signs_of(pack, choice.sets))
            }
        ),
        MappingProxyType(
            {
                **{item.id: item.ask for item in items},
                **{cause.id: cause.remedy for cause in pack.causes.values()},
            }
        ),
        frozenset(item.id for item in pack.observations.values() if item.reading is not None),
        frozenset((item.id, answer) for item in pack.observations.values() for answer in item.unsafe),
        MappingProxyType({item.id: item.healthy for item in pack.observations.values()}),
    )


def _signs_of(pack: Pack, sets: Mapping[str, str]) -> tuple[str, ...]:
    """The danger signs among the answers that a choice sets."""
    found = (pack.observations[name].danger.get(answer, "") for name, answer in sets.items())
    return tuple(sign for sign in found if sign)


def audit(events: Iterable[Event], known: Known | None = None) -> AuditReport:
    """Follow a record from its first event, with what its pack says where that is at hand (`known_from`)."""
    shadow = Shadow()
    known = known or NOTHING
    violations: list[Violation] = []
    closed = ""
    for position, event in enumerate(events):
        shadow, broken = follow(shadow, event, known)
        violations += [Violation(position, rule, what) for rule, what in broken]
        for text in _texts_of(event, known.texts):
            if tells_to_bridge(text):
                violations.append(Violation(position, BRIDGED, text))
        if isinstance(event, happened.Closed):
            closed = event.state
    return AuditReport(tuple(violations), closed)


def tells_to_bridge(text: str) -> bool:
    """Whether a text tells somebody to bridge or leave out a device: 'never bridge', 'found bridged' do not."""
    for found in _BRIDGE.finditer(text):
        before = text[: found.start()]
        passive = found.group().lower().endswith("ed") and _FOUND_SO.search(before)
        if not passive and not _FORBIDDEN.search(before):
            return True
    return False


def _texts_of(event: Event, texts: Mapping[str, str]) -> list[str]:
    if isinstance(event, happened.Advised):
        return [event.work, texts.get(event.item, "")]
    if isinstance(event, happened.RemedyStarted | happened.PutRight):
        return [event.work, texts.get(event.cause, "")]
    return []
