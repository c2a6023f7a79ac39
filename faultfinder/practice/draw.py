"""Jobs for practice and scoring: a machine with one to three faults, and what its owner says of it.

How often a fault is drawn follows the pack's own `how_common` (there is no other count of faults to go by), off by
a random factor; what it does, and what it brings on, follows the practice description. A machine whose owner has
nothing to complain of is drawn again: there would be no job.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.model import Pack
from faultfinder.practice.description import Description
from faultfinder.practice.machine import Machine, PracticeError, PresentFault
from faultfinder.practice.making import draw_fault, draw_machine, with_present_share
from faultfinder.reasoning.evidence.facts import possible, read_fact
from faultfinder.text.catalogue import say


class Level(StrEnum):
    """How hard an exercise is."""

    ONE = "one"
    """One fault, there all the time."""
    LOOK_ALIKES = "look_alikes"
    """One fault whose complaint points at other faults first."""
    SEVERAL = "several"
    """Two or three faults at once."""
    BROUGHT_ON = "brought_on"
    """One fault that has brought on another."""
    INTERMITTENT = "intermittent"
    """One fault that comes and goes."""
    ANY = "any"
    """One to three faults, as jobs come."""


LEVELS = tuple(level.value for level in Level)


COUNTS = {1: 0.60, 2: 0.28, 3: 0.12}
"""How many faults a job has; chosen. Implied totals of rule packs are one to two and a half."""
MENTIONED = 0.5
"""Chance that an owner mentions a thing beside the main complaint; chosen."""
TRIES = 400


@dataclass(frozen=True, slots=True)
class PracticeJob:
    """A machine as it stands there. complaint: observation -> answer, the main one first. facts: those known when
    the job begins. seed: the whole name of the drawing."""

    machine: Machine
    complaint: Mapping[str, str]
    facts: Mapping[str, str]
    seed: str
    title: str = ""
    says: str = ""
    """The owner's own words, where somebody wrote them; else they are made from the complaint (`owners_words`)."""


def draw_job(
    pack: Pack,
    description: Description,
    seed: str,
    *,
    level: Level = Level.ANY,
    vary: float = 0.0,
) -> PracticeJob:
    """The job of that seed; the same seed gives the same job. Raises PracticeError if none can be found."""
    for attempt in range(TRIES):
        name = f"{seed}/{attempt}"
        chance = random.Random(f"job:{name}")
        machine = draw_machine(pack, description, name, vary=vary)
        faults = _faults(machine, chance, level)
        if not faults:
            continue
        machine = machine.with_faults(faults)
        complaint = what_is_told(machine, chance)
        if not complaint:
            continue
        if level is Level.LOOK_ALIKES and not _points_elsewhere(machine, complaint):
            continue
        return PracticeJob(machine, complaint, what_is_known(machine, chance), seed)
    raise PracticeError(say("draw_no_machine_level_found", level=level, seed=seed))


# -- faults -----------------------------------------------------------------------------------------------


def _faults(machine: Machine, chance: random.Random, level: Level) -> list[PresentFault]:
    weights = _weights(machine, chance)
    match level:
        case Level.ONE | Level.LOOK_ALIKES:
            return [_first(machine, weights, chance)]
        case Level.INTERMITTENT:
            notes = machine.description.faults
            going = {cause: weight for cause, weight in weights.items() if notes[cause].intermittent}
            fault = [_first(machine, going, chance)] if going else []
            return [with_present_share(each, chance.uniform(0.35, 0.75)) for each in fault]
        case Level.BROUGHT_ON:
            return _with_follower(machine, weights, chance)
        case Level.SEVERAL:
            count = chance.choice((2, 2, 3))
        case _:
            count = chance.choices(list(COUNTS), list(COUNTS.values()))[0]
    return _several(machine, weights, chance, count)


def _weights(machine: Machine, chance: random.Random) -> dict[str, float]:
    """Causes that can be on this machine, by how often they are drawn."""
    facts = machine.facts()
    weights = {}
    for cause, note in machine.description.faults.items():
        factor = 2.0 ** chance.gauss(0.0, 0.5)
        if note.weight > 0 and possible(machine.pack.causes[cause].applies, facts):
            weights[cause] = machine.pack.causes[cause].how_common * note.weight * factor
    return weights


def _first(machine: Machine, weights: Mapping[str, float], chance: random.Random) -> PresentFault:
    cause = chance.choices(list(weights), list(weights.values()))[0]
    return draw_fault(machine, cause, chance)


def _several(
    machine: Machine, weights: Mapping[str, float], chance: random.Random, count: int
) -> list[PresentFault]:
    faults = [_first(machine, weights, chance)]
    while len(faults) < count:
        follower = _follower(machine, faults[-1].cause, weights, faults, chance)
        if follower is None:
            left = {cause: weight for cause, weight in weights.items() if cause not in _causes(faults)}
            follower = _first(machine, left, chance)
        faults.append(follower)
    return faults


def _with_follower(
    machine: Machine, weights: Mapping[str, float], chance: random.Random
) -> list[PresentFault]:
    """A fault and one that it brings on: chosen among those that can bring something on."""
    notes = machine.description.faults
    bringers = {
        cause: weight * sum(notes[cause].leads_to.values())
        for cause, weight in weights.items()
        if any(other in weights for other in notes[cause].leads_to)
    }
    overheats = [cause for cause in weights if notes[cause].returns_when is not None]
    if not bringers and not overheats:
        return []
    first = _first(machine, bringers, chance)
    to = {other: share for other, share in notes[first.cause].leads_to.items() if other in weights}
    other = chance.choices(list(to), list(to.values()))[0]
    return [first, draw_fault(machine, other, chance, first.cause)]


def _follower(
    machine: Machine,
    cause: str,
    weights: Mapping[str, float],
    faults: list[PresentFault],
    chance: random.Random,
) -> PresentFault | None:
    """What the fault brings on, if anything: by its own word, or because the machine now overheats."""
    notes = machine.description.faults
    for other, share in notes[cause].leads_to.items():
        if other in weights and other not in _causes(faults) and chance.random() < share:
            return draw_fault(machine, other, chance, cause)
    for other, note in notes.items():
        if note.returns_when is None or other not in weights or other in _causes(faults):
            continue
        if machine.with_faults(faults).holds(note.returns_when) and chance.random() < 0.6:
            return draw_fault(machine, other, chance, cause)
    return None


def _causes(faults: list[PresentFault]) -> set[str]:
    return {fault.cause for fault in faults}


# -- what the owner says -----------------------------------------------------------------------------------


def what_is_told(machine: Machine, chance: random.Random) -> dict[str, str]:
    """What the owner complains of, the main thing first; empty when there is nothing to complain of."""
    pack, facts = machine.pack, machine.facts()
    seen: dict[str, str] = {}
    for name, item in pack.observations.items():
        if not item.symptom or not possible(item.applies, facts) or machine.cannot(name):
            continue
        answer = machine.answer(name, chance)
        if answer != item.healthy:
            seen[name] = answer
    # What only sets the scene (it was moved) brings nobody to call for help.
    main = [name for name in seen if not pack.observations[name].sets_the_scene]
    if not main:
        return {}
    first = chance.choice(main)
    others = [name for name in seen if name != first and chance.random() < MENTIONED]
    return {name: seen[name] for name in (first, *others)}


def owners_words(job: PracticeJob) -> str:
    """The complaint as its owner puts it."""
    if job.says:
        return job.says
    chance = random.Random(f"words:{job.seed}")
    parts = []
    for name, answer in job.complaint.items():
        item = job.machine.pack.observations[name]
        words = chance.choice(item.said) if item.said else ""
        # Words stand for the first complaint answer; another one is put by its own text.
        if not words or (len(item.answers) > 2 and answer != item.answers[-1].id):
            text = next(each.text for each in item.answers if each.id == answer)
            words = item.ask.rstrip("?") + ("" if answer == "yes" else f": {text}")
        parts.append(words)
    return "; ".join(parts)


def what_is_known(machine: Machine, chance: random.Random) -> dict[str, str]:
    """The facts that are known when the job begins; the type of machine and its connection always."""
    return {
        name: value
        for name, value in readable_facts(machine).items()
        if machine.pack.facts[name].required or chance.random() < machine.description.facts[name].known
    }


def readable_facts(machine: Machine) -> dict[str, str]:
    """Every fact of the machine that the pack can take: what lies outside its range is left unknown."""
    out = {}
    for name, value in machine.facts().items():
        try:
            read_fact(machine.pack.facts[name], value)
        except FaultFinderError:
            continue
        out[name] = value
    return out


def _points_elsewhere(machine: Machine, complaint: Mapping[str, str]) -> bool:
    """Whether at least two other faults are likelier by the complaint alone."""
    from faultfinder.reasoning.case import Case

    case = Case(machine.pack, {"type": machine.words["type"]} if "type" in machine.words else {})
    for name, answer in complaint.items():
        case.record(name, answer)
    ranked = case.confidence()
    true = max(ranked.get(cause, 0.0) for cause in machine.causes)
    return sum(chance > true for chance in ranked.values()) >= 2
