"""What is worth doing about some of the causes, best first: tests, remedies, and the way to them. The measure stands
in expected_loss.py, the comparison of tests in test_selection.py."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from faultfinder.knowledge.model import Access, Kind, Need, Observation, Question
from faultfinder.reasoning.decision import screen
from faultfinder.reasoning.decision import test_selection as plan
from faultfinder.reasoning.decision import two_step as ahead
from faultfinder.reasoning.decision.access_cost import Standing, minutes_to, reached, target_access
from faultfinder.reasoning.decision.expected_loss import Price
from faultfinder.reasoning.decision.scope import while_complaints_stand
from faultfinder.reasoning.decision.step import Stage, Step, StepKind
from faultfinder.reasoning.inference.assessment import Assessment

PROMISING = 24
"""How many observations the exact worth is worked out for; chosen: on the first pack the seven best steps were
always among them."""
IN_DOUBT = 2.0
"""Where what is at hand saves less than this many times what opening saves a minute, both are looked beyond;
chosen."""
NEARLY = 0.9
"""Share of what opening gains that a test without it must gain to come first; chosen."""
SURE = 0.9
"""From this chance a remedy is carried out without looking once more; chosen."""
WORTH_SEEING = 2.0
"""Minutes that it is worth to have seen a fault before it is put right, whatever is saved by it; chosen."""
CLEARED = 0.2
"""A look settles a remedy that is not sure where some answer leaves no more than this share of its chance; chosen."""
BESIDE = 0.1
"""Share of the minutes that opening takes up to which a test at hand is done first if it pays; chosen."""


def worth_doing(case: Assessment, price: Mapping[str, Price]) -> list[Step]:
    """Tests and remedies that pay for the causes priced, best first."""
    confidence = case.confidence()
    asked = while_complaints_stand(case, price)
    choice = choice_about(case, asked)
    found = tests_about(case, choice)
    mend = [
        _by_whoever_can(case, step)
        for step in plan.mendings(case.pack, confidence, price, case.access, case.pack.access_minutes)
        if step.target not in case.declined
    ]
    asks = _asking(case, choice, plan.bundles(choice, found), found)
    spared = plan.NEARLY_FREE
    if asks and asks[0].access is Access.OPEN_DEAD and case.access is not Access.OPEN_DEAD:
        # Before the machine is opened for a look, what would be put right anyway costs nothing extra.
        spared = asks[0].minutes
    free = [step for step in mend if plan.nearly_free(case.pack, step, confidence, price, spared)]
    rest = [step for step in mend if step not in free]
    first, last = ([_looked_at_first(case, step, confidence) for step in steps] for steps in (free, rest))
    once: dict[tuple[StepKind, str], Step] = {}
    for step in (*first, *asks, *_before_mending(case, asked, mend), *last):
        once.setdefault((step.kind, step.target), step)
    out = list(once.values())
    if case.access is Access.OPEN_DEAD:
        # What can be done while the machine is open comes before what it has to be closed for.
        out.sort(key=lambda step: step.access is not case.access)
    if out and out[0].kind is StepKind.ASK and out[0].access is not case.access:
        out.insert(0, _way_to(case, out[0]))
    return out


def _way_to(case: Assessment, step: Step) -> Step:
    """The change of access that a step begins with; it gains what the step gains."""
    item = case.pack.questions.get(step.target) or case.pack.observations[step.target]
    way, at = step.minutes - item.minutes, step.access
    return Step(StepKind.CHANGE_ACCESS, str(at), str(at), at, way, way + step.gain)


def made_anyway(
    case: Assessment, item: Observation | Question, kind: StepKind = StepKind.ASK, stage: Stage = Stage.SEARCH
) -> Step:
    """A step that is made whatever it saves: told as worth the minutes that it takes, the way there included."""
    need = case.need_of(item)
    minutes = item.minutes + minutes_to(need, case.access, case.pack.access_minutes, 1.0)
    return Step(kind, item.id, item.ask, target_access(need, case.access), minutes, minutes, stage=stage)


def _before_mending(case: Assessment, price: Mapping[str, Price], mend: Sequence[Step]) -> list[Step]:
    """What is worth measuring first where the machine is opened to put something right: the way is paid by that."""
    if not mend or mend[0].access is not Access.OPEN_DEAD or case.access is Access.OPEN_DEAD:
        return []
    if mend[0].kind is not StepKind.PUT_RIGHT or Need.OPEN_DEAD in case.unreachable:
        return []
    open_ = Standing(Access.OPEN_DEAD, case.pack.access_minutes, case.unreachable, True)
    found = tests_about(case, plan.Choice.about(case.pack, case.ahead(), price, open_))
    pays = [test for test in found if test.need is Need.OPEN_DEAD and test.gain > plan.LEAST_GAIN]
    way = minutes_to(Need.OPEN_DEAD, case.access, case.pack.access_minutes, 1.0)
    steps = [plan.ask_step(test, case.access) for test in (plan.in_order(pays) if pays else ())]
    return [replace(step, minutes=step.minutes + way, worth=step.worth + way) for step in steps]


def _looked_at_first(case: Assessment, step: Step, confidence: Mapping[str, float]) -> Step:
    """The remedy, or what proves it where that is not sure, takes next to no time and would settle it: nobody turns
    to full heat without seeing what is set, and the record tells what was there."""
    p = confidence[step.target]
    if step.kind is not StepKind.PUT_RIGHT or p >= SURE:
        return step
    cause = case.pack.causes[step.target]
    able = []
    for name in cause.proof:
        item = case.pack.observations[name]
        at_hand = reached(case.need_of(item), case.access) or case.need_of(item) is cause.remedy_need
        if (
            item.kind is not Kind.TOLD
            and at_hand
            and item.minutes <= WORTH_SEEING
            and case.askable(item)
            and case.available(item)
        ):
            able.append(item)
    outlook = case.outlook(item.id for item in able)
    for item in sorted(able, key=lambda item: item.minutes):
        after = [chances[cause.id] for _, chances in outlook.get(item.id, {}).values()]
        if after and min(after) < CLEARED * p and max(after) > p:
            return made_anyway(case, item)
    return step


def _by_whoever_can(case: Assessment, step: Step) -> Step:
    """The remedy, or its hand-over where its access cannot be had here: on a machine that is wired in with nothing to
    lock off, say."""
    cause = case.pack.causes[step.target]
    if step.kind is StepKind.HAND_OVER or cause.remedy_need not in case.unreachable:
        return step
    return replace(step, kind=StepKind.HAND_OVER, minutes=cause.minutes)


def _asking(
    case: Assessment, choice: plan.Choice, best: list[plan.Bundle], found: Sequence[plan.Test]
) -> list[Step]:
    """What to ask, best first; the first is told with what it brings together with what goes with it."""
    tests = list(dict.fromkeys(test for bundle in best for test in bundle.tests))
    steps = [plan.ask_step(test, case.access) for test in tests]
    leader = _looked_beyond(case, choice, best, found)
    first = leader.test if leader else next(iter(tests), None)
    if first and first.need is Need.OPEN_DEAD and case.access is not Access.OPEN_DEAD:
        # Opening forfeits nothing by waiting for what pays by itself and takes little beside it.
        there = choice.standing.way(Need.OPEN_DEAD)
        for test in tests:
            if reached(test.need, case.access) and test.minutes <= BESIDE * (there.sure + there.in_vain):
                return _led_by(plan.ask_step(test, case.access), steps)
    if leader is not None:
        step = plan.ask_step(leader.test, case.access)
        return _led_by(replace(step, worth=step.minutes + leader.gain), steps)
    if not best:
        return []
    # Where only several tests together pay for the way, none does alone.
    return _led_by(replace(steps[0], worth=max(steps[0].worth, steps[0].minutes + best[0].gain)), steps)


def _led_by(first: Step, steps: Sequence[Step]) -> list[Step]:
    return [first, *(step for step in steps if step.target != first.target)]


def _looked_beyond(
    case: Assessment, choice: plan.Choice, best: list[plan.Bundle], found: Sequence[plan.Test]
) -> ahead.Further | None:
    """The test that gains most with the tests after it, where that was looked into and is more than the first of the
    best gains: always where it takes little, and where it may matter much: before the covers come off, and when no
    test pays by itself."""
    opening = next((bundle for bundle in best if bundle.access is Access.OPEN_DEAD), None)
    in_doubt = opening is not None and best[0].rate <= IN_DOUBT * opening.rate
    if not best and choice.left <= ahead.MUCH:
        return None
    work = ahead.MUCH_WORK if not best or in_doubt else ahead.LITTLE_WORK
    candidates = [test for bundle in best for test in bundle.tests[: ahead.FIRST // 2]]
    candidates += ahead.promising(case, choice, found)
    order = ahead.further(case, choice, list(dict.fromkeys(candidates)), found, work)
    least = max(plan.LEAST_GAIN, best[0].gain if best else 0.0)
    if order and order[0].test.need is Need.OPEN_DEAD and case.access is not Access.OPEN_DEAD:
        # Opening forfeits nothing by waiting: what gains nearly as much without it comes first, and whatever saves
        # clearly more a minute.
        clear = best and best[0].access is not Access.OPEN_DEAD and best[0].gain > plan.OUTSIDE_FIRST
        nearly = order if clear else [each for each in order if each.gain >= NEARLY * order[0].gain]
        order = [each for each in nearly if each.test.need is not Need.OPEN_DEAD] or ([] if clear else order)
    return order[0] if order and order[0].gain > least else None


def choice_about(case: Assessment, price: Mapping[str, Price]) -> plan.Choice:
    """The choice between tests about the causes priced, from where the person stands."""
    standing = Standing(case.access, case.pack.access_minutes, case.unreachable, case.was_open)
    # Before and after on one footing: both from the run that the outlook is made with.
    return plan.Choice.about(case.pack, case.ahead(), price, standing)


def tests_about(case: Assessment, choice: plan.Choice) -> list[plan.Test]:
    """The exact worth of what a quick look finds promising, and of the questions that ask for any of it."""
    pack = case.pack
    promising = screen.promising(case, PROMISING, choice.stakes.price.keys())
    questions = [
        item
        for item in pack.questions.values()
        if case.askable(item) and case.available(item) and not set(promising).isdisjoint(item.observations)
    ]
    wanted = dict.fromkeys([*promising, *(name for item in questions for name in item.observations)])
    outlook = case.outlook(name for name in wanted if case.available(pack.observations[name]))
    return plan.tests(choice, outlook, questions, case.need_of)
