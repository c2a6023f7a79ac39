"""What the workshop has seen: how common each fault really was, return visits, minutes; and rules blended with it.

Everything here is pure: `ClosedJob`s come from records (index.py) or from other vans (exchange.py).

A rule's `how_common` is the chance that a fault arises *by itself*. A fault found beside one that can bring it on may
be of either kind, so it counts only as much as the rules say that it came by itself: with h the rule's own chance and
q the chance that a bringer found beside it brought it on, h / (1 - (1-h)(1-q)). The counts are blended as a Beta
prior: (weight * h + by itself) / (weight + jobs), `weight` being the jobs that the rule's own number counts for.
That is the mean of a Beta distribution after counting (conjugate prior of a proportion; any textbook of Bayesian
statistics). Faults of our own work are left as the rules have them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from statistics import median
from types import MappingProxyType

from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event, SeenBefore
from faultfinder.job.history.search import closing
from faultfinder.knowledge.model import Cause, Pack
from faultfinder.reasoning.evidence.facts import FactValue, possible, read_fact
from faultfinder.text.catalogue import say

WEIGHT = 50.0
"""Jobs that a rule's own number counts for; chosen: a workshop's counts lead after a hundred jobs or so."""
LONGEST_GAP = 60.0
"""Minutes between two entries that still count as work; longer is an absence. Chosen."""
A_LINE = 200
"""Causes named in one line of a record: ids of the greatest length fit (see line.MAX_LINE)."""
LEAST, MOST = 1e-6, 1.0 - 1e-6
"""A blended number stays inside these, as a rule's own must."""


@dataclass(frozen=True, slots=True)
class Closing:
    """One time a job was closed. minutes: by the times in the rules, up to then."""

    at: str
    state: str
    found: tuple[str, ...]
    minutes: float


@dataclass(frozen=True, slots=True)
class ClosedJob:
    """A closed job, without anything that tells whose it was.

    key: the same for the same job wherever it is counted. facts: the choices that say on which machines a cause can
    arise, as given. closings: each time it was closed; more than one is a return visit. put_right: remedies carried
    out. by_clock: minutes between entries, absences left out; 0 where the record holds no times.
    """

    key: str
    pack: str
    facts: Mapping[str, str]
    closings: tuple[Closing, ...]
    put_right: tuple[str, ...] = ()
    by_clock: float = 0.0

    @property
    def found(self) -> tuple[str, ...]:
        """What was found in the end, at any of its closings."""
        return tuple(dict.fromkeys(name for each in self.closings for name in each.found))

    @property
    def returns(self) -> int:
        return len(self.closings) - 1

    @property
    def missed(self) -> tuple[str, ...]:
        """What was found only on a return visit."""
        first = set(self.closings[0].found)
        return tuple(name for name in self.found if name not in first)


def closed_job(key: str, events: Sequence[Event]) -> ClosedJob | None:
    """A record as the history counts it; None while it is open or names no pack.

    A return visit is a closed job taken up again and closed once more; until then it is open.
    """
    opened = happened.opening(events)
    if opened is None or closing(events) is None:
        return None
    facts: dict[str, str] = {}
    closings: list[Closing] = []
    put_right: dict[str, None] = {}
    for event in events:
        match event:
            case happened.FactGiven():
                facts.pop(event.fact, None)
                if event.value != "unknown":
                    facts[event.fact] = event.value
            case happened.Closed():
                closings.append(Closing(event.at, event.state, event.found, event.minutes))
            case happened.PutRight():
                put_right[event.cause] = None
    minutes = clock_minutes(events)
    return ClosedJob(key, opened.pack, MappingProxyType(facts), tuple(closings), tuple(put_right), minutes)


def clock_minutes(events: Iterable[Event]) -> float:
    """Minutes between the entries of a record, absences (LONGEST_GAP, pauses, resumptions) left out."""
    total = 0.0
    before: datetime | None = None
    for event in events:
        try:
            now = datetime.fromisoformat(event.at)
        except ValueError:
            continue
        away = isinstance(event, happened.Paused | happened.Resumed)
        if before is not None and not away and (now.tzinfo is None) == (before.tzinfo is None):
            gap = (now - before).total_seconds() / 60.0
            total += gap if 0.0 <= gap <= LONGEST_GAP else 0.0
        before = now
    return round(total, 1)


def together(*groups: Iterable[ClosedJob]) -> list[ClosedJob]:
    """Jobs of several places, each once: of two states of one job the one closed more often counts."""
    best: dict[str, ClosedJob] = {}
    for job in (job for group in groups for job in group):
        known = best.get(job.key)
        if known is None or len(job.closings) > len(known.closings):
            best[job.key] = job
    return list(best.values())


# -- counting -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Count:
    """How often a cause was there. jobs: where it could have been; by_itself: expected number that nothing else
    found there had brought on; returned: of the jobs with it, those with a return visit; missed: found only then;
    minutes: median of the jobs with it, by the times in the rules."""

    cause: str
    jobs: int
    found: int
    by_itself: float
    returned: int
    missed: int
    minutes: float


@dataclass(frozen=True, slots=True)
class HistoryTotals:
    """All jobs of a pack together. minutes, by_clock: medians. unknown: causes found that the rules have no more."""

    jobs: int
    returned: int
    nothing_found: int
    minutes: float
    by_clock: float
    states: Mapping[str, int]
    unknown: tuple[str, ...]


def of_pack(pack: str, jobs: Iterable[ClosedJob]) -> list[ClosedJob]:
    """The jobs done with rules of that name."""
    return [job for job in jobs if job.pack == pack]


def counts(pack: Pack, jobs: Sequence[ClosedJob]) -> dict[str, Count]:
    """How often each cause of the pack was there, over the jobs done with rules of its name."""
    mine = of_pack(pack.name, jobs)
    return {name: _count(pack, cause, mine) for name, cause in pack.causes.items()}


def _count(pack: Pack, cause: Cause, jobs: Sequence[ClosedJob]) -> Count:
    able = [job for job in jobs if possible(cause.applies, _choices(pack, job.facts))]
    having = [job for job in able if cause.id in job.found]
    minutes = [job.closings[-1].minutes for job in having if job.closings[-1].minutes > 0.0]
    return Count(
        cause.id,
        jobs=len(able),
        found=len(having),
        by_itself=sum(by_itself(pack, cause.id, job.found) for job in having),
        returned=sum(job.returns > 0 for job in having),
        missed=sum(cause.id in job.missed for job in having),
        minutes=median(minutes) if minutes else 0.0,
    )


def _choices(pack: Pack, facts: Mapping[str, str]) -> dict[str, FactValue]:
    """The facts as the pack reads them; what it cannot read says nothing."""
    known: dict[str, FactValue] = {}
    for name, value in facts.items():
        try:
            if name in pack.facts:
                known[name] = read_fact(pack.facts[name], value)
        except FaultFinderError:
            continue
    return known


def by_itself(pack: Pack, cause: str, found: Iterable[str]) -> float:
    """Chance that a cause found among others arose by itself and was not brought on by one of them (0..1)."""
    own = pack.causes[cause].how_common
    brought = _brought(pack, cause, frozenset(found) - {cause})
    if brought == 0.0:
        return 1.0
    either = 1.0 - (1.0 - own) * (1.0 - brought)
    return min(1.0, own / either)


def _brought(pack: Pack, name: str, found: frozenset[str]) -> float:
    """Chance that causes found bring this one on, directly or by way of states.

    States are taken as independent of one another given the causes, which is exact unless one state brings on
    another that also shares a bringer with it.
    """
    item = pack.causes.get(name) or pack.states[name]
    spared = 1.0
    for bringer, chance in item.brought_on_by.items():
        if bringer in pack.states:
            spared *= 1.0 - chance * _brought(pack, bringer, found)
        elif bringer in found:
            spared *= 1.0 - chance
    return 1.0 - spared


def totals(pack: Pack, jobs: Sequence[ClosedJob]) -> HistoryTotals:
    """All jobs done with rules of the pack's name."""
    mine = of_pack(pack.name, jobs)
    minutes = [job.closings[-1].minutes for job in mine if job.closings[-1].minutes > 0.0]
    by_clock = [job.by_clock for job in mine if job.by_clock > 0.0]
    states = dict(Counter(job.closings[-1].state for job in mine))
    gone = dict.fromkeys(name for job in mine for name in job.found if name not in pack.causes)
    return HistoryTotals(
        jobs=len(mine),
        returned=sum(job.returns > 0 for job in mine),
        nothing_found=sum(not job.found for job in mine),
        minutes=median(minutes) if minutes else 0.0,
        by_clock=median(by_clock) if by_clock else 0.0,
        states=MappingProxyType(states),
        unknown=tuple(gone),
    )


# -- blending -------------------------------------------------------------------------------------------


def blend(how_common: float, jobs: float, found: float, weight: float = WEIGHT) -> float:
    """A rule's chance together with what was counted: the mean of the Beta distribution after counting.

    weight: jobs that the rule's own number counts for, above 0. found may be a fraction, up to jobs. Raises
    FaultFinderError for what cannot be.
    """
    if not weight > 0.0 or not 0.0 <= found <= jobs:
        raise FaultFinderError(
            say("history_found_in_jobs_with", found=f"{found:g}", jobs=f"{jobs:g}", weight=f"{weight:g}")
        )
    return (weight * how_common + found) / (weight + jobs)


def seen_before(pack: Pack, counted: Mapping[str, Count], weight: float = WEIGHT) -> SeenBefore | None:
    """Every `how_common` of the pack blended with the workshop's counts, to 6 digits, as an event for a record.

    None where nothing was counted. Faults of our own work are left as the rules have them.
    """
    jobs = max((count.jobs for count in counted.values()), default=0)
    if not jobs:
        return None
    chances = tuple(
        (name, float(f"{_held(blend_of(pack.causes[name], count, weight)):.6g}"))
        for name, count in counted.items()
        if not pack.causes[name].after_our_work
    )
    return SeenBefore(jobs, weight, chances)


def in_lines(seen: SeenBefore) -> list[SeenBefore]:
    """The event in as many parts as lines of a record can hold."""
    starts = range(0, max(1, len(seen.chances)), A_LINE)
    return [replace(seen, chances=seen.chances[start : start + A_LINE]) for start in starts]


def blended(pack: Pack, seen: SeenBefore) -> Pack:
    """The pack with those chances for how common its causes are; nothing else of it changes.

    What the rules no longer have is passed over, and so is what no rule may say (0 and 1).
    """
    told = dict(seen.chances)
    causes = {
        name: replace(cause, how_common=_held(told[name])) if name in told else cause
        for name, cause in pack.causes.items()
    }
    return replace(pack, causes=MappingProxyType(causes))


def blend_of(cause: Cause, count: Count, weight: float = WEIGHT) -> float:
    """What a cause's `how_common` becomes."""
    return blend(cause.how_common, count.jobs, min(count.by_itself, count.jobs), weight)


def _held(chance: float) -> float:
    return min(MOST, max(LEAST, chance))
