"""How good the tool is: jobs on practice machines to the end, and what the figures come to.

One `Trial` is one machine worked through in one way. figures.py compares the ways machine by machine. What counts as
found: a true fault put right (under its own name, or with the part that it sits in), or handed to the licensed person
it is for. A *silent* fault shows in no test that
can be made on this machine, whichever of the others are put right, and carries no hazard of fire or shock; it is
counted on a line of its own.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations

from faultfinder.errors import FaultFinderError, TooWide
from faultfinder.job.audit import audit
from faultfinder.knowledge.model import Pack
from faultfinder.practice.answering import as_judged
from faultfinder.practice.description import Description
from faultfinder.practice.draw import Level, PracticeJob, draw_job, readable_facts
from faultfinder.practice.machine import Machine
from faultfinder.practice.policies import AtRandom, CheckList, knowing, the_tools, work_through
from faultfinder.practice.technician import Work, arrive
from faultfinder.reasoning.evidence.facts import read_facts
from faultfinder.text.catalogue import say

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
    complained_of: tuple[str, ...]
    """Faults that something of the complaint hangs on: without them it would not be told."""
    found: tuple[str, ...]
    named: tuple[str, ...]
    """What the job's end names as found, the likeliest first."""
    done: tuple[str, ...]
    """What was put right or handed over, in that order."""
    parts_for_nothing: int
    for_nothing: tuple[str, ...]
    minutes: float
    steps: int
    closed: str
    violations: tuple[str, ...]
    left: tuple[str, ...]
    still_told: tuple[str, ...] = ()
    """Complaints that would be made again of the machine as it was left."""
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

    @property
    def first_done_right(self) -> bool:
        """Whether what was put right first was there."""
        return bool(self.done) and self.done[0] in self.true


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
    gone = set(true) - work.machine.causes
    found = tuple(cause for cause in true if cause in gone or cause in work.mended or cause in work.handed)
    claims: tuple[Claim, ...] = ()
    loss = loss_before = 0.0
    if way == "tool" and not gave_up:
        after = work.case.found()
        claims = tuple(
            Claim(cause, chance, cause in true) for cause, chance in after.items() if chance >= CLAIMED
        )
        loss, loss_before = log_loss(after, true), log_loss(before, true)
    report = audit(work.events, work.state.pack)
    return Trial(
        job.seed,
        way,
        true,
        quiet,
        behind_the_complaint(job),
        found,
        work.state.closed.found if work.state.closed else (),
        tuple(step.target for step in work.path if step.kind in ("put right", "hand over")),
        work.parts_for_nothing,
        work.for_nothing,
        work.state.minutes,
        work.steps,
        work.state.closed.state if work.state.closed else GAVE_UP,
        tuple(f"{violation.rule}: {violation.what}" for violation in report.violations),
        tuple(sorted(work.machine.causes)),
        still_told(job, work.machine),
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
    raise FaultFinderError(say("score_there_no_way_working", way=way, names=", ".join(WAYS)))


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
    facts = read_facts(machine.pack, readable_facts(machine))
    return {name: as_judged(machine, name, shown, facts) for name, shown in machine.truth().items()}


def silent_faults(machine: Machine) -> tuple[str, ...]:
    """Faults that show in no test on this machine, however many of the others are there, and carry no grave hazard.

    One that another hides (a dead machine shows no weak air) shows once that is put right: it is not silent.
    """
    truth: dict[frozenset[str], dict[str, str]] = {}

    def shown(kept: frozenset[str]) -> dict[str, str]:
        if kept not in truth:
            truth[kept] = judged_truth(machine.with_faults(f for f in machine.faults if f.cause in kept))
        return truth[kept]

    out = []
    for cause in machine.causes_in_order:
        if machine.pack.causes[cause].hazard.grave:
            continue
        others = [other for other in machine.causes_in_order if other != cause]
        # With all of the others first: most faults show then, and the rest need not be looked at.
        kept = (frozenset(some) for n in range(len(others), -1, -1) for some in combinations(others, n))
        if all(shown(some | {cause}) == shown(some) for some in kept):
            out.append(cause)
    return tuple(out)


def still_told(job: PracticeJob, left: Machine) -> tuple[str, ...]:
    """What was complained of and is still so on the machine as it is left. What only sets the scene (it was moved) is
    no complaint."""
    out = []
    for name in job.complaint:
        item = left.pack.observations[name]
        if not item.sets_the_scene and not left.cannot(name) and left.answer(name) != item.healthy:
            out.append(name)
    return tuple(out)


def behind_the_complaint(job: PracticeJob) -> tuple[str, ...]:
    """Faults without which some complaint would not be there."""
    machine = job.machine
    healthy = {name: machine.pack.observations[name].healthy for name in job.complaint}
    told = [name for name in healthy if machine.answer(name) != healthy[name]]
    out = []
    for fault in machine.faults:
        without = machine.with_faults(other for other in machine.faults if other is not fault)
        if any(without.answer(name) == healthy[name] for name in told):
            out.append(fault.cause)
    return tuple(out)
