"""Whether a job kept the safety rules, judged from its record alone and afterwards.

This reader shares no code and no table with safety/: it was written from the rules and not from the gate, so that
a slip in one shows in the other. It follows the events with a model of its own (audit_model.py) and counts:
instructions given before their access state was confirmed, machines energised that owed tests or had a danger sign
open, jobs closed in a state they were not in or over a hazard that was found, and texts that tell somebody to bridge
a protective device.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from faultfinder.job import events as happened
from faultfinder.job.audit_model import Shadow, follow
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Pack

BRIDGED = "a protective device bridged"

_BRIDGE = re.compile(
    r"""\b(
        bridg\w* | jumper\w* | by-?pass\w* | shunt\w* | defeat\w* | overrid\w*
        | (link|short|strap|loop)\w*\ (it\ |them\ )?out(?!\ of)
        | (link|wire|strap|short)\w*\ ([\w-]+\ ){0,2}across
        | (link|wire|strap)\ in\ place\ of
        | (tape|taping|wedge|wedging|tie|tying|jam|peg)\ ([\w-]+\ ){0,3}(switch|interlock|lock|latch|catch)
        | (foil|nail)\b[^.;]{0,20}\bfuse | fuse\b[^.;]{0,20}\b(foil|nail)
    )\b""",
    re.IGNORECASE | re.VERBOSE,
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


def audit(events: Iterable[Event], pack: Pack | None = None) -> AuditReport:
    """Follow a record from its first event, with what its pack says where that is at hand.

    Its instructions are not read: they leave the rules through the gate alone, and the checker of rule packs reads
    them for bridging.
    """
    shadow = Shadow()
    violations: list[Violation] = []
    closed = ""
    for position, event in enumerate(events):
        shadow, broken = follow(shadow, event, pack)
        violations += [Violation(position, rule, what) for rule, what in broken]
        for text in _texts_of(event, pack):
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


def _texts_of(event: Event, pack: Pack | None) -> list[str]:
    """What an event tells to do, in its own words and as its pack calls it."""
    match event:
        case happened.Advised(item=name) | happened.RemedyStarted(cause=name) | happened.PutRight(cause=name):
            return [event.work, _named(pack, name)]
    return []


def _named(pack: Pack | None, name: str) -> str:
    if pack is None:
        return ""
    if cause := pack.causes.get(name):
        return cause.remedy
    item = pack.observations.get(name) or pack.questions.get(name)
    return item.ask if item else ""
