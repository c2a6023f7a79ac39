"""The fixed practice machines worked through over two versions of a pack: who finds what, in how many minutes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.model import Pack
from faultfinder.practice.draw import PracticeJob, draw_job
from faultfinder.practice.load import NoPractice, load_practice
from faultfinder.practice.score import Trial, trial

SEED = "compare"
"""The machines are those of the seeds compare:0, compare:1 ...: the same in every comparison."""


@dataclass(frozen=True, slots=True)
class Worked:
    """One machine over both versions. trouble: why it could not be worked through."""

    seed: str
    faults: tuple[str, ...]
    old: Trial | None
    new: Trial | None
    trouble: str = ""

    @property
    def differs(self) -> bool:
        if self.old is None or self.new is None:
            return True
        return _gist(self.old) != _gist(self.new)


def _gist(one: Trial) -> tuple[object, ...]:
    return one.found, sorted(one.named), one.for_nothing, one.minutes, one.closed, one.violations


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
            yield Worked(seed, faults, trial(_over(job, old), "tool", 0.0), trial(job, "tool", 0.0))
        except (FaultFinderError, KeyError) as error:
            yield Worked(seed, faults, None, None, str(error))


def _over(job: PracticeJob, pack: Pack) -> PracticeJob:
    """The same machine and complaint, worked through with another version of the rules."""
    return replace(job, machine=replace(job.machine, pack=pack, _kept={}, _sound=[], _asked=[]))
