"""Worked cases of a pack: jobs in the record format that say what must come out, run and explained.

A case is *present* in what its `likely` lines name. It holds when everything in it can be taken and every
expectation is met (see replay.py). Where a cause came out too unlikely or too likely, the answers that pulled its
chance up and down are told. Nothing here reads or writes a file.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from faultfinder.errors import FaultFinderError
from faultfinder.job.cases.replay import Miss, chances_of, miss_text, replay
from faultfinder.job.events import Event, Expect
from faultfinder.job.state import JobState, fold, replayed
from faultfinder.knowledge.analysis.link_strengths import Tie, strengths, without
from faultfinder.knowledge.analysis.machines import reached
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import Problem
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.reasons import reasons

CANNOT_FAIL = "it says nothing that must come out, so it can never fail; end it with 'likely' or the like"


BESIDES = 0.1
"""A cause likelier than this is told beside a fault that came out too unlikely. Chosen."""


@dataclass(frozen=True, slots=True)
class WorkedCase:
    """name: its file without the ending. lines: the line of each event. problems: what in the file is wrong."""

    name: str
    file: str
    events: tuple[Event, ...]
    lines: tuple[int, ...]
    problems: tuple[Problem, ...] = ()

    @property
    def expectations(self) -> int:
        """Lines that say what must come out."""
        return sum(isinstance(event, Expect) for event in self.events)

    @property
    def present(self) -> tuple[str, ...]:
        """The faults that are in the machine: all that a `likely` line names."""
        named = (name for event in self.events if isinstance(event, Expect) for name, _ in event.likely)
        return tuple(dict.fromkeys(named))

    @property
    def readable(self) -> bool:
        return not any(problem.is_error for problem in self.problems)


@dataclass(frozen=True, slots=True)
class Pull:
    """What one answer does to the chance of a cause: decibans for (positive) or against it, in the order answered.

    through: the cause by which it weighs where the rules have no way from the cause itself to the observation.
    """

    observation: str
    answer: str
    decibans: float
    through: str = ""


@dataclass(frozen=True, slots=True)
class Failure:
    """One thing that came out differently. line: in the case's file. pulls: strongest first; of one cause.

    besides: where a fault came out too unlikely, the causes that are no fault of the case and likelier than BESIDES.
    """

    line: int
    what: str
    expected: str
    got: str
    pulls: tuple[Pull, ...] = ()
    besides: tuple[tuple[str, float], ...] = ()

    def __str__(self) -> str:
        return miss_text(self.what, self.expected, self.got) if self.expected else self.what


@dataclass(frozen=True, slots=True)
class CaseRun:
    """A worked case run over a pack. state, end: the job at its end, and what a Case makes of it."""

    case: WorkedCase
    state: JobState
    end: Case
    failures: tuple[Failure, ...]

    @property
    def holds(self) -> bool:
        return not self.failures


def run_case(pack: Pack, case: WorkedCase, *, explain: bool = True) -> CaseRun:
    """Run one case. explain: with the pulls of what failed, which takes a moment for each answer."""
    result = replay(pack, case.events)
    failures = [_failure(pack, case, miss, explain) for miss in result.misses]
    if not case.expectations:
        failures.append(Failure(case.lines[-1] if case.lines else 1, CANNOT_FAIL, "", ""))
    return CaseRun(case, result.state, result.case, tuple(failures))


def _failure(pack: Pack, case: WorkedCase, miss: Miss, explain: bool) -> Failure:
    pulls: tuple[Pull, ...] = ()
    besides: tuple[tuple[str, float], ...] = ()
    kind, _, cause = miss.what.partition(" ")
    if explain and cause in pack.causes:
        state, _ = fold(pack, case.events[: miss.position])
        there = replayed(state)
        pulls = pulls_on(there, cause)
        if kind == "likely":
            chances = sorted(chances_of(there).items(), key=lambda each: -each[1])
            # What is taken for a fault and is none of the case, likeliest first.
            besides = tuple(each for each in chances if each[1] > BESIDES and each[0] not in case.present)
    return Failure(case.lines[miss.position], miss.what, miss.expected, miss.got, pulls, besides)


def pulls_on(case: Case, cause: str) -> tuple[Pull, ...]:
    """Which answers pull a cause's chance which way, strongest first; none where the answers are impossible."""
    try:
        found = reasons(case, cause)
    except FaultFinderError:
        return ()
    pulls = [Pull(each.observation, each.answer, each.decibans, each.through or "") for each in found]
    return tuple(sorted(pulls, key=lambda pull: -abs(pull.decibans)))


# -- what a case leans on --------------------------------------------------------------------------------


def answers_of(case: Case) -> dict[str, tuple[str, ...]]:
    """Observation -> the answers given to it, as the facts known at the end judge them."""
    found: dict[str, list[str]] = {}
    for given in case.answers:
        found.setdefault(given.observation, []).append(case.judged(given).answer)
    return {name: tuple(answers) for name, answers in found.items()}


def brought_about(pack: Pack, present: Iterable[str]) -> set[str]:
    """The faults of a case and every state that they can bring about, one by another."""
    states = pack.states.items()
    return reached(present, lambda name: (state for state, item in states if name in item.brought_on_by))


def carrying(pack: Pack, case: WorkedCase, answers: dict[str, tuple[str, ...]]) -> set[Tie]:
    """The ties that carry weight for a fault of the case: they stand between it and an answer that was given, or
    between it and another fault of the case."""
    there = brought_about(pack, case.present)
    ties = [tie for tie in strengths(pack) if tie.source in there]
    shows = {tie for tie in ties if not tie.brings_on and tie.answer in answers.get(tie.target, ())}
    brings = [tie for tie in ties if tie.brings_on and tie.target in there]
    useful = reached(
        [*case.present, *(tie.source for tie in shows)],
        lambda name: (tie.source for tie in brings if tie.target == name),
    )
    return shows | {tie for tie in brings if tie.target in useful}


def leans_on(pack: Pack, case: WorkedCase) -> Tie | None:
    """A tie without which the case fails, tried from the strongest; None where it holds without any one of them.

    Meant for a case that holds; costs one run of the case for each tie tried.
    """
    state, _ = fold(pack, case.events)
    strength = strengths(pack)
    carried = carrying(pack, case, answers_of(replayed(state)))
    for tie in sorted(
        carried, key=lambda tie: (tie.brings_on, tie.source not in case.present, -strength[tie], tie)
    ):
        if replay(without(pack, tie), case.events).misses:
            return tie
    return None
