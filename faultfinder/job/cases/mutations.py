"""A pack changed in one place at a time: does some worked case notice? What none notices, no case defends.

A *change* takes a link out, moves a limit, or makes an observation reachable in another state of the machine. It is
noticed where a case that holds with the rules as they are fails with the change. An access is changed only where a
case names the observation among its first steps: what an access does for safety is the gate's and the checker's to
notice, and of a case only the order of the steps hangs on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from faultfinder.job.cases.replay import replay
from faultfinder.job.cases.worked import WorkedCase, answers_of, carrying
from faultfinder.job.events import Expect
from faultfinder.job.state import fold, replayed
from faultfinder.knowledge.analysis.link_strengths import place, strengths, without
from faultfinder.knowledge.formulas.expression import OL
from faultfinder.knowledge.model import Band, Mark, Need, Observation, Pack

MOVED = 1.5
"""How many times as far from 0 a limit is moved. Chosen: more than any tolerance, less than another fault."""


@dataclass(frozen=True, slots=True)
class Mutation:
    """One change: what it is in words, where it stands, of which kind; and the cases that could notice."""

    kind: str
    what: str
    mark: Mark
    pack: Pack
    cases: tuple[WorkedCase, ...]


def changes(pack: Pack, cases: Sequence[WorkedCase]) -> Iterator[Mutation]:
    """Every change of a pack, in the order of the rules, with the cases that it touches at all."""
    ends = {case.name: replayed(fold(pack, case.events)[0]) for case in cases}
    answers = {name: answers_of(end) for name, end in ends.items()}
    carried = {case.name: carrying(pack, case, answers[case.name]) for case in cases}
    first_steps = {
        case.name: {
            name for each in case.events if isinstance(each, Expect) for name in each.first_step_one_of
        }
        for case in cases
    }
    for tie in strengths(pack):
        touched = tuple(case for case in cases if tie in carried[case.name])
        yield Mutation("links", f"{tie}: taken out", place(pack, tie), without(pack, tie), touched)
    for observation in pack.observations.values():
        read = tuple(case for case in cases if observation.id in answers[case.name])
        for number, (what, changed) in enumerate(_moved_limits(observation)):
            mark = observation.reading.bands[number].mark if observation.reading else observation.mark
            yield Mutation("limits", what, mark, _with(pack, changed), read)
        first = tuple(case for case in cases if observation.id in first_steps[case.name])
        if not first:
            continue
        other = Need.ISOLATED if observation.need is Need.OPEN_DEAD else Need.OPEN_DEAD
        what = f"{observation.id}: access {other} in place of {observation.need}"
        yield Mutation("access", what, observation.mark, _with(pack, replace(observation, need=other)), first)


def noticed(change: Mutation) -> bool:
    """Whether a case notices the change; costs a run for each until one does."""
    return any(replay(change.pack, case.events).misses for case in change.cases)


def _with(pack: Pack, observation: Observation) -> Pack:
    return replace(pack, observations=MappingProxyType({**pack.observations, observation.id: observation}))


def _moved_limits(observation: Observation) -> Iterator[tuple[str, Observation]]:
    """The reading with each inner limit moved, in the band below it and the one above alike."""
    spec = observation.reading
    if spec is None:
        return
    for number, band in enumerate(spec.bands):
        if band.high in (OL, f"-{OL}"):
            continue
        moved = f"{MOVED} * ({band.high})"
        bands = tuple(
            Band(
                moved if each.low == band.high else each.low,
                moved if each.high == band.high else each.high,
                each.mark,
            )
            for each in spec.bands
        )
        name = observation.answers[number].id
        what = f"{observation.id}: {name} up to {MOVED} times its limit"
        yield what, replace(observation, reading=replace(spec, bands=bands))
