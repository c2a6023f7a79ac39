"""What is worth doing about some of the causes, best first: tests, remedies, and the way to them.

The plan is made on imagined machines (rollout.py). A remedy comes first where it costs least to the end to carry it
out now and see; else when no test pays any more. One special case: nothing is put right unseen that can be seen where
it is put right. The chance of a fault rests on the rules being right and on every answer so far; what is seen is on
the machine itself, and the record tells what was there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from faultfinder.knowledge.model import Kind, Observation, Question
from faultfinder.reasoning import constants
from faultfinder.reasoning.decision.access_cost import Standing, minutes_to, reached, target_access
from faultfinder.reasoning.decision.expected_loss import Price
from faultfinder.reasoning.decision.imagined import Imagined, Worlds
from faultfinder.reasoning.decision.rollout import Look, Planner, Remedy
from faultfinder.reasoning.decision.scope import while_complaints_stand
from faultfinder.reasoning.decision.step import Separates, Stage, Step, StepKind
from faultfinder.reasoning.inference.assessment import Assessment


def worth_doing(case: Assessment, imagined: Imagined, price: Mapping[str, Price]) -> list[Step]:
    """Tests and remedies that pay for the causes priced, best first."""
    worlds = Worlds(imagined, while_complaints_stand(case, price))
    standing = Standing(case.access, case.pack.access_minutes, case.unreachable, case.was_open)
    plan = Planner(worlds, imagined.count).choose(standing)
    vain = 1.0 - worlds(frozenset()).inside.bit_count() / imagined.count
    mend = [_by_whoever_can(case, step) for step in mendings(case, price)]
    out = []
    for option in plan.options:
        if option.cost >= plan.stop - (constants.TALK if isinstance(option.move, Look) else 0.0):
            continue
        if isinstance(option.move, Look):
            way = standing.way(option.move.need)
            out.append(ask_step(case, option.move, way.sure + way.in_vain * vain, plan.stop - option.cost))
        else:
            out += [step for step in mend if step.target == option.move.cause]
    order = [option.move.cause for option in plan.options if isinstance(option.move, Remedy)]
    out += sorted(mend, key=lambda step: order.index(step.target) if step.target in order else len(order))
    out = [
        _seen_first(case, imagined, step, price[step.target]) if step.kind is StepKind.PUT_RIGHT else step
        for step in out
    ]
    first: dict[tuple[StepKind, str], Step] = {}
    for step in out:
        first.setdefault((step.kind, step.target), step)
    once = list(first.values())
    if once and once[0].kind is StepKind.ASK and once[0].access is not case.access:
        once.insert(0, _way_to(case, once[0]))
    return once


def made_anyway(
    case: Assessment, item: Observation | Question, kind: StepKind = StepKind.ASK, stage: Stage = Stage.SEARCH
) -> Step:
    """A step that is made whatever it saves: told as worth the minutes that it takes, the way there included."""
    need = case.need_of(item)
    minutes = item.minutes + minutes_to(need, case.access, case.pack.access_minutes, 1.0)
    return Step(kind, item.id, item.ask, target_access(need, case.access), minutes, minutes, stage=stage)


def mendings(case: Assessment, price: Mapping[str, Price]) -> list[Step]:
    """Causes that it pays to put right as things stand, best gain first; the way there is in the minutes."""
    confidence, causes = case.confidence(), case.pack.causes
    out = []
    for name, cost in price.items():
        p, cause = confidence.get(name, 0.0), causes[name]
        if not cost.pays(p) or name in case.declined:
            continue
        kind = StepKind.HAND_OVER if cause.hand_to else StepKind.PUT_RIGHT
        way = 0.0
        if not cause.hand_to:
            way = minutes_to(cause.remedy_need, case.access, case.pack.access_minutes, 1.0)
        access = target_access(cause.remedy_need, case.access)
        reason = Separates("", p, name, p, 0.0)
        out.append(Step(kind, name, cause.remedy, access, cause.minutes + way, p * cost.missed, (reason,)))
    return sorted(out, key=lambda step: -price[step.target].mend_gain(confidence[step.target]))


def separations(
    answers: Mapping[str, tuple[float, Mapping[str, float]]],
    confidence: Mapping[str, float],
    price: Mapping[str, Price],
) -> tuple[Separates, ...]:
    """For each answer the cause whose chance it moves most, in the order of the answers."""
    out = []
    for answer, (chance, after) in answers.items():
        moved = max(
            price, key=lambda cause: abs(after.get(cause, 0.0) - confidence.get(cause, 0.0)), default=""
        )
        if moved:
            out.append(Separates(answer, chance, moved, confidence.get(moved, 0.0), after.get(moved, 0.0)))
    return tuple(out)


def _item(case: Assessment, target: str) -> Observation | Question:
    return case.pack.questions.get(target) or case.pack.observations[target]


def ask_step(case: Assessment, look: Look, way: float, gain: float) -> Step:
    """The test as a step; `way`: minutes of the way there, as far as they may be for nothing; `gain`: what is saved
    beyond what it takes."""
    item = _item(case, look.target)
    minutes = item.minutes + way
    access = target_access(case.need_of(item), case.access)
    return Step(StepKind.ASK, item.id, item.ask, access, minutes, minutes + gain)


def _way_to(case: Assessment, step: Step) -> Step:
    """The change of access that a step begins with; it gains what the step gains."""
    way, at = step.minutes - _item(case, step.target).minutes, step.access
    return Step(StepKind.CHANGE_ACCESS, str(at), str(at), at, way, way + step.gain)


def _by_whoever_can(case: Assessment, step: Step) -> Step:
    """The remedy, or its hand-over where its access cannot be had here: on a machine that is wired in with nothing to
    lock off, say."""
    cause = case.pack.causes[step.target]
    if step.kind is StepKind.HAND_OVER or cause.remedy_need not in case.unreachable:
        return step
    return replace(step, kind=StepKind.HAND_OVER, minutes=cause.minutes)


def was_seen(case: Assessment, name: str) -> bool:
    """Whether something looked at, heard or measured on the machine as it is now shows the cause directly."""
    for target in case.pack.causes[name].shows:
        item, given = case.pack.observations[target], case.latest(target)
        if given is None or given.kind is Kind.TOLD or case.askable(item):
            continue
        if case.judged(given).answer != item.healthy:
            return True
    return False


def _seen_first(case: Assessment, imagined: Imagined, step: Step, cost: Price) -> Step:
    """The remedy, or what is looked at or measured before it: what would tell against it, can be had where it is put
    right, and takes no longer than is lost if the remedy is for nothing."""
    if was_seen(case, step.target):
        return step
    cause = case.pack.causes[step.target]
    best: tuple[float, str] | None = None
    for item in case.pack.observations.values():
        if item.kind is Kind.TOLD or item.minutes > cost.for_nothing or not case.bears_on(item.id, cause.id):
            continue
        need = case.need_of(item)
        at_hand = reached(need, case.access) or reached(need, target_access(cause.remedy_need, case.access))
        if not at_hand or not case.askable(item) or not case.available(item):
            continue
        after = [(size, there / size) for size, there in imagined.after(item.id, cause.id)]
        if all(cost.pays(p) for _, p in after):
            continue
        lost = item.minutes + sum(size * cost.regret(p) for size, p in after) / imagined.count
        if best is None or (lost, item.id) < best:
            best = lost, item.id
    if best is None:
        return step
    look = made_anyway(case, case.pack.observations[best[1]])
    # It is the first half of the remedy: it saves what that saves.
    return replace(look, worth=look.minutes + step.gain)
