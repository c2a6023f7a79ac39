"""What to do next in a case. The weighing itself stands in plan.py; why there is nothing more to do, in over.py."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from faultfinder.knowledge.model import Access, Kind, Need, Pack
from faultfinder.reasoning import ahead, plan
from faultfinder.reasoning.access_price import Standing, minutes_to, reached, target_access
from faultfinder.reasoning.facts import possible
from faultfinder.reasoning.step import Step, StepKind
from faultfinder.reasoning.worth import Price, may_be_a_guess, prices

if TYPE_CHECKING:
    from faultfinder.reasoning.case import Case

FOUND = 0.5
"""A cause is named as found when it was likelier present than not."""
LEFT_OPEN = 0.05
"""A cause below this chance is not named as left unsettled unless it is grave; chosen."""
REASONS_FOR = 12
"""For how many steps the reasons are worked out; chosen: more are never shown."""
PROMISING = 24
"""How many observations the exact worth is worked out for; chosen: on the first pack the seven best steps were
always among them."""
RAISED = 2.0
"""A cause counts as raised by the answers when its chance is this many times what it was before them; chosen."""
LIKELY, ABOVE_PRIOR = 0.15, 1.2
"""A likely cause counts as raised already when it is this many times what it was; chosen."""
IN_DOUBT = 2.0
"""Where what is at hand saves less than this many times what opening saves a minute, both are looked beyond;
chosen."""
NEARLY = 0.9
"""Share of what opening gains that a test without it must gain to come first; chosen."""
BESIDE = 0.1
"""Share of the minutes that opening takes up to which a test at hand is done first if it pays; chosen."""
COSTLY, BARELY_ABOVE = 8.0, 1.1
"""A cause that it would cost so many minutes to miss, in the mean, concerns the choice of steps already when it is
this many times what it was; chosen."""
BRINGER_SETTLED = 0.1
"""What may have brought on a fault that was found is settled below this chance, or above one minus it; chosen."""
REASON_SETTLED = 0.05
"""The same for what opens a cut-out again once the machine runs; chosen."""


def price_list(case: Case) -> dict[str, Price]:
    """The price of being wrong for each cause that is possible now."""
    begin = case.found() if case.repairs else {}
    for_nothing = sum(
        begin.get(name, 1.0) < FOUND and not may_be_a_guess(case.pack.causes[name])
        for name in dict.fromkeys(case.repairs)
    )
    return prices((case.pack.causes[name] for name in case.applicable), for_nothing)


def raised(case: Case) -> set[str]:
    """Causes that the answers have made likelier than they are on any machine of this kind: what the job is
    about. The others stand where they stood before anybody complained."""
    now, before = case.confidence(), case.prior()
    return {
        name
        for name, p in now.items()
        if p > RAISED * before[name] or (p > LIKELY and p > ABOVE_PRIOR * before[name])
    }


def concerned(case: Case) -> set[str]:
    """Causes that steps are chosen for: what the answers raised, and what they raised a little and would cost
    much to miss."""
    now, before, causes = case.confidence(), case.prior(), case.pack.causes
    return raised(case) | {
        name
        for name, p in now.items()
        if p * causes[name].if_missed > COSTLY and p > BARELY_ABOVE * before[name]
    }


def steps(case: Case) -> list[Step]:
    """Everything worth doing, best first; empty when nothing is.

    First comes what the complaint raised; then, as a check-up, what can be looked at without opening the machine.
    """
    if case.outside:
        return [Step(StepKind.HAND_OVER, case.pack.name, case.outside, case.access, 0.0, 0.0)]
    proofs = _proofs(case)
    confidence = case.confidence()
    if proofs and case.access is Access.OPEN_DEAD is not proofs[0].access:
        return [*_found_inside(case, confidence), *_reasons_first(case, confidence), *proofs]
    if proofs and proofs[0].access is Access.IN_USE is not case.access:
        return [*_reasons_first(case, confidence), *proofs]
    if proofs:
        return proofs
    price = price_list(case)
    about = concerned(case)
    first = {name: cost for name, cost in price.items() if name in about}
    rest = {name: cost for name, cost in price.items() if name not in about}
    out = worth_doing(case, first) if first else []
    if not any(step.kind is not StepKind.HAND_OVER for step in out):
        out += _bringers(case, confidence)
    if not any(step.kind is not StepKind.HAND_OVER for step in out):
        out += _last_round(case, confidence) or _check_up(case, rest)
    return [with_reasons(case, step, confidence, price) for step in out[:REASONS_FOR]] + out[REASONS_FOR:]


def with_reasons(case: Case, step: Step, confidence: Mapping[str, float], price: Mapping[str, Price]) -> Step:
    """The step with what each answer to it would do; a question's by the observation it moves most."""
    if step.kind is not StepKind.ASK:
        return step
    names = [step.target]
    if step.target in case.pack.questions:
        names = list(case.pack.questions[step.target].observations)
    outlook = case.outlook(names)
    names = [name for name in names if name in outlook]
    reasons = [plan.separations(outlook[name], confidence, price) for name in names]
    if len(names) == 1:
        return replace(step, reasons=reasons[0])
    return replace(step, reasons=tuple(each for found in reasons for each in found[1:2]))


def worth_doing(case: Case, price: Mapping[str, Price]) -> list[Step]:
    """Tests and remedies that pay for the causes priced, best first."""
    confidence = case.confidence()
    choice = choice_about(case, price)
    found = _tests(case, choice)
    mend = [
        _by_whoever_can(case, step)
        for step in plan.mendings(case.pack, confidence, price, case.access, case.pack.access_minutes)
        if step.target not in case.declined
    ]
    asks, gain = _asking(case, choice, plan.bundles(choice, found), found)
    spared = plan.NEARLY_FREE
    if asks and asks[0].access is Access.OPEN_DEAD and case.access is not Access.OPEN_DEAD:
        # Before the machine is opened for a look, what would be put right anyway costs nothing extra.
        spared = asks[0].minutes
    free = [step for step in mend if plan.nearly_free(case.pack, step, confidence, price, spared)]
    out = [*free, *asks, *_before_mending(case, price, mend), *(step for step in mend if step not in free)]
    if case.access is Access.OPEN_DEAD:
        # What can be done while the machine is open comes before what it has to be closed for.
        out.sort(key=lambda step: step.access is not case.access)
    if out and out[0].kind is StepKind.ASK and (at := out[0].access) is not case.access:
        way = next(test.way for test in found if test.target == out[0].target)
        out.insert(0, Step(StepKind.CHANGE_ACCESS, str(at), str(at), at, way, way + gain))
    return out


def _before_mending(case: Case, price: Mapping[str, Price], mend: Sequence[Step]) -> list[Step]:
    """What is worth measuring first where the machine is opened to put something right: the way is paid by that."""
    if not mend or mend[0].access is not Access.OPEN_DEAD or case.access is Access.OPEN_DEAD:
        return []
    if mend[0].kind is not StepKind.PUT_RIGHT or Need.OPEN_DEAD in case.unreachable:
        return []
    open_ = Standing(Access.OPEN_DEAD, case.pack.access_minutes, case.unreachable, True)
    found = _tests(case, plan.Choice.about(case.pack, case.ahead(), price, open_))
    pays = [test for test in found if test.need is Need.OPEN_DEAD and test.gain > plan.LEAST_GAIN]
    way = minutes_to(Need.OPEN_DEAD, case.access, case.pack.access_minutes, 1.0)
    steps = [plan.ask_step(test, case.access) for test in (plan.in_order(pays) if pays else ())]
    return [replace(step, minutes=step.minutes + way, worth=step.worth + way) for step in steps]


def _by_whoever_can(case: Case, step: Step) -> Step:
    """The remedy, or its hand-over where its access cannot be had here: on a machine that is wired in with nothing to
    lock off, say."""
    cause = case.pack.causes[step.target]
    if step.kind is StepKind.HAND_OVER or cause.remedy_need not in case.unreachable:
        return step
    return replace(step, kind=StepKind.HAND_OVER, minutes=cause.minutes)


def _check_up(case: Case, price: Mapping[str, Price]) -> list[Step]:
    """Tests that pay for causes at their base rate alone: nobody complained of anything that points at them. What
    is left is named in the record as not looked at."""
    return [step for step in worth_doing(case, price) if step.kind in (StepKind.ASK, StepKind.CHANGE_ACCESS)]


def _last_round(case: Case, confidence: Mapping[str, float]) -> list[Step]:
    """The rounds that the pack has made once more before a job is closed. What a fault hid that is put right now, and
    what nobody thought of telling, is found by them; weighed one at a time most of it would not pay. First what is
    looked at, once in a job; then the trial of the machine, run again. It is not run for that while something is
    taken as there that burns or shocks."""
    causes = case.pack.causes
    unsafe = any(p > FOUND and causes[name].hazard.grave for name, p in confidence.items())
    looks: list[Step] = []
    trials: list[Step] = []
    for item in case.pack.questions.values():
        need = case.need_of(item)
        trial = need is Need.IN_USE
        if not item.last_round or not case.askable(item) or not case.available(item):
            continue
        if unsafe and trial and case.access is not Access.IN_USE:
            continue
        members = [case.pack.observations[name] for name in item.observations]
        if not trial and not any(case.askable(each) and case.latest(each.id) is None for each in members):
            continue
        minutes = item.minutes + minutes_to(need, case.access, case.pack.access_minutes, 1.0)
        goal = target_access(need, case.access)
        step = Step(StepKind.ASK, item.id, item.ask, goal, minutes, minutes, last=True)
        (trials if trial else looks).append(step)
    return [*sorted(looks, key=lambda step: step.minutes), *sorted(trials, key=lambda step: step.minutes)]


def _asking(
    case: Case, choice: plan.Choice, best: list[plan.Bundle], found: Sequence[plan.Test]
) -> tuple[list[Step], float]:
    """What to ask, best first, and what the first brings with what goes with it, in minutes."""
    tests = list(dict.fromkeys(test for bundle in best for test in bundle.tests))
    steps = [plan.ask_step(test, case.access) for test in tests]
    leader = _looked_beyond(case, choice, best, found)
    first = leader.test if leader else next(iter(tests), None)
    if first and first.need is Need.OPEN_DEAD and case.access is not Access.OPEN_DEAD:
        # Opening forfeits nothing by waiting for what pays by itself and takes little beside it.
        there = choice.standing.way(Need.OPEN_DEAD)
        for test in tests:
            if reached(test.need, case.access) and test.minutes <= BESIDE * (there.sure + there.in_vain):
                others = [step for step in steps if step.target != test.target]
                return [plan.ask_step(test, case.access), *others], test.gain
    if leader is None:
        if not best:
            return steps, 0.0
        # What goes with it is told with it: where only several tests together pay for the way, none does alone.
        with_all = replace(steps[0], worth=max(steps[0].worth, steps[0].minutes + best[0].gain))
        return [with_all, *steps[1:]], best[0].gain
    step = plan.ask_step(leader.test, case.access)
    others = [each for each in steps if each.target != step.target]
    return [replace(step, worth=step.minutes + leader.gain), *others], leader.gain


def _looked_beyond(
    case: Case, choice: plan.Choice, best: list[plan.Bundle], found: Sequence[plan.Test]
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


def choice_about(case: Case, price: Mapping[str, Price]) -> plan.Choice:
    """The choice between tests about the causes priced, from where the person stands."""
    standing = Standing(case.access, case.pack.access_minutes, case.unreachable, case.was_open)
    # Before and after on one footing: both from the run that the outlook is made with.
    return plan.Choice.about(case.pack, case.ahead(), price, standing)


def _tests(case: Case, choice: plan.Choice) -> list[plan.Test]:
    """The exact worth of what a quick look finds promising, and of the questions that ask for any of it."""
    pack = case.pack
    promising = case.promising(PROMISING, choice.stakes.price.keys())
    questions = [
        item
        for item in pack.questions.values()
        if case.askable(item) and case.available(item) and not set(promising).isdisjoint(item.observations)
    ]
    wanted = dict.fromkeys([*promising, *(name for item in questions for name in item.observations)])
    outlook = case.outlook(name for name in wanted if case.available(pack.observations[name]))
    return plan.tests(choice, outlook, questions, case.need_of)


def _proofs(case: Case) -> list[Step]:
    """What proves the repairs made: the observations that the rules name, not yet made since."""
    out = []
    for name in case.to_prove:
        observation = case.pack.observations[name]
        given = case.latest(name)
        if given is not None and given.epoch >= case.last_changed(name):
            continue
        if not case.available(observation) or not possible(observation.applies, case.facts):
            continue
        need = case.need_of(observation)
        goal = target_access(need, case.access)
        minutes = observation.minutes + minutes_to(need, case.access, case.pack.access_minutes, 1.0)
        out.append(Step(StepKind.PROVE, name, observation.ask, goal, minutes, minutes))
    return sorted(out, key=lambda step: step.minutes)


def _found_inside(case: Case, confidence: Mapping[str, float]) -> list[Step]:
    """What else was found inside an open machine and is worth putting right: done before it is closed to prove what
    was put right already, so that it is opened once."""
    mend = plan.mendings(case.pack, confidence, price_list(case), case.access, case.pack.access_minutes)
    return [
        step
        for step in mend
        if step.kind is StepKind.PUT_RIGHT
        and step.access is Access.OPEN_DEAD
        and confidence[step.target] > FOUND
        and step.target not in case.declined
    ]


def unsettled_bringers(case: Case, confidence: Mapping[str, float]) -> dict[str, str]:
    """Causes that may have brought on a fault that was found and are neither ruled out nor taken as there:
    bringer -> the fault. A cut-out that is replaced over a blocked vent opens again."""
    out: dict[str, str] = {}
    begin = case.found()
    known = {name for name, p in begin.items() if p > FOUND} | set(case.repairs)
    for name in known:
        for bringer in _nearest_bringers(case.pack, name):
            if BRINGER_SETTLED < confidence.get(bringer, 0.0) < 1.0 - BRINGER_SETTLED:
                out.setdefault(bringer, name)
    return out


def _nearest_bringers(pack: Pack, name: str) -> set[str]:
    """The causes that bring a cause on, directly or through states."""
    out: set[str] = set()
    waiting = list(pack.causes[name].brought_on_by)
    while waiting:
        bringer = waiting.pop()
        if bringer in pack.states:
            waiting.extend(pack.states[bringer].brought_on_by)
        else:
            out.add(bringer)
    return out


def _bringers(case: Case, confidence: Mapping[str, float]) -> list[Step]:
    """When nothing else is worth its minutes: the cheapest test that settles what brought a found fault on."""
    unsettled = unsettled_bringers(case, confidence)
    if not unsettled:
        return []
    found = _tests(case, choice_about(case, price_list(case)))
    outlook = case.outlook(test.target for test in found)
    out: list[Step] = []
    for bringer in unsettled:
        useful = [
            plan.ask_step(test, case.access)
            for test in found
            if test.target in outlook and _settles(outlook[test.target], bringer)
        ]
        if useful:
            out.append(min(useful, key=lambda step: step.minutes))
    return list(dict.fromkeys(out))


def _settles(
    answers: Mapping[str, tuple[float, Mapping[str, float]]], bringer: str, settled: float = BRINGER_SETTLED
) -> bool:
    """Whether some likely enough answer would settle the bringer one way or the other."""
    return any(
        chance > 0.1 and not (settled < after[bringer] < 1.0 - settled) for chance, after in answers.values()
    )


def _reasons_first(case: Case, confidence: Mapping[str, float]) -> list[Step]:
    """What settles why a cut-out opened, before the machine is run over it: it would open again. A reason that is
    known is put right; else what can be made without running the machine or opening it anew."""
    waiting: set[str] = set()
    known: set[str] = set()
    for name in case.not_run_since:
        bringers = _nearest_bringers(case.pack, name)
        sure = {each for each in bringers if confidence.get(each, 0.0) >= 1.0 - BRINGER_SETTLED}
        known |= sure
        if not sure and bringers.isdisjoint(case.repairs):
            waiting |= {each for each in bringers if confidence.get(each, 0.0) > REASON_SETTLED}
    if known:
        mend = plan.mendings(case.pack, confidence, price_list(case), case.access, case.pack.access_minutes)
        return [step for step in mend if step.target in known - case.declined]
    if not waiting:
        return []
    pack, access = case.pack, case.access
    able = [
        item
        for item in pack.observations.values()
        if item.kind is not Kind.TOLD
        and case.need_of(item) is not Need.IN_USE
        and (item.need is not Need.OPEN_DEAD or access is Access.OPEN_DEAD)
        and case.askable(item)
        and case.available(item)
        and any(case.bears_on(item.id, bringer) for bringer in waiting)
    ]
    outlook = case.outlook(item.id for item in able)
    out: dict[str, Step] = {}
    for bringer in sorted(waiting, key=lambda name: -confidence[name]):
        telling = [
            item
            for item in able
            if item.id in outlook and _settles(outlook[item.id], bringer, REASON_SETTLED)
        ]
        if telling:
            item = min(telling, key=lambda item: item.minutes)
            goal = target_access(item.need, access)
            minutes = item.minutes + minutes_to(item.need, access, pack.access_minutes, 1.0)
            out[item.id] = Step(StepKind.ASK, item.id, item.ask, goal, minutes, minutes)
    # What can be looked at while it stands open comes before it is closed.
    return sorted(out.values(), key=lambda step: step.access is not access)
