"""What stands at the end of an exercise: the faults, the two paths side by side, and what should have been asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from faultfinder.knowledge.model import Kind, Need, Pack
from faultfinder.practice.exercise import Exercise, Mark, forgotten
from faultfinder.practice.machine import Machine
from faultfinder.practice.policies import the_tools, work_through
from faultfinder.practice.score import judged_truth
from faultfinder.practice.technician import PathStep, Work, arrive


@dataclass(frozen=True, slots=True)
class Shows:
    """An observation that shows a fault: what it would have shown, against what a sound machine shows."""

    observation: str
    ask: str
    why: str
    answer: str
    instead_of: str
    need: Need
    minutes: float


@dataclass(frozen=True, slots=True)
class FaultReview:
    """One fault that was there: whether it was found, what brought it on, what was known of it, and the cheapest
    tests not made that would have shown it."""

    cause: str
    title: str
    found: bool
    brought_on_by: str
    known: tuple[Shows, ...]
    shown_by: tuple[Shows, ...]


@dataclass(frozen=True, slots=True)
class Review:
    """The whole review."""

    faults: tuple[FaultReview, ...]
    for_nothing: tuple[str, ...]
    parts_for_nothing: int
    marks: tuple[Mark, ...]
    unsafe: str
    closed: str
    minutes: float
    path: tuple[PathStep, ...]
    tool_minutes: float
    tool_path: tuple[PathStep, ...]
    left: tuple[str, ...]
    """Faults that are still in the machine."""


def review(exercise: Exercise) -> Review:
    """What the exercise came to, with the tool's own way through the same machine."""
    work = exercise.work
    job = work.job
    tool = work_through(arrive(job, 0.0, "tool"), the_tools)
    asked = _answered(work)
    faults = []
    for fault in job.machine.faults:
        shown = what_shows(job.machine, fault.cause)
        faults.append(
            FaultReview(
                fault.cause,
                job.machine.pack.causes[fault.cause].title,
                fault.cause in {*work.mended, *work.handed} or fault.cause not in work.machine.causes,
                fault.brought_on_by,
                tuple(each for each in shown if asked.get(each.observation) == each.answer),
                tuple(each for each in shown if each.observation not in asked)[:3],
            )
        )
    return Review(
        tuple(faults),
        work.for_nothing,
        work.parts_for_nothing,
        (*exercise.marks, *forgotten(exercise)),
        exercise.unsafe,
        work.state.closed.state if work.state.closed else "",
        round(work.state.minutes, 1),
        tuple(work.path),
        round(tool.state.minutes, 1),
        tuple(tool.path),
        tuple(sorted(work.machine.causes)),
    )


def _answered(work: Work) -> dict[str, str]:
    """The first answer to each observation, as a person reads it, readings as the band they fall in."""
    pack = work.state.pack
    out: dict[str, str] = {}
    for given in work.case.answers:
        text = _text(pack, given.observation, work.case.judged(given).answer)
        out.setdefault(given.observation, text)
    return out


def what_shows(machine: Machine, cause: str) -> tuple[Shows, ...]:
    """The observations whose answer this fault changes on this machine: what can be looked at or measured before
    what is only told, and the cheapest first, the way to it counted."""
    with_it = judged_truth(machine)
    without = judged_truth(machine.with_faults(each for each in machine.faults if each.cause != cause))
    pack = machine.pack
    order = list(Need)
    shown = []
    for name, answer in with_it.items():
        if name in without and without[name] != answer:
            item, instead_of = pack.observations[name], _text(pack, name, without[name])
            shows = _text(pack, name, answer)
            shown.append(Shows(name, item.ask, item.why, shows, instead_of, item.need, item.minutes))
    minutes = _way_minutes(pack)

    def cost(each: Shows) -> tuple[bool, float, int, str]:
        told = pack.observations[each.observation].kind is Kind.TOLD
        return told, each.minutes + minutes[each.need], order.index(each.need), each.observation

    return tuple(sorted(shown, key=cost))


def _way_minutes(pack: Pack) -> Mapping[Need, float]:
    """Minutes of the way to each need from the door, as the pack states them."""
    total = {Need.ANYWHERE: 0.0, Need.COVERS_ON: 0.0}
    minutes = {access.value: value for access, value in pack.access_minutes.items()}
    total[Need.IN_USE] = minutes["in_use"]
    total[Need.ISOLATED] = minutes["isolated"]
    total[Need.OPEN_DEAD] = minutes["isolated"] + minutes["open_unproved"] + minutes["open_dead"]
    return total


def _text(pack: Pack, name: str, answer: str) -> str:
    return next((each.text for each in pack.observations[name].answers if each.id == answer), answer)
