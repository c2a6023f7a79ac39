"""What the worked cases of a pack exercise, and above all what they do not.

A cause is covered when a case has it present; an answer or a band when a case gives it; a tie (a strength of the
rules, see knowledge/analysis/link_strengths.py) when it carries weight for a fault of a case.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from faultfinder.job.cases.worked import CaseRun, answers_of, carrying
from faultfinder.knowledge.analysis.link_strengths import place, strengths
from faultfinder.knowledge.model import Mark, Pack

Row = tuple[str, bool, Mark]
"""What it is, whether a case exercises it, and where it stands."""


class Uncovered(NamedTuple):
    """Something that no case exercises, and where it stands in the rules."""

    mark: Mark
    what: str


@dataclass(frozen=True, slots=True)
class Part:
    """One kind of thing: how many there are, and which of them no case exercises, in the order of the files."""

    kind: str
    total: int
    missing: tuple[Uncovered, ...]

    @property
    def covered(self) -> int:
        return self.total - len(self.missing)

    @property
    def percent(self) -> int:
        """Whole per cent, rounded down: 100 only where nothing is missing."""
        return 100 * self.covered // self.total if self.total else 100


class Coverage(NamedTuple):
    causes: Part
    answers: Part
    bands: Part
    ties: Part


def coverage(pack: Pack, runs: Iterable[CaseRun]) -> Coverage:
    """What the runs exercise together. A case that fails counts for what it says, not for what came out."""
    present: set[str] = set()
    given: set[tuple[str, str]] = set()
    carried = set()
    for run in runs:
        answers = answers_of(run.end)
        present |= set(run.case.present)
        given |= {(name, answer) for name, each in answers.items() for answer in each}
        carried |= carrying(pack, run.case, answers)
    causes = [(cause.id, cause.id in present, cause.mark) for cause in pack.causes.values()]
    words: list[Row] = []
    bands: list[Row] = []
    for observation in pack.observations.values():
        for answer in observation.answers:
            row = (f"{observation.id}: {answer.id}", (observation.id, answer.id) in given, observation.mark)
            (bands if observation.reading is not None else words).append(row)
    ties = [(str(tie), tie in carried, place(pack, tie)) for tie in strengths(pack)]
    return Coverage(
        _part("causes", causes), _part("answers", words), _part("bands", bands), _part("links", ties)
    )


def _part(kind: str, rows: Sequence[Row]) -> Part:
    return Part(kind, len(rows), tuple(Uncovered(mark, what) for what, covered, mark in rows if not covered))
