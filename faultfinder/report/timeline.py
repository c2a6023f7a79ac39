"""The events of a job followed once: where each answer came from, what was done when, and what could not be taken.

`state.fold` says what a record comes to; a report also needs when, by which access, and what a correction took the
place of. The walk applies each event as `fold` does, and keeps beside every `Given` of the state where it came from.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.state import Given, JobState, apply, at_the_end, begin, not_taken, take
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence import answers as reasoned


@dataclass(frozen=True, slots=True)
class Source:
    """Where one thing given came from. was: the value a correction took the place of."""

    at: str = ""
    access: str = ""
    told: bool = False
    was: str = ""


@dataclass(frozen=True, slots=True)
class Walked:
    """A record followed to its end. sources: aligned with `state.given`. signs: danger signs met, with the time.

    troubles: (position of the event, why it was not taken). closings: every time the job was closed. claimed: how the
    record says the machine was left at its end, whether or not that could be taken.
    """

    state: JobState
    sources: tuple[Source, ...] = ()
    signs: tuple[tuple[str, str], ...] = ()
    work: tuple[happened.PutRight, ...] = ()
    unfinished: tuple[str, ...] = ()
    closings: tuple[happened.Closed, ...] = ()
    meter: tuple[str, ...] = ()
    claimed: str = ""
    began: str = ""
    ended: str = ""
    troubles: tuple[tuple[int, str], ...] = ()
    pictures: tuple[tuple[happened.PictureTaken, int], ...] = ()
    """With the number of remedies that had been carried out before."""
    parts: tuple[happened.PartUsed, ...] = ()


def walk(pack: Pack, events: Iterable[Event]) -> Walked:
    """Follow a record. What cannot be is left out and told in `troubles`, as `fold` does."""
    walked = Walked(begin(pack))
    for position, event in enumerate(events):
        walked = _timed(walked, event)
        try:
            state = apply(walked.state, event)
        except FaultFinderError as error:
            troubles = (*walked.troubles, (position, str(error)))
            walked = replace(walked, state=not_taken(walked.state, event, error), troubles=troubles)
        else:
            walked = _followed(walked, state, event)
        if isinstance(event, happened.Closed):
            walked = replace(walked, claimed=event.state)
        elif isinstance(event, happened.Resumed):
            walked = replace(walked, claimed="")
    return replace(walked, state=at_the_end(walked.state))


def _timed(walked: Walked, event: Event) -> Walked:
    at = "" if isinstance(event, happened.Expect) else event.at
    return replace(walked, began=walked.began or at, ended=at or walked.ended)


def _followed(walked: Walked, state: JobState, event: Event) -> Walked:
    at = "" if isinstance(event, happened.Expect) else event.at
    sources = _sources(walked, state, event, at)
    new = [(sign, at) for sign in state.gate.signs if sign not in walked.state.gate.signs]
    walked = replace(walked, state=state, sources=sources, signs=(*walked.signs, *new))
    match event:
        case happened.PutRight():
            return replace(
                walked, work=(*walked.work, event), unfinished=_without(walked.unfinished, event.cause)
            )
        case happened.RemedyStarted():
            left = (*_without(walked.unfinished, event.cause), event.cause)
            return replace(walked, unfinished=left)
        case happened.MeterUsed():
            return replace(walked, meter=event.ranges)
        case happened.PictureTaken():
            return replace(walked, pictures=(*walked.pictures, (event, len(walked.work))))
        case happened.PartUsed():
            kept = tuple(each for each in walked.parts if event.count > 0 or each.part != event.part)
            return replace(walked, parts=(*kept, *([event] if event.count > 0 else [])))
        case happened.Closed():
            return replace(walked, closings=(*walked.closings, event))
    return walked


def _without(names: tuple[str, ...], name: str) -> tuple[str, ...]:
    return tuple(each for each in names if each != name)


def _sources(walked: Walked, state: JobState, event: Event, at: str) -> tuple[Source, ...]:
    """The sources brought up to what the state was given: at most one thing was added, changed or taken away."""
    before, after = walked.state.given, state.given
    access = event.access if isinstance(event, happened.Answered | happened.Chosen) else ""
    told = isinstance(event, happened.Answered) and event.how == "told"
    if len(after) > len(before):
        return (*walked.sources, *[Source(at, access, told)] * (len(after) - len(before)))
    place = next((n for n, given in enumerate(before) if n >= len(after) or after[n] is not given), None)
    if place is None:
        return walked.sources
    sources = list(walked.sources)
    if len(after) < len(before):
        del sources[place]
    else:
        old = sources[place]
        sources[place] = replace(old, at=at or old.at, was=_text(before[place]))
    return tuple(sources)


def _text(given: Given) -> str:
    return given.value if isinstance(given.value, str) else ", ".join(given.value)


# -- told to a Case ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Recorded:
    """One observation's answer as the Case took it, with where it came from. works: remedies carried out before."""

    given: reasoned.Given
    source: Source
    works: int


def told_case(walked: Walked) -> tuple[Case, tuple[Recorded, ...], dict[str, int]]:
    """A Case that was told everything, every answer it took in order (replaced ones too), and of each cause put right
    which remedy in order (from 1) was its last."""
    case = Case(walked.state.pack, meter=walked.state.meter)
    recorded: list[Recorded] = []
    mended: dict[str, int] = {}
    works = 0
    for given, source in zip(walked.state.given, walked.sources, strict=True):
        names: tuple[str, ...] = ()
        if given.kind == "answer" and given.name in case.pack.questions:
            names = tuple(case.choices(case.pack.questions[given.name], given.value))
        elif given.kind == "answer":
            names = (given.name,)
        take(case, given)
        for name in names:
            taken = case.given(name, case.epoch)
            if taken is None:
                continue  # said again of what stands, or taken back
            recorded.append(Recorded(taken, source, works))
        if given.kind == "put_right":
            works += 1
            mended[given.name] = works
    case.access = walked.state.gate.access
    return case, tuple(recorded), mended
