"""Which step to take next: what gains most a minute, the way to it included.

Every askable observation has a worth (see expected_loss.py), seen from where it is made.
Tests that need the same access
share the way there: they are weighed as a bundle, so that taking the covers off is paid once. What gains most for
each minute spent comes first: over small packs that comes closer to the best order of all than what gains most in
all (tests/benchmarks/policy.py). A cause is put right when no test about it is worth its minutes any more and
mending gains more than leaving; a remedy that costs next to nothing and needs no opening comes before any dearer
test. Repairs are proved before the search goes on. Tests that decide only together are found by looking one test
further (two_step.py).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from faultfinder.knowledge.model import Access, Need, Observation, Pack, Question
from faultfinder.reasoning.decision.access_cost import Standing, minutes_to, reached, target_access
from faultfinder.reasoning.decision.expected_loss import Price, Stakes, may_be_a_guess
from faultfinder.reasoning.decision.step import Separates, Step, StepKind

Outlook = Mapping[str, Mapping[str, tuple[float, Mapping[str, float]]]]

WORTH_KEPT = 0.5
"""Of a second test's worth in the same bundle, the share taken as left after the first; chosen."""
OUTSIDE_FIRST = 5.0
"""Minutes: while what can be had with the covers on gains more than this, they stay on. Opening forfeits nothing by
waiting, and what was not seen before it costs the way back; chosen."""
LEAST_GAIN = 1.0
"""Minutes: a step that gains less is not worth the talk; chosen."""
TALK = 0.5
"""Minutes that putting a question takes besides its own, in the order of tests; chosen."""
ELSEWHERE_FIRST = 1.5
"""How many times more a minute a way elsewhere must promise before what is at hand is left; chosen."""
SMALL_GAIN = 0.5
"""A test that gains less than this share of the best one's gain waits, however little it takes; chosen."""
NEARLY_FREE = 3.0
"""Minutes lost on a remedy for nothing that are as good as none; chosen."""


def inside(pack: Pack) -> frozenset[str]:
    """Causes that are put right here with the covers off."""
    return frozenset(
        name
        for name, cause in pack.causes.items()
        if cause.remedy_need is Need.OPEN_DEAD and not cause.hand_to
    )


@dataclass(frozen=True, slots=True)
class Test:
    """One thing to ask: an observation, or a question that sets several.

    minutes: its own. way: what the way there takes, as far as it may be for nothing. worth: minutes saved by
    standing there and knowing the answer; there: the part of it that standing there saves by itself. by_cause: the
    rest of it as it falls to each cause of the choice, in the order of the stakes.
    """

    target: str
    title: str
    need: Need
    minutes: float
    way: float
    worth: float
    there: float = 0.0
    by_cause: tuple[float, ...] = field(default=(), compare=False, repr=False)

    @property
    def gain(self) -> float:
        """Minutes saved beyond what it takes."""
        return self.worth - self.minutes - self.way

    @property
    def rate(self) -> float:
        """Minutes saved a minute once one is there."""
        return (self.worth - self.there) / (self.minutes + TALK)


@dataclass(frozen=True, slots=True)
class Choice:
    """What a choice is about. chances: every cause's now. left: minutes lost if nothing more is asked."""

    pack: Pack
    chances: Mapping[str, float]
    stakes: Stakes
    standing: Standing
    left: float

    @classmethod
    def about(
        cls, pack: Pack, chances: Mapping[str, float], price: Mapping[str, Price], standing: Standing
    ) -> Choice:
        """`price`: of the causes that it is about."""
        stakes = Stakes(price, inside(pack), chances)
        return cls(pack, chances, stakes, standing, stakes.left(chances, standing.opening))

    def moved(self, answers: Iterable[tuple[float, Mapping[str, float]]]) -> float:
        """About how many minutes hang on what the answers change: how far they move the causes that it is about.
        Unlike the worth of a test this is not nothing where no answer alone would change what is done."""
        return self.stakes.moved(self.chances, answers)

    def after(self, chances: Mapping[str, float], standing: Standing) -> Choice:
        """The same choice once one stands elsewhere and knows more."""
        left = self.stakes.left(chances, standing.opening)
        return Choice(self.pack, chances, self.stakes, standing, left)

    @property
    def hanging(self) -> list[float]:
        """What hangs on each cause by itself, in minutes: no tests together are worth more about it."""
        return self.stakes.regrets(self.chances)

    def way(self, need: Need) -> tuple[Standing, float, float]:
        """Where a need is met, what the way there takes as far as it may be for nothing, and what is left to lose
        there if nothing more is asked."""
        there = self.standing.way(need)
        if there.goal is self.standing.access:
            return self.standing, 0.0, self.left
        standing = self.standing.at(there.goal)
        price = there.sure + there.in_vain * self.stakes.in_vain(self.chances)
        return standing, price, self.stakes.left(self.chances, standing.opening)


def tests(
    choice: Choice,
    outlook: Outlook,
    questions: Sequence[Question],
    need_of: Callable[[Observation | Question], Need],
    *,
    share: bool = True,
) -> list[Test]:
    """Every askable thing with its worth, what saves most a minute first. `questions` are those that may be asked
    now; `need_of` tells the access that a thing needs now. share: whether worths are told by cause as well."""
    pack, stakes, hanging = choice.pack, choice.stakes, choice.hanging if questions else []
    ways: dict[Need, tuple[Standing, float, float]] = {}
    single: dict[str, Test] = {}
    for name, answers in outlook.items():
        item = pack.observations[name]
        need = need_of(item)
        if need not in ways:
            ways[need] = choice.way(need)
        standing, way, left = ways[need]
        there = choice.left - left
        fall = stakes.fall(left, answers.values(), standing.opening)
        shares = stakes.shares(fall, choice.chances, answers.values()) if share else ()
        single[name] = Test(name, item.ask, need, item.minutes, way, there + fall, there, shares)
    found = dict(single)
    for question in questions:
        members = [single[name] for name in question.observations if name in single]
        if not members:
            continue
        need = need_of(question)
        _, way, left = choice.way(need)
        there = choice.left - left
        shares = together([test.by_cause for test in members], hanging)
        worth = there + min(left, math.fsum(shares))
        asked = Test(question.id, question.ask, need, question.minutes, way, worth, there, shares)
        for member in members:
            if found.get(member.target) is member and member.gain <= asked.gain:
                del found[member.target]
        found[question.id] = asked
    return sorted(found.values(), key=lambda test: (-test.rate, test.target))


def together(shares: Sequence[Sequence[float]], most: Sequence[float]) -> tuple[float, ...]:
    """What several tests are worth together, cause by cause: tests about different causes keep all of their worth,
    of those about the same one each later keeps a share, and never more than the `most` that hangs on it."""
    out = []
    for limit, *falls in zip(most, *shares, strict=True):
        total, kept = 0.0, 1.0
        for fall in sorted(falls, reverse=True):
            total += kept * fall
            kept *= WORTH_KEPT
        out.append(min(total, limit))
    return tuple(out)


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
    """Tests that share one way to an access state; `way` in minutes, 0 for what can be done as things stand. rate:
    minutes saved a minute."""

    access: Access
    way: float
    tests: tuple[Test, ...]
    gain: float
    rate: float


def bundles(choice: Choice, found: Sequence[Test]) -> list[Bundle]:
    """What is at hand, and for each other access state what can be done only there; the one to do first stands
    first.

    What saves most a minute comes first, what is at hand before a way elsewhere unless the way promises more than
    `ELSEWHERE_FIRST` times as much a minute: so access is never changed to and fro for little. What gains little
    beside what can be had without opening waits, however little it takes.
    """
    access = choice.standing.access
    hand = [test for test in found if reached(test.need, access) and test.gain > LEAST_GAIN]
    out = []
    if hand:
        hand = in_order(hand)
        out.append(Bundle(access, 0.0, tuple(hand), hand[0].gain, hand[0].rate))
    for goal in (Access.IN_USE, Access.ISOLATED, Access.OPEN_DEAD):
        only_there = [test for test in found if target_access(test.need, access) is goal is not access]
        if only_there and (bundle := _bundle(goal, only_there, choice)):
            out.append(bundle)
    most = max((bundle.gain for bundle in out if bundle.access is not Access.OPEN_DEAD), default=0.0)

    def order(bundle: Bundle) -> tuple[bool, float]:
        rate = bundle.rate * (ELSEWHERE_FIRST if bundle.access is access else 1.0)
        waits = bundle.gain < SMALL_GAIN * most or (
            bundle.access is Access.OPEN_DEAD and most > OUTSIDE_FIRST
        )
        return waits, -rate

    return sorted(out, key=order)


def in_order(found: Sequence[Test]) -> list[Test]:
    """What saves most a minute first, among those that gain about as much as any; then the others."""
    most = max(test.gain for test in found)
    return sorted(found, key=lambda test: (test.gain < SMALL_GAIN * most, -test.rate, test.target))


def _bundle(goal: Access, usable: Sequence[Test], choice: Choice) -> Bundle | None:
    """The tests that together gain most after paying the way, best a minute first; None when none do."""
    way, there = usable[0].way, usable[0].there
    chosen: list[Test] = []
    hanging = choice.hanging
    spent, best = way, 0.0
    for test in sorted(usable, key=lambda test: -test.gain):
        shares = together([each.by_cause for each in (*chosen, test)], hanging)
        gain = there + min(choice.left - there, math.fsum(shares)) - spent - test.minutes
        if chosen and gain <= best + LEAST_GAIN:
            continue
        chosen.append(test)
        spent += test.minutes
        best = gain
    if not chosen or best <= LEAST_GAIN:
        return None
    rate = (best + spent) / (spent + TALK * len(chosen))
    return Bundle(goal, way, tuple(in_order(chosen)), best, rate)


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
        if cost.mend_gain(p) <= LEAST_GAIN or p < cost.least:
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


def nearly_free(
    pack: Pack, step: Step, confidence: Mapping[str, float], price: Mapping[str, Price], spared: float
) -> bool:
    """Whether a remedy is worth doing before the next test: no opening, and little lost if it is for nothing. It is
    likely, and that is `NEARLY_FREE`; or it needs no part and that is less than the `spared` minutes of the test."""
    cause = pack.causes[step.target]
    if step.kind is not StepKind.PUT_RIGHT or cause.remedy_need is Need.OPEN_DEAD:
        return False
    p = confidence[step.target]
    lost = (1.0 - p) * price[step.target].for_nothing
    return (p >= 0.5 and lost <= NEARLY_FREE) or (
        spared > NEARLY_FREE and may_be_a_guess(cause) and lost <= spared
    )


def ask_step(test: Test, access: Access) -> Step:
    """The test as a step, the way to it in its minutes; its reasons are added where it is shown."""
    goal = target_access(test.need, access)
    return Step(StepKind.ASK, test.target, test.title, goal, test.minutes + test.way, test.worth)
