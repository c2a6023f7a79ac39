"""How good the tool is: jobs on practice machines to the end, and what the figures come to.

One `Trial` is one machine worked through in one way. `summary` compares ways machine by machine. What counts as
found: a true fault put right, or handed to the licensed person it is for. A *silent* fault shows in no test that
can be made on this machine and carries no hazard of fire or shock; it is counted on a line of its own.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from faultfinder.errors import FaultFinderError, TooWide
from faultfinder.job.audit import audit, known_from
from faultfinder.knowledge.model import Pack
from faultfinder.practice.description import Description
from faultfinder.practice.draw import Level, PracticeJob, draw_job, readable_facts
from faultfinder.practice.machine import Machine
from faultfinder.practice.policies import AtRandom, CheckList, knowing, the_tools, work_through
from faultfinder.practice.technician import Work, arrive
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.given import judge, understand

WAYS = ("tool", "check_list", "random", "knowing")
"""The tool's own way, the fixed list of the trade, chance, and somebody who knew the faults."""
CLAIMED = 0.2
"""Claims below this chance are not looked at for calibration."""
BINS = (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0)
_LEAST = 1e-6
GAVE_UP = "gave up"
"""How a job ended that was too wide to reckon."""


@dataclass(frozen=True, slots=True)
class Claim:
    """A chance that the tool gave a cause at the end of the search, and whether it was there."""

    cause: str
    chance: float
    true: bool


@dataclass(frozen=True, slots=True)
class Trial:
    """One machine worked through in one way."""

    seed: str
    way: str
    true: tuple[str, ...]
    silent: tuple[str, ...]
    found: tuple[str, ...]
    named: tuple[str, ...]
    parts_for_nothing: int
    for_nothing: tuple[str, ...]
    minutes: float
    steps: int
    closed: str
    violations: tuple[str, ...]
    left: tuple[str, ...]
    claims: tuple[Claim, ...] = ()
    log_loss: float = 0.0
    log_loss_before: float = 0.0

    @property
    def counted(self) -> tuple[str, ...]:
        return tuple(cause for cause in self.true if cause not in self.silent)

    @property
    def first_right(self) -> bool:
        """Whether the fault named first is one that was there."""
        return bool(self.named) and self.named[0] in self.true


@dataclass(frozen=True, slots=True)
class Options:
    """wrong: chance of a wrong answer. vary: share by which the physics may be off. ways: which to try."""

    wrong: float = 0.0
    vary: float = 0.0
    level: Level = Level.ANY
    ways: tuple[str, ...] = WAYS


def trials(pack: Pack, description: Description, seed: int | str, options: Options) -> list[Trial]:
    """One machine, worked through in each of the ways. The same seed gives the same trials."""
    job = draw_job(pack, description, str(seed), level=options.level, vary=options.vary)
    silent = silent_faults(job.machine)
    return [trial(job, way, options.wrong, silent) for way in options.ways]


def trial(job: PracticeJob, way: str, wrong: float, silent: tuple[str, ...] | None = None) -> Trial:
    """One machine worked through in one way."""
    quiet = silent_faults(job.machine) if silent is None else silent
    # Somebody who knew the faults needs no answers to be led by.
    work = arrive(job, 0.0 if way == "knowing" else wrong, way)
    before = work.case.found() if way == "tool" else {}
    gave_up = False
    try:
        _by_way(way, job)(work)
    except TooWide:
        # What the tool does then is end the conversation: what was not found by now is not found.
        gave_up = True
    true = tuple(fault.cause for fault in job.machine.faults)
    found = tuple(cause for cause in true if cause in work.mended or cause in work.handed)
    claims: tuple[Claim, ...] = ()
    loss = loss_before = 0.0
    if way == "tool" and not gave_up:
        after = work.case.found()
        claims = tuple(
            Claim(cause, chance, cause in true) for cause, chance in after.items() if chance >= CLAIMED
        )
        loss, loss_before = log_loss(after, true), log_loss(before, true)
    report = audit(work.events, known_from(work.state.pack))
    return Trial(
        job.seed,
        way,
        true,
        quiet,
        found,
        work.state.closed.found if work.state.closed else (),
        work.parts_for_nothing,
        work.for_nothing,
        work.state.minutes,
        work.steps,
        work.state.closed.state if work.state.closed else GAVE_UP,
        tuple(f"{violation.rule}: {violation.what}" for violation in report.violations),
        tuple(sorted(work.machine.causes)),
        claims,
        loss,
        loss_before,
    )


def _by_way(way: str, job: PracticeJob) -> Callable[[Work], Work]:
    match way:
        case "tool":
            return lambda work: work_through(work, the_tools)
        case "check_list":
            return lambda work: work_through(work, CheckList(job.machine.description.check_list))
        case "random":
            chance = random.Random(f"random:{job.seed}")
            return lambda work: work_through(work, AtRandom(chance))
        case "knowing":
            return knowing
    raise FaultFinderError(f"There is no way of working '{way}': {', '.join(WAYS)}.")


def log_loss(chances: Mapping[str, float], true: Iterable[str]) -> float:
    """Minus the logarithm of the chance given to what is so, summed over all causes (natural; 0 is perfect)."""
    there = set(true)
    total = 0.0
    for cause, chance in chances.items():
        p = chance if cause in there else 1.0 - chance
        total -= math.log(max(_LEAST, p))
    return total


def judged_truth(machine: Machine) -> dict[str, str]:
    """What each observation that can be made would really show, readings as the band they fall in."""
    facts = Case(machine.pack, readable_facts(machine)).facts
    out = {}
    for name, answer in machine.truth().items():
        item = machine.pack.observations[name]
        if item.reading is not None:
            answer = judge(machine.pack, item, understand(item, answer, 0), facts).answer
        out[name] = answer
    return out


def silent_faults(machine: Machine) -> tuple[str, ...]:
    """Faults that show in no test on this machine, the others being there, and carry no grave hazard."""
    everything = judged_truth(machine)
    out = []
    for fault in machine.faults:
        if machine.pack.causes[fault.cause].hazard.grave:
            continue
        without = machine.with_faults(other for other in machine.faults if other is not fault)
        if judged_truth(without) == everything:
            out.append(fault.cause)
    return tuple(out)


# -- what the figures come to --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Mean:
    """A mean with its 95 % interval (normal, from the spread between machines)."""

    value: float
    half_width: float
    count: int

    @property
    def low(self) -> float:
        return self.value - self.half_width

    @property
    def high(self) -> float:
        return self.value + self.half_width


@dataclass(frozen=True, slots=True)
class Bin:
    """Claims between two chances: how many, their mean chance, and how many were true."""

    low: float
    high: float
    count: int
    claimed: float
    came_true: float


@dataclass(frozen=True, slots=True)
class WaySummary:
    """The figures of one way. Shares are of the faults that count (silent ones apart) or of the machines."""

    way: str
    machines: int
    faults: int
    found: float
    whole: float
    first_right: float
    silent: int
    silent_found: int
    parts_for_nothing: Mean
    work_for_nothing: Mean
    minutes: Mean
    steps: Mean
    violations: int
    closed: Mapping[str, int]
    grave_left: int
    """Machines closed as fit for use with a grave fault still in them."""


@dataclass(frozen=True, slots=True)
class CauseLine:
    """How one cause fared with the tool: machines with it, found, named wrongly elsewhere, put right for nothing."""

    cause: str
    there: int
    found: int
    for_nothing: int
    missed_seeds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Summary:
    """Everything that `score` prints."""

    ways: Mapping[str, WaySummary]
    paired: Mapping[str, tuple[Mean, Mean]]
    """Way -> (tool's minutes less that way's, tool's steps less that way's), machine by machine."""
    minutes_share: Mapping[str, float]
    """Way -> the tool's minutes as a share of that way's."""
    bins: tuple[Bin, ...]
    calibration_error: float
    """Mean distance between what was claimed and what came true, over the bins by their counts."""
    log_loss: float
    log_loss_before: float
    causes: tuple[CauseLine, ...] = field(default=())


def mean(values: Sequence[float]) -> Mean:
    """The mean and the half width of its 95 % interval."""
    n = len(values)
    if n == 0:
        return Mean(0.0, 0.0, 0)
    middle = math.fsum(values) / n
    if n == 1:
        return Mean(middle, math.inf, 1)
    variance = math.fsum((value - middle) ** 2 for value in values) / (n - 1)
    return Mean(middle, 1.96 * math.sqrt(variance / n), n)


def summary(done: Sequence[Trial], pack: Pack) -> Summary:
    """The figures of all trials."""
    by_way: dict[str, dict[str, Trial]] = {}
    for each in done:
        by_way.setdefault(each.way, {})[each.seed] = each
    ways = {way: _way_summary(way, list(rows.values()), pack) for way, rows in by_way.items()}
    tool = by_way.get("tool", {})
    paired, share = {}, {}
    for way, rows in by_way.items():
        both = [(tool[seed], rows[seed]) for seed in tool if seed in rows]
        if way == "tool" or not both:
            continue
        paired[way] = (
            mean([one.minutes - other.minutes for one, other in both]),
            mean([float(one.steps - other.steps) for one, other in both]),
        )
        share[way] = sum(one.minutes for one, _ in both) / max(1e-9, sum(other.minutes for _, other in both))
    claims = [claim for each in tool.values() for claim in each.claims]
    bins = calibration(claims)
    total = sum(each.count for each in bins)
    error = sum(each.count * abs(each.claimed - each.came_true) for each in bins) / total if total else 0.0
    return Summary(
        MappingProxyType(ways),
        MappingProxyType(paired),
        MappingProxyType(share),
        bins,
        error,
        mean([each.log_loss for each in tool.values()]).value,
        mean([each.log_loss_before for each in tool.values()]).value,
        _cause_lines(list(tool.values())),
    )


def _way_summary(way: str, rows: Sequence[Trial], pack: Pack) -> WaySummary:
    counted = [(each, cause) for each in rows for cause in each.counted]
    silent = [(each, cause) for each in rows for cause in each.silent]
    closed: dict[str, int] = {}
    for each in rows:
        closed[each.closed] = closed.get(each.closed, 0) + 1
    unsafe = [
        each
        for each in rows
        if each.closed == "fit_for_use" and any(pack.causes[cause].hazard.grave for cause in each.left)
    ]
    return WaySummary(
        way,
        len(rows),
        len(counted),
        _share(cause in each.found for each, cause in counted),
        _share(all(cause in each.found for cause in each.counted) for each in rows),
        _share(each.first_right for each in rows),
        len(silent),
        sum(cause in each.found for each, cause in silent),
        mean([float(each.parts_for_nothing) for each in rows]),
        mean([float(len(each.for_nothing)) for each in rows]),
        mean([each.minutes for each in rows]),
        mean([float(each.steps) for each in rows]),
        sum(len(each.violations) for each in rows),
        MappingProxyType(closed),
        len(unsafe),
    )


def _share(held: Iterable[bool]) -> float:
    values = list(held)
    return sum(values) / len(values) if values else 0.0


def calibration(claims: Iterable[Claim]) -> tuple[Bin, ...]:
    """Claims by bins of their chance; empty bins are left out."""
    rows = list(claims)
    out = []
    for low, high in zip(BINS, BINS[1:], strict=False):
        inside = [claim for claim in rows if low <= claim.chance < high or (high == 1.0 == claim.chance)]
        if inside:
            count = len(inside)
            out.append(
                Bin(
                    low,
                    high,
                    count,
                    sum(claim.chance for claim in inside) / count,
                    _share(c.true for c in inside),
                )
            )
    return tuple(out)


def _cause_lines(rows: Sequence[Trial]) -> tuple[CauseLine, ...]:
    there: dict[str, list[Trial]] = {}
    nothing: dict[str, int] = {}
    for each in rows:
        for cause in each.true:
            there.setdefault(cause, []).append(each)
        for cause in each.for_nothing:
            nothing[cause] = nothing.get(cause, 0) + 1
    lines = []
    for cause in sorted({*there, *nothing}):
        with_it = there.get(cause, [])
        missed = tuple(each.seed for each in with_it if cause not in each.found and cause not in each.silent)
        found = sum(cause in each.found for each in with_it)
        lines.append(CauseLine(cause, len(with_it), found, nothing.get(cause, 0), missed))
    return tuple(sorted(lines, key=lambda line: (-len(line.missed_seeds), -line.for_nothing, line.cause)))
