"""What is worth doing about some of the causes, best first: tests, remedies, and the way to them.

The plan is made on imagined machines (rollout.py). A remedy comes first where it costs least to the end to carry it
out now and see; else when no test pays any more. One special case: nothing is put right unseen that can be seen where
it is put right. The chance of a fault rests on the rules being right and on every answer so far; what is seen is on
the machine itself, and the record tells what was there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from faultfinder.knowledge.model import Kind, Observation, Question
from faultfinder.reasoning import constants
from faultfinder.reasoning.decision.access_cost import Standing, reached, target_access
from faultfinder.reasoning.decision.expected_loss import Price
from faultfinder.reasoning.decision.imagined import Imagined, Worlds, is_inside
from faultfinder.reasoning.decision.parts import put_together
from faultfinder.reasoning.decision.rollout import Plan, Planner
from faultfinder.reasoning.decision.scope import to_mend_by, while_complaints_stand
from faultfinder.reasoning.decision.step import Separates, Stage, Step, StepKind
from faultfinder.reasoning.decision.world import NOTHING, Look, Remedy
from faultfinder.reasoning.evidence.answers import Given
from faultfinder.reasoning.inference.assessment import Assessment
from faultfinder.reasoning.inference.conflict import conflict


def worth_doing(case: Assessment, imagined: Imagined, price: Mapping[str, Price]) -> list[Step]:
    """Tests and remedies that pay for the causes priced, best first."""
    worlds = Worlds(imagined, while_complaints_stand(case, price), _worth_a_second_look(case, imagined))
    standing = standing_of(case)
    mend = mendings(case, to_mend_by(case, price))
    # A remedy that is not proposed takes no test's place: while a complaint stands more would pay in the plan.
    plan = Planner(worlds, imagined.count).choose(standing, {step.target for step in mend})
    vain = worlds(NOTHING).sound(imagined.full) / imagined.count
    out = _found_on_the_way(case, plan, mend, price)
    for option in plan.options:
        if option.cost >= plan.stop - (constants.TALK if isinstance(option.move, Look) else 0.0):
            continue
        if isinstance(option.move, Look):
            way = standing.way(option.move.need).minutes(1, vain)
            out.append(ask_step(case, option.move.target, way, plan.stop - option.cost))
        else:
            out += [step for step in mend if step.target == option.move.cause]
    order = [option.move.cause for option in plan.options if isinstance(option.move, Remedy)]
    out += sorted(mend, key=lambda step: order.index(step.target) if step.target in order else len(order))
    once = with_looks(case, imagined, out, price)
    if once and once[0].kind is StepKind.ASK and once[0].access is not case.access:
        once.insert(0, _way_to(case, once[0]))
    return once


def with_looks(
    case: Assessment, imagined: Imagined, steps: Sequence[Step], price: Mapping[str, Price]
) -> list[Step]:
    """The steps, each once, with what is looked at before a remedy."""
    first: dict[tuple[StepKind, str], Step] = {}
    for step in steps:
        before = []
        if step.kind is StepKind.PUT_RIGHT:
            before = _seen_first(case, imagined, step, price[step.target])
        for each in before or [step]:
            first.setdefault((each.kind, each.target), each)
    return list(first.values())


def _found_on_the_way(
    case: Assessment, plan: Plan, mend: Sequence[Step], price: Mapping[str, Price]
) -> list[Step]:
    """What is put right before the best test is made: it can be where one stands, and if it is for nothing that loses
    less than the test and the way to it take. To wait with it would save nothing, and what is left is seen then."""
    if not plan.options or not isinstance(look := plan.options[0].move, Look):
        return []
    takes = look.minutes + standing_of(case).way(look.need).minutes(1, 1)
    now = case.confidence()
    return [
        step
        for step in mend
        if step.kind is StepKind.PUT_RIGHT
        and step.access is case.access
        and now[step.target] > constants.FOUND
        and (1.0 - now[step.target]) * price[step.target].for_nothing < takes
    ]


def pay_by_themselves(
    case: Assessment, imagined: Imagined, price: Mapping[str, Price], wanted: Callable[[Look], bool]
) -> list[Step]:
    """The tests wanted that would pay if nothing else were asked, most gain first."""
    worlds = Worlds(imagined, price)
    planner = Planner(worlds, imagined.count)
    looks = [look for look in worlds(NOTHING).looks if wanted(look)]
    found, _ = planner.weigh(planner.here(standing_of(case)), looks)
    found.sort(key=lambda each: (-each.gain, each.look.target))
    steps = [ask_step(case, each.look.target, 0.0, each.gain / imagined.count) for each in found]
    return [step for step in steps if step.gain > constants.TALK]


def made_anyway(
    case: Assessment, item: Observation | Question, kind: StepKind = StepKind.ASK, stage: Stage = Stage.SEARCH
) -> Step:
    """A step that is made whatever it saves: told as worth the minutes that it takes, the way there included."""
    need = case.need_of(item)
    minutes = item.minutes + standing_of(case).minutes_to(need)
    return Step(kind, item.id, item.ask, target_access(need, case.access), minutes, minutes, stage=stage)


def mendings(case: Assessment, price: Mapping[str, Price]) -> list[Step]:
    """Causes that it pays to put right as things stand, best gain first; the way there is in the minutes."""
    confidence, causes = case.confidence(), case.pack.causes
    out, gain = [], dict[str, float]()
    mended: set[int] = set()
    for number, each in enumerate(put_together(case, price)):
        cause, p, cost = causes[each.leader], each.chance, each.price
        handed = bool(cause.hand_to) or cause.remedy_need in case.unreachable
        if handed:
            # Whoever it is handed to looks for themselves: naming it fits no part.
            pays = p * cost.missed - (1.0 - p) * (cause.minutes + cause.part_costs) > constants.TALK
        else:
            pays = cost.pays(p)
        if not pays or not case.declined.isdisjoint(each.causes) or not mended.isdisjoint(each.mended_by):
            continue
        mended.add(number)
        kind = StepKind.HAND_OVER if handed else StepKind.PUT_RIGHT
        way = 0.0 if handed else standing_of(case).minutes_to(cause.remedy_need)
        access = target_access(cause.remedy_need, case.access)
        reason = Separates("", confidence.get(cause.id, 0.0), cause.id, confidence.get(cause.id, 0.0), 0.0)
        worth = p * cost.missed
        out.append(Step(kind, cause.id, cause.remedy, access, cause.minutes + way, worth, (reason,)))
        gain[cause.id] = cost.mend_gain(p)
    inside = [
        step.target for step in out if step.kind is StepKind.PUT_RIGHT and is_inside(causes[step.target])
    ]
    opening = standing_of(case).opening
    if inside and opening is not None:
        # The covers come off for all of it together, and are a loss where none of it is there.
        vain = math.prod([1.0 - confidence[name] for name in inside])
        if sum(gain[name] for name in inside) <= opening.minutes(1, vain):
            out = [step for step in out if step.target not in inside]
    return sorted(out, key=lambda step: -gain[step.target])


def standing_of(case: Assessment) -> Standing:
    """Where the person stands."""
    return Standing(case.access, case.pack.access_minutes, case.unreachable, case.was_open)


def _item(case: Assessment, target: str) -> Observation | Question:
    return case.pack.questions.get(target) or case.pack.observations[target]


def ask_step(case: Assessment, target: str, way: float, gain: float) -> Step:
    """The test as a step; `way`: minutes of the way there, as far as they may be for nothing; `gain`: what is saved
    beyond what it takes."""
    item = _item(case, target)
    minutes = item.minutes + way
    access = target_access(case.need_of(item), case.access)
    return Step(StepKind.ASK, item.id, item.ask, access, minutes, minutes + gain)


def _way_to(case: Assessment, step: Step) -> Step:
    """The change of access that a step begins with; it gains what the step gains."""
    way, at = step.minutes - _item(case, step.target).minutes, step.access
    return Step(StepKind.CHANGE_ACCESS, str(at), str(at), at, way, way + step.gain)


def _worth_a_second_look(case: Assessment, imagined: Imagined) -> list[str]:
    """What may be taken again for its own sake: what was seen or measured amiss where more likely than not nothing is
    there that shows in it, though a part hangs on it; and, where the answers do not fit together, the one that fits
    least. The others are not: somebody who erred once in a place errs there again more often than a second look is
    reckoned."""
    out, causes = [], case.pack.causes
    for given in case.answers:
        item = case.pack.observations[given.observation]
        if case.amiss(given) and case.may_take_again(item):
            dear = any(causes[each].part_costs for each in imagined.behind[item.id] if each in causes)
            if given.ticked or (dear and imagined.behind_any(item.id) <= constants.FOUND):
                out.append(item.id)
    if case.answers_doubted and (clash := conflict(case)) is not None:
        if case.may_take_again(case.pack.observations[clash.fits_least]):
            out.append(clash.fits_least)
    return out


def _seen_in(case: Assessment, name: str) -> list[Given]:
    """The answers in which it was seen; where a part hangs on it, those that were had where the part is fitted: a
    current at the plug tells of the heater, it is not the heater."""
    out, confidence, causes = [], case.confidence(), case.pack.causes
    there = target_access(causes[name].remedy_need, case.access)
    same = {name, *(each for each in causes[name].also_mends if name in causes[each].also_mends)}
    likely = sum(confidence.get(each, 0.0) for each in same)
    if likely <= constants.FOUND:
        return []  # what is less likely than not has not been seen, whatever was heard
    for target in case.pack.causes[name].shows:
        item, given = case.pack.observations[target], case.latest(target)
        if given is None or given.kind is Kind.TOLD or case.askable(item):
            continue
        if causes[name].part_costs and not reached(case.need_of(item), there):
            continue
        rivals = [confidence.get(by, 0.0) for by, _ in case.links.pushed_by[target] if by not in same]
        if case.amiss(given) and likely >= max(rivals, default=0.0):
            out.append(given)
    return out


def _seen_first(case: Assessment, imagined: Imagined, step: Step, cost: Price) -> list[Step]:
    """What is looked at or measured before a remedy, if anything. Where nothing shows the cause yet: what can halve
    its chance, or proves the part that would be fitted, can be had where it is put right, and takes no longer than is
    lost if the remedy is for nothing.
    Where a part hangs on it: what shows it is taken again, if that pays and no other way to see it is left; what was
    only ticked in a list is looked at by itself unless it is settled. So is it where no part does, if that pays."""
    cause = case.pack.causes[step.target]
    shown = _seen_in(case, step.target)
    seen, best = bool(shown), (math.inf, "")
    looked = [given for given in shown if given.kind in (Kind.LOOK, Kind.READING)]
    ticked = {given.observation for given in looked} if all(given.ticked for given in looked) else set()
    if seen and not (cause.part_costs or ticked):
        return []
    p = case.confidence()[cause.id]
    there = target_access(cause.remedy_need, case.access)
    for item in case.pack.observations.values():
        if item.kind is Kind.TOLD or item.minutes > cost.for_nothing or not case.bears_on(item.id, cause.id):
            continue
        need = case.need_of(item)
        able = case.may_take_again(item) if seen else case.askable(item)
        if not able or not case.available(item) or not (reached(need, case.access) or reached(need, there)):
            continue
        after = [(size, with_it / size) for size, with_it in imagined.after(item.id, cause.id)]
        lost = item.minutes + sum(size * cost.regret(q) for size, q in after) / imagined.count
        by_itself = item.id in ticked and cause.part_costs > 0.0 and p <= 1.0 - constants.SETTLED
        pays = not seen or by_itself or lost <= cost.regret(p) - constants.TALK
        halves = min(q for _, q in after) <= (1.0 - constants.HALF) * p
        if not pays or not (halves or (item.id in cause.proof and cause.part_costs and not seen)):
            continue
        best = min(best, (lost, item.id))
    if not best[1]:
        return []
    look = made_anyway(case, case.pack.observations[best[1]])
    # It is the first half of the remedy: it saves what that saves.
    look = replace(look, worth=look.minutes + step.gain)
    return [look, step] if seen else [look]
