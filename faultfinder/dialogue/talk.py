"""The state of a conversation, and what is being asked for now.

Theory of this folder. A conversation is a pure machine: `reply(talk, line, at)` gives the events to be written
down, the talk after them, and what to say. Whoever drives it writes the events first and shows the words after,
so nothing is acknowledged that a flat battery could lose. All that matters is in the events; what `Talk` holds
besides (what was declined, which way was chosen) may be lost at any time without harm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from copy import copy
from dataclasses import dataclass, replace
from datetime import datetime

from faultfinder.dialogue.say import Ask, Said
from faultfinder.dialogue.typed import Which
from faultfinder.errors import Refused
from faultfinder.job.events import Complaint, DangerSeen, Event
from faultfinder.job.state import JobState, apply, followed, replayed
from faultfinder.knowledge.model import Need
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.expected_loss import total_regret
from faultfinder.safety import gate as safety
from faultfinder.safety.gate import Gate

# -- what may be asked for ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class AskComplaint:
    """The customer's own words."""


@dataclass(frozen=True, slots=True)
class AskSymptoms:
    """Which symptoms are complained of; (observation, answer) for each number."""

    offered: tuple[tuple[str, str], ...]
    everything: bool


@dataclass(frozen=True, slots=True)
class AskDangers:
    """The danger list."""


@dataclass(frozen=True, slots=True)
class AskFact:
    """One fact; `required` when the job cannot go on without it."""

    fact: str
    required: bool


@dataclass(frozen=True, slots=True)
class AskPlate:
    """All plate facts at once, on one line."""


@dataclass(frozen=True, slots=True)
class AskGo:
    """Whether to go to the access state that the next step needs."""

    need: Need
    target: str


@dataclass(frozen=True, slots=True)
class AskAction:
    """One safety action of the way to a need."""

    action: str
    need: Need


@dataclass(frozen=True, slots=True)
class AskTest:
    """An observation or a question that sets several; `proof` when it proves a repair."""

    target: str
    proof: bool = False


@dataclass(frozen=True, slots=True)
class AskRemedy:
    """Whether to put a cause right now."""

    cause: str


@dataclass(frozen=True, slots=True)
class AskRemedyDone:
    """Whether the remedy whose instruction was shown is done."""

    cause: str


@dataclass(frozen=True, slots=True)
class AskHandOver:
    """A remedy for a licensed person, to be taken note of."""

    cause: str


@dataclass(frozen=True, slots=True)
class AskWhich:
    """Which observation a typed line meant."""

    which: Which


@dataclass(frozen=True, slots=True)
class AskCorrect:
    """Which earlier answer is to be corrected."""


@dataclass(frozen=True, slots=True)
class AskNewAnswer:
    """The new answer to an observation."""

    observation: str


@dataclass(frozen=True, slots=True)
class AskStopped:
    """Work is stopped: end the job, or take it up again on purpose."""


@dataclass(frozen=True, slots=True)
class AskReason:
    """Why it is safe to go on after a stop."""


@dataclass(frozen=True, slots=True)
class AskUrgent:
    """Whether words that sounded like danger are meant so; `line` was typed at `before`."""

    signs: tuple[str, ...]
    line: str
    before: Current


@dataclass(frozen=True, slots=True)
class AskClose:
    """How the machine is left."""


@dataclass(frozen=True, slots=True)
class Over:
    """The conversation has ended; the job is closed or saved."""


Current = (
    AskComplaint
    | AskSymptoms
    | AskDangers
    | AskFact
    | AskPlate
    | AskGo
    | AskAction
    | AskTest
    | AskRemedy
    | AskRemedyDone
    | AskHandOver
    | AskWhich
    | AskCorrect
    | AskNewAnswer
    | AskStopped
    | AskReason
    | AskClose
    | AskUrgent
    | Over
)


WorkOut = Callable[[JobState], Case]
"""How a case is worked out from a job: `replayed`, unless whoever begins the talk gives another adviser. What may be
shown, and how a job may end, hangs on the gate and never on the adviser."""


@dataclass(frozen=True, slots=True)
class Talk:
    """A conversation between two lines.

    job, case: what the events come to; the case is worked out from the job by `work_out` and never changed here.
    path: the record's name, for people. declined: steps that are not wanted now (targets). chosen: the step or
    the closing the person asked for. wanted: the access state being gone to; way_total: how many actions that
    way had. shown: the need whose cautions were last shown. facts_asked: facts that were asked for, known or
    not. asked: what the person was last asked for. worst: the highest summed regret so far. clash: the answer that
    was last said to fit least.
    """

    job: JobState
    case: Case
    current: Current
    path: str = ""
    declined: frozenset[str] = frozenset()
    chosen: str = ""
    wanted: Need | None = None
    way_total: int = 0
    shown: str = ""
    facts_asked: frozenset[str] = frozenset()
    symptoms_done: bool = False
    dangers_done: bool = False
    plate_done: bool = False
    worst: float = 0.0
    last_at: datetime | None = None
    asked: Ask = Ask("")
    clash: str = ""
    work_out: WorkOut = replayed

    @property
    def gate(self) -> Gate:
        return self.job.gate


@dataclass(frozen=True, slots=True)
class Turn:
    """What one line leads to: events to write down, what to say then, and what is asked next."""

    talk: Talk
    events: tuple[Event, ...]
    said: tuple[Said, ...]
    ask: Ask


def connected(gate: Gate) -> Gate:
    """The gate, with a plug assumed while it is not known how the machine is connected: for looking ahead only."""
    return gate if gate.connection else replace(gate, connection="plug")


def needs_out_of_reach(gate: Gate) -> frozenset[Need]:
    """Access that no way leads to from here. While the connection is unknown it is taken as a plug."""
    assumed = connected(gate)
    out = set()
    for need in Need:
        try:
            safety.way(assumed, need)
        except Refused:
            out.add(need)
    return frozenset(out)


def case_of(job: JobState, before: Talk | None = None, work_out: WorkOut = replayed) -> Case:
    """The case that the job's events come to, priced from the gate's access state. Where nothing was told to it
    since the talk before, what was worked out then is kept; `work_out` counts where there is no talk before."""
    if before is not None and before.job.given == job.given:
        case = copy(before.case)
        case.access = job.gate.access
    else:
        if before is not None and before.work_out is replayed:
            case = followed(job, before.case, before.job)
        else:
            case = (before.work_out if before is not None else work_out)(job)
        if before is not None:
            case.take_over(before.case)
    case.unreachable = needs_out_of_reach(job.gate)
    return case


def after(talk: Talk, events: Iterable[Event]) -> Talk:
    """The talk once these events have happened. Raises a FaultFinderError for one that cannot be; the talk as
    it was stays whole."""
    job = talk.job
    happened = list(events)
    for event in happened:
        job = apply(job, event)
    if not happened:
        return talk
    case = case_of(job, talk)
    return replace(
        talk,
        job=job,
        case=case,
        worst=max(talk.worst, regret(case)),
        dangers_done=talk.dangers_done or any(isinstance(event, DangerSeen) for event in happened),
        symptoms_done=talk.symptoms_done or any(isinstance(event, Complaint) for event in happened),
    )


def regret(case: Case) -> float:
    """Summed regret of the case now, in minutes; 0 for a machine outside the pack."""
    from faultfinder.reasoning.decision.scope import price_list

    return 0.0 if case.outside else total_regret(case.confidence(), price_list(case))


def first_regret(talk: Talk) -> float:
    """Summed regret when the search began, in minutes: the machine and the complaint known, and nothing else."""
    symptoms = {item.id for item in talk.job.pack.observations.values() if item.symptom}
    told = [each for each in talk.job.given if each.kind == "fact" or each.name in symptoms]
    return regret(talk.work_out(replace(talk.job, given=tuple(told), put_right=())))


def settled(talk: Talk) -> float:
    """How settled the job is, 0..1: the share of the highest summed regret so far that is gone."""
    return 1.0 if talk.worst <= 0.0 else max(0.0, 1.0 - regret(talk.case) / talk.worst)
