"""The events of a job followed once: what was done when, and what could not be taken; and its answers told to a Case.

`state.fold` says what a record comes to; a report also needs when each danger sign came up and what was done.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TypeVar

from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.history.search import closing
from faultfinder.job.state import JobState, at_the_end, begin, each_step
from faultfinder.job.told import Given, take
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence import answers as reasoned

Kind = TypeVar("Kind", bound=Event)


@dataclass(frozen=True, slots=True)
class Walked:
    """A record followed to its end. events: all of it; taken: those that could be. signs: danger sign met -> when
    last. lifted: those of them that a correction undid. troubles: (position of the event, why it was not taken)."""

    state: JobState
    events: tuple[Event, ...]
    taken: tuple[Event, ...]
    signs: Mapping[str, str]
    lifted: frozenset[str]
    troubles: tuple[tuple[int, str], ...]

    def of(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """What was taken of one kind, in order."""
        return tuple(event for event in self.taken if isinstance(event, kind))

    @property
    def times(self) -> tuple[str, ...]:
        """Every time that the record tells, in order."""
        return tuple(event.at for event in self.events if event.at)

    @property
    def ended(self) -> str:
        """The last of them; empty where it tells none."""
        return self.times[-1] if self.times else ""

    @property
    def claimed(self) -> str:
        """How the record says the machine was left at its end, whether or not that could be taken."""
        closed = closing(self.events)
        return closed.state if closed else ""

    @property
    def unfinished(self) -> tuple[str, ...]:
        """Causes whose remedy was begun and never carried out, by when it was begun last."""
        left: dict[str, None] = {}
        for event in self.taken:
            if isinstance(event, happened.RemedyStarted | happened.PutRight):
                left.pop(event.cause, None)
            if isinstance(event, happened.RemedyStarted):
                left[event.cause] = None
        return tuple(left)

    @property
    def parts(self) -> Mapping[str, float]:
        """The parts used and how many of each; what was taken back is not among them."""
        used: dict[str, float] = {}
        for event in self.of(happened.PartUsed):
            if event.count > 0:
                used[event.part] = used.get(event.part, 0.0) + event.count
            else:
                used.pop(event.part, None)
        return used

    @property
    def after_works(self) -> Iterator[tuple[Event, int]]:
        """What was taken, each with the number of remedies that had been carried out by then."""
        works = 0
        for event in self.taken:
            works += isinstance(event, happened.PutRight)
            yield event, works


def walk(pack: Pack, events: Iterable[Event]) -> Walked:
    """Follow a record. What cannot be is left out and told in `troubles`, as `fold` does."""
    events = tuple(events)
    state = begin(pack)
    taken: list[Event] = []
    signs: dict[str, str] = {}
    lifted: set[str] = set()
    troubles: list[tuple[int, str]] = []
    for position, (after, event, why) in enumerate(each_step(pack, events)):
        if why:
            troubles.append((position, why))
        else:
            taken.append(event)
        signs.update((sign, event.at) for sign in after.gate.signs if sign not in state.gate.signs)
        if isinstance(event, happened.Corrected | happened.TakenBack):
            lifted.update(state.gate.signs)
        lifted.difference_update(after.gate.signs)
        state = after
    return Walked(
        at_the_end(state), events, tuple(taken), MappingProxyType(signs), frozenset(lifted), tuple(troubles)
    )


# -- told to a Case ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Recorded:
    """One observation's answer as the Case took it, with what it was told. works: remedies carried out before."""

    given: reasoned.Given
    source: Given
    works: int


def told_case(state: JobState) -> tuple[Case, tuple[Recorded, ...], dict[str, int]]:
    """A Case that was told everything, every answer it took in order (replaced ones too), and of each cause put right
    which remedy in order (from 1) was its last."""
    case = Case(state.pack, meter=state.meter)
    recorded: list[Recorded] = []
    mended: dict[str, int] = {}
    works = 0
    for given in state.given:
        sources: dict[str, Given] = {}
        if given.kind == "answer" and given.name in case.pack.questions:
            # Of a list one answer is corrected, and the others stand as they were chosen.
            anew = dict(given.instead)
            for name, answer in case.choices(case.pack.questions[given.name], given.value).items():
                sources[name] = replace(given, was=answer if name in anew else "")
        elif given.kind == "answer":
            sources[given.name] = given
        take(case, given)
        # None of what was said again of what stands, or taken back.
        taken = ((case.given(name, case.epoch), source) for name, source in sources.items())
        recorded += [Recorded(each, source, works) for each, source in taken if each is not None]
        if given.kind == "put_right":
            works += 1
            mended[given.name] = works
    case.access = state.gate.access
    return case, tuple(recorded), mended
