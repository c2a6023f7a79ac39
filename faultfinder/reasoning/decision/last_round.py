"""What the pack has looked at before every closing, whatever it promises: inside while open, and at the end."""

from __future__ import annotations

from operator import attrgetter

from faultfinder.knowledge.model import Access, Kind, Need, Observation, Question
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.access_cost import reached
from faultfinder.reasoning.decision.imagined import Imagined
from faultfinder.reasoning.decision.step import Stage, Step
from faultfinder.reasoning.decision.test_selection import made_anyway
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.reasoning.inference.assessment import Assessment

_minutes = attrgetter("minutes")

PASSED_OVER = 2
"""How many of what a complaint closes with may be passed over before no more of it is asked for; chosen."""


def last_round(case: Assessment) -> list[Step]:
    """What the pack has looked at before every closing. What a fault hid that is put right now, and what nobody
    thought of telling, is found by it; weighed one at a time most of it would not pay. First what is looked at and
    measured, once in a job; then the trial of the machine, run again. It is not run for that while something is
    taken as there that burns or shocks. What is measured with the plug out is left to the return tests where the
    machine was opened."""
    causes = case.pack.causes
    unsafe = any(p > FOUND and causes[name].hazard.grave for name, p in case.confidence().items())
    may_run = case.access is Access.IN_USE or not unsafe
    looked_at: list[Step] = []
    trial: list[Step] = []
    for item in _of_the_last_round(case):
        need = case.need_of(item)
        step = made_anyway(case, item, stage=Stage.LAST_ROUND)
        if need is Need.IN_USE:
            if may_run:
                trial.append(step)
        elif need is not Need.OPEN_DEAD and not_seen_yet(case, item):
            measured = isinstance(item, Observation) and item.reading is not None
            if not (measured and need is Need.ISOLATED and case.was_open):
                looked_at.append(step)
    first = {step.target for step in (*looked_at, *trial)}
    due = [step for step in closing_readings(case) if step.target not in first]
    trial += [step for step in due if may_run or step.access is not Access.IN_USE]
    return [*sorted(looked_at, key=_minutes), *sorted(trial, key=_minutes)]


def closing_readings(case: Assessment) -> list[Step]:
    """For each complaint that closes with something looked at or measured, and of which nothing was yet: what of it
    takes the fewest minutes. One that was passed over is none of it; after the second, and where nothing of it can be
    done, none is owed: then the job ends `unproved`."""
    out: dict[str, Step] = {}
    for name in unproved(case):
        wanted = [case.pack.observations[each] for each in case.pack.observations[name].closes_with]
        left = [each for each in wanted if each.id not in case.skipped]
        able = [each for each in left if case.offers(each)]
        if able and len(wanted) - len(left) < PASSED_OVER:
            step = min((made_anyway(case, each, stage=Stage.LAST_ROUND) for each in able), key=_minutes)
            out.setdefault(step.target, step)
    return list(out.values())


def unproved(case: Assessment) -> list[str]:
    """What was complained of and closes with something of which nothing was looked at or measured: nobody can say
    that it is cured."""
    said = dict.fromkeys(given.observation for given in case.answers if given.complaint)
    closing = {name: case.pack.observations[name].closes_with for name in said}
    return [
        name
        for name, wanted in closing.items()
        if wanted and not any(_was_seen(case, each) for each in wanted)
    ]


def _was_seen(case: Assessment, name: str) -> bool:
    """Whether it was looked at or measured in this job, not merely told."""
    return any(given.observation == name and given.kind is not Kind.TOLD for given in case.answers)


def round_inside(case: Assessment) -> list[Step]:
    """What the pack has looked at in an open machine before it is closed, once in a job."""
    out = [
        made_anyway(case, item, stage=Stage.LAST_ROUND)
        for item in _of_the_last_round(case)
        if case.need_of(item) is Need.OPEN_DEAD and not_seen_yet(case, item)
    ]
    return sorted(out, key=_minutes)


def slips_inside(case: Assessment, imagined: Imagined) -> list[Step]:
    """What was found inside and stands against 'fit for use', where more likely than not nothing is there that shows
    in it: looked at again before the covers go back on, after a measurement without which that clears nothing. Left
    for the end it takes the covers off once more."""
    items, out = case.pack.observations, dict[str, Step]()
    for name, given in {given.observation: given for given in case.answers}.items():
        item, answer = items[name], case.judged(given).answer
        if answer not in item.unsafe or case.need_of(item) is not Need.OPEN_DEAD:
            continue
        if imagined.behind_any(name) > FOUND:
            continue
        tests = [each for each in item.unsafe[answer] if possible(items[each].applies, case.facts)]
        measured = not tests or any(_was_good(case, each) for each in tests)
        for each in (() if measured else tests, item.tried_by or (name,)):
            able = [items[one] for one in each if _can_be_made(case, items[one])]
            for look in able[:1]:
                out.setdefault(look.id, made_anyway(case, look, stage=Stage.LAST_ROUND))
    return list(out.values())


def _can_be_made(case: Assessment, item: Observation) -> bool:
    """Whether it can be looked at or measured, for the first time or again, where the machine stands open."""
    able = case.askable(item) or case.may_take_again(item)
    return able and case.available(item) and reached(case.need_of(item), Access.OPEN_DEAD)


def _was_good(case: Assessment, name: str) -> bool:
    """Whether it was looked at or measured last as it should be."""
    given = case.latest(name)
    return given is not None and given.kind is not Kind.TOLD and not case.amiss(given)


def _of_the_last_round(case: Assessment) -> list[Observation | Question]:
    items: list[Observation | Question] = [*case.pack.questions.values(), *case.pack.observations.values()]
    return [item for item in items if item.last_round and case.offers(item)]


def not_seen_yet(case: Assessment, item: Observation | Question) -> bool:
    """Whether it would settle anything that was not looked at in this job."""
    names = item.observations if isinstance(item, Question) else (item.id,)
    settled = [case.pack.observations[name] for name in names]
    if isinstance(item, Question):
        settled = [each for each in settled if not item.left_out(each)]
    return any(case.askable(each) and case.latest(each.id) is None for each in settled)
