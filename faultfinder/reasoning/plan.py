"""Which step to take next: what gains most for its minutes, the way to it included.

Every askable observation has a worth (see worth.py). Tests that need the same access share the way there: they
are weighed as a bundle, so that taking the covers off is paid once. A cause is put right when no test about it
is worth its minutes any more and mending gains more than leaving; a remedy that costs next to nothing and needs
no opening comes before the machine is opened. Repairs are proved before the search goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from faultfinder.knowledge.model import Access, Cause, Need, Observation, Pack, Question
from faultfinder.reasoning.access_price import minutes_to, reached, target_access
from faultfinder.reasoning.step import Separates, Step, StepKind
from faultfinder.reasoning.worth import Price, total_regret, worth_of

Outlook = Mapping[str, Mapping[str, tuple[float, Mapping[str, float]]]]

WORTH_KEPT = 0.7
"""Of a second test's worth in the same bundle, the share taken as left after the first; chosen."""
LEAST_GAIN = 1.0
"""Minutes: a step that gains less is not worth the talk; chosen."""
LONG_WEIGHS = 1.5
"""How much a test's own minutes count in the order of tests; chosen."""
ELSEWHERE_FIRST = 2.0
"""How many times more a way elsewhere must promise before what is at hand is left; chosen."""
LIKELY_ENOUGH = 0.3
"""A remedy that costs a part or much work is not proposed below this chance, whatever leaving it may cost; chosen."""


def _small(cause: Cause) -> bool:
    """A remedy without parts that takes no more time than a test does."""
    return cause.part_costs == 0.0 and cause.minutes <= 10.0 and cause.remedy_need is not Need.OPEN_DEAD


@dataclass(frozen=True, slots=True)
class Test:
    """One thing to ask: an observation, or a question that sets several."""

    target: str
    title: str
    need: Need
    minutes: float
    worth: float

    @property
    def gain(self) -> float:
        """Minutes saved beyond its own, the way there apart."""
        return self.worth - self.minutes

    @property
    def rank(self) -> float:
        """What it is ordered by: its gain, a long test after a short one of much the same gain."""
        return self.worth - LONG_WEIGHS * self.minutes


def tests(
    pack: Pack,
    outlook: Outlook,
    confidence: Mapping[str, float],
    price: Mapping[str, Price],
    questions: Sequence[Question],
    need_of: Callable[[Observation | Question], Need],
) -> list[Test]:
    """Every askable thing with its worth, best first. `questions` are those that may be asked now; `need_of`
    tells the access that a thing needs now."""
    before = total_regret(confidence, price)
    single: dict[str, Test] = {}
    for name, answers in outlook.items():
        item = pack.observations[name]
        worth = worth_of(before, list(answers.values()), price)
        single[name] = Test(name, item.ask, need_of(item), item.minutes, worth)
    found = dict(single)
    for question in questions:
        members = [single[name] for name in question.observations if name in single]
        if not members:
            continue
        together = shared_worth([test.worth for test in members], before)
        asked = Test(question.id, question.ask, need_of(question), question.minutes, together)
        for member in members:
            if found.get(member.target) is member and member.gain <= asked.gain:
                del found[member.target]
        found[question.id] = asked
    return sorted(found.values(), key=lambda test: (-test.rank, test.target))


def shared_worth(worths: Sequence[float], before: float) -> float:
    """What several tests are worth together: each later one keeps a share of its worth, never more than all."""
    total, share = 0.0, 1.0
    for worth in sorted(worths, reverse=True):
        total += share * worth
        share *= WORTH_KEPT
    return min(total, before)


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


@dataclass(frozen=True, slots=True)
class Bundle:
    """Tests that share one way to an access state; `way` in minutes, 0 for what can be done as things stand."""

    access: Access
    way: float
    tests: tuple[Test, ...]
    gain: float


def bundles(
    found: Sequence[Test],
    access: Access,
    minutes: Mapping[Access, float],
    before: float,
    inside_anyway: float,
) -> list[Bundle]:
    """What is at hand, and for each other access state what can be done only there; the one to do first stands
    first.

    What is at hand comes before a way elsewhere unless the way promises more than `ELSEWHERE_FIRST` times as much:
    so access is never changed to and fro for little. The covers stay on while something at hand gains more a
    minute than opening would: it forfeits nothing.
    """
    hand = [test for test in found if reached(test.need, access) and test.gain > LEAST_GAIN]
    out = []
    for need in (Need.IN_USE, Need.ISOLATED, Need.OPEN_DEAD):
        if reached(need, access):
            continue
        goal = target_access(need, access)
        way = minutes_to(need, access, minutes, inside_anyway)
        only_there = [test for test in found if not reached(test.need, access) and reached(test.need, goal)]
        if bundle := _bundle(goal, way, only_there, before):
            out.append(bundle)
    out.sort(key=lambda bundle: -bundle.gain)
    if hand:
        at_hand = Bundle(access, 0.0, tuple(hand), hand[0].gain)
        first = not out or ELSEWHERE_FIRST * at_hand.gain >= out[0].gain
        if not first and out[0].access is Access.OPEN_DEAD:
            first = _rate(at_hand) >= _rate(out[0])
        out.insert(0 if first else 1, at_hand)
    return out


def _rate(bundle: Bundle) -> float:
    """Minutes gained a minute spent: for what is at hand by its best test, elsewhere with the way there."""
    if bundle.way == 0.0:
        return max(test.gain / max(test.minutes, 0.5) for test in bundle.tests)
    return bundle.gain / (bundle.way + sum(test.minutes for test in bundle.tests))


def _bundle(goal: Access, way: float, usable: Sequence[Test], before: float) -> Bundle | None:
    """The tests that together gain most after paying the way; None when none do."""
    chosen: list[Test] = []
    worths: list[float] = []
    spent, best = way, 0.0
    for test in usable:
        gain = shared_worth([*worths, test.worth], before) - spent - test.minutes
        if chosen and gain <= best + LEAST_GAIN:
            continue
        chosen.append(test)
        worths.append(test.worth)
        spent += test.minutes
        best = gain
    return Bundle(goal, way, tuple(chosen), best) if chosen and best > LEAST_GAIN else None


def mendings(
    pack: Pack,
    confidence: Mapping[str, float],
    price: Mapping[str, Price],
    access: Access,
    minutes: Mapping[Access, float],
) -> list[Step]:
    """Causes that it pays to put right as things stand, best gain first; the way there is in the minutes."""
    out = []
    for name, cost in price.items():
        p = confidence.get(name, 0.0)
        cause = pack.causes[name]
        if cost.mend_gain(p) <= LEAST_GAIN or (p < LIKELY_ENOUGH and not _small(cause)):
            continue
        kind = StepKind.HAND_OVER if cause.hand_to else StepKind.PUT_RIGHT
        way = 0.0 if cause.hand_to else minutes_to(cause.remedy_need, access, minutes, 1.0)
        reason = Separates("", p, name, p, 0.0)
        out.append(
            Step(
                kind,
                name,
                cause.remedy,
                target_access(cause.remedy_need, access),
                cause.minutes + way,
                p * cost.missed,
                (reason,),
            )
        )
    return sorted(out, key=lambda step: -price[step.target].mend_gain(confidence[step.target]))


def inside_anyway(pack: Pack, confidence: Mapping[str, float], price: Mapping[str, Price]) -> float:
    """Chance that something behind the covers has to be mended whatever is asked next."""
    chances = [
        confidence[name]
        for name, cost in price.items()
        if pack.causes[name].remedy_need is Need.OPEN_DEAD
        and not pack.causes[name].hand_to
        and cost.mend_gain(confidence.get(name, 0.0)) > 0
    ]
    return max(chances, default=0.0)


def nearly_free(pack: Pack, step: Step, confidence: Mapping[str, float], price: Mapping[str, Price]) -> bool:
    """A remedy worth doing before any dearer test: no opening, likely enough, and little lost if for nothing."""
    cause = pack.causes[step.target]
    if step.kind is not StepKind.PUT_RIGHT or cause.remedy_need is Need.OPEN_DEAD:
        return False
    p = confidence[step.target]
    return p >= 0.5 and (1.0 - p) * price[step.target].for_nothing <= 3.0


def ask_step(test: Test, access: Access, minutes: Mapping[Access, float], anyway: float) -> Step:
    """The test as a step, the way to it in its minutes; its reasons are added where it is shown."""
    way = minutes_to(test.need, access, minutes, anyway)
    goal = target_access(test.need, access)
    return Step(StepKind.ASK, test.target, test.title, goal, test.minutes + way, test.worth)
