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
from typing import ClassVar

from faultfinder.dialogue.pages import LINES
from faultfinder.dialogue.say import Ask, Said
from faultfinder.errors import Refused
from faultfinder.job.events import (
    Answered,
    Chosen,
    Complaint,
    Corrected,
    DangerSeen,
    Event,
    FactGiven,
    Skipped,
)
from faultfinder.job.findings import not_to_be_run
from faultfinder.job.state import JobState, apply, followed, replayed
from faultfinder.knowledge.model import Need, Pack
from faultfinder.reasoning.case import Case
from faultfinder.safety import gate as safety
from faultfinder.safety.gate import Gate
from faultfinder.text.catalogue import say

# -- what may be asked for ------------------------------------------------------------------------------


class Prompt:
    """One thing that is asked for: it shows, understands and helps with itself; in prompts/.

    kind: its name for programs. stays: it stands until it is answered; any other is chosen anew at each turn.
    free: words of one's own are asked for, so that hardly any word is a command. of: the field that tells it from
    others of its kind.
    """

    __slots__ = ()
    kind: ClassVar[str] = ""
    stays: ClassVar[bool] = False
    free: ClassVar[bool] = False
    of: ClassVar[str] = ""

    def key(self) -> str:
        """A stable name of this very prompt, for programs."""
        return f"{self.kind}:{getattr(self, self.of)}" if self.of else self.kind

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        """The words, the options, and what may be typed."""
        raise NotImplementedError

    def take(self, talk: Talk, line: str) -> Reply:
        """What a line means here. Raises a FaultFinderError for one that cannot be taken; nothing happens then."""
        raise NotImplementedError

    def help(self, talk: Talk) -> str:
        """What may be typed here, in a sentence or two."""
        return say(f"help_{self.kind}")

    def told_how(self, talk: Talk) -> list[Said]:
        """The steps of what is asked for; empty where there are none to tell."""
        return []

    def why(self, talk: Talk) -> list[Said]:
        """Why it is asked; empty where nothing more is known than what the faults stand at."""
        return []

    def skip(self, talk: Talk, because: str) -> Reply:
        """Passed over: not known, or cannot be done here."""
        raise Refused(say("answer_this"))

    def before_last(self, talk: Talk) -> Prompt | None:
        """The prompt as it was before what was ticked on it last, for `undo`; None where nothing is ticked."""
        return None

    def gone_on(self, talk: Talk, now: Talk) -> Talk:
        """The talk after something else was told here: back to this very prompt where it was begun already."""
        return now

    def about(self, talk: Talk) -> str:
        """The cause that 'it' stands for here; empty where none does."""
        return ""

    def advised(self, talk: Talk) -> list[Event]:
        """What is to be written down of instructions that come with the prompt."""
        return []

    def minutes(self, talk: Talk) -> float:
        """How long somebody may be away for it."""
        return 0.0


@dataclass(frozen=True, slots=True)
class Over(Prompt):
    """The conversation has ended, or what is asked next is still to be chosen."""

    kind: ClassVar[str] = "over"


WorkOut = Callable[[JobState], Case]
"""How a case is worked out from a job: `replayed`, unless whoever begins the talk gives another adviser. What may be
shown, and how a job may end, hangs on the gate and never on the adviser."""


Telling = Answered | Chosen | FactGiven | Skipped | Corrected
"""Events of what somebody told."""


@dataclass(frozen=True, slots=True)
class Told:
    """What one line told, for `undo`.

    events: what it told, in order; done: it told nothing and something was done at the machine; dangers: it answered
    the danger list. job, asked, chosen, queue, symptoms_done, machine_done: of the talk when it was typed.
    """

    events: tuple[Telling, ...]
    done: bool
    dangers: bool
    job: JobState
    asked: Prompt
    chosen: str
    queue: tuple[str, ...]
    symptoms_done: bool
    machine_done: bool


@dataclass(frozen=True, slots=True)
class Talk:
    """A conversation between two lines.

    job, case: what the events come to; the case is worked out from the job by `work_out` and never changed here.
    path: the record's name, for people. declined: steps that are not wanted now (targets). chosen: the step or
    the closing the person asked for. queue: what was ticked in a list and is asked for in its turn. wanted: the
    access state being gone to. cards: the safety actions that were shown in full and done. shown: the need whose
    cautions were last shown. offered_again: remedies that were put off and offered once more before the end.
    facts_asked: facts that were asked for, known or not. asked: what the person was last asked for. clash: the
    answer that was last said to fit least. told: what the last lines told, for `undo`. lines: of the screen, for
    long lists.
    """

    job: JobState
    case: Case
    current: Prompt
    path: str = ""
    declined: frozenset[str] = frozenset()
    chosen: str = ""
    queue: tuple[str, ...] = ()
    wanted: Need | None = None
    cards: frozenset[str] = frozenset()
    shown: str = ""
    offered_again: frozenset[str] = frozenset()
    facts_asked: frozenset[str] = frozenset()
    symptoms_done: bool = False
    dangers_done: bool = False
    machine_done: bool = False
    last_at: datetime | None = None
    asked: Ask = Ask("")
    clash: str = ""
    told: tuple[Told, ...] = ()
    lines: int = LINES
    work_out: WorkOut = replayed

    @property
    def gate(self) -> Gate:
        return self.job.gate

    @property
    def pack(self) -> Pack:
        return self.job.pack

    @property
    def ending(self) -> str:
        """What was chosen, where it is a way of closing the job; else empty."""
        return self.chosen if self.chosen.startswith("close:") else ""


@dataclass(frozen=True, slots=True)
class Turn:
    """What one line leads to: events to write down, what to say then, and what is asked next."""

    talk: Talk
    events: tuple[Event, ...]
    said: tuple[Said, ...]
    ask: Ask


Reply = tuple[Talk, list[Event], list[Said]]
"""The talk after a line, what is to be written down, and what is said of it."""


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
    case.unreachable = needs_out_of_reach(job.gate) | not_to_be_run(job, case)
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
    return replace(
        talk,
        job=job,
        case=case_of(job, talk),
        dangers_done=talk.dangers_done or any(isinstance(event, DangerSeen) for event in happened),
        symptoms_done=talk.symptoms_done or any(isinstance(event, Complaint) for event in happened),
    )
