"""The fixed practice machines worked through over two versions of a pack: who finds what, in how many minutes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.model import Pack
from faultfinder.practice.draw import PracticeJob, draw_job
from faultfinder.practice.load import NoPractice, load_practice
from faultfinder.practice.score import trial

SEED = "compare"
"""The machines are those of the seeds compare:0, compare:1 ...: the same in every comparison."""


@dataclass(frozen=True, slots=True)
class Result:
    """What working through one machine came to: of its faults found, all named, put right for nothing; how it was
    closed, and the safety rules broken."""

    found: tuple[str, ...]
    named: tuple[str, ...]
    for_nothing: tuple[str, ...]
    minutes: float
    closed: str
    violations: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Worked:
    """One machine over both versions. trouble: why it could not be worked through."""

    seed: str
    faults: tuple[str, ...]
    old: Result | None
    new: Result | None
    trouble: str = ""

    @property
    def differs(self) -> bool:
        return self.old is None or self.old != self.new


def worked_through(old: Pack, new: Pack, new_path: Path, count: int) -> Iterator[Worked]:
    """The first `count` machines of the new version, each by the tool's own way over both. None where the pack
    has no practice folder."""
    try:
        description = load_practice(new, new_path)
    except NoPractice:
        return
    for number in range(count):
        seed = f"{SEED}:{number}"
        faults: tuple[str, ...] = ()
        try:
            job = draw_job(new, description, seed)
            faults = tuple(fault.cause for fault in job.machine.faults)
            # The same machine and complaint, worked through with the other version of the rules.
            over_old = replace(job.machine, pack=old, _kept={}, _sound=[], _asked=[])
            yield Worked(seed, faults, _result(replace(job, machine=over_old)), _result(job))
        except (FaultFinderError, KeyError) as error:
            yield Worked(seed, faults, None, None, str(error))


def _result(job: PracticeJob) -> Result:
    done = trial(job, "tool", 0.0)
    named = tuple(sorted(done.named))
    return Result(done.found, named, done.for_nothing, done.minutes, done.closed, done.violations)
