"""What to do next so that the expected minutes to the end are least, planned on imagined machines.

A *situation* is the set of imagined machines that the answers so far leave possible (a mask), where one stands, what
was asked and what was put right. What there is to know of an imagined machine is known: which faults it has, and what
every observation would show. So what a way of working takes is counted: the minutes of its tests, of the remedies that
were for nothing, of the ways between access states, and of the faults left at the end.

To stop is one move: each fault is then put right or left, whichever costs less. The *base* way of working makes the
test that saves most a minute by itself until none pays, and then stops. A first move is worth what it costs together
with the base way to the end after it (a rollout: D. P. Bertsekas and D. A. Castañón, "Rollout algorithms for
stochastic scheduling problems", Journal of Heuristics 5, 1999): one step of policy improvement.

Every decision on the way is taken on one half of the machines and paid for by the other, and then the other way
round: what looks good on few machines by chance is not believed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from faultfinder.knowledge.model import Need
from faultfinder.reasoning import constants
from faultfinder.reasoning.decision.access_cost import Opening, Standing

NOTHING_LOST = 0.02
"""Minutes in the mean below which leaving a cause is not worth a thought: below what the draw can tell."""


class Loss(NamedTuple):
    """What hangs on one cause: the machines that have it, minutes lost where it is missed, minutes lost where it is
    put right for nothing, the chance from which it may be put right. inside: with the covers off."""

    cause: str
    machines: int
    missed: float
    for_nothing: float
    least: float
    inside: bool


class Look(NamedTuple):
    """Something to ask: the machines that give each answer. bears: numbers of the losses that it may bear on."""

    target: str
    cells: tuple[int, ...]
    minutes: float
    need: Need
    bears: frozenset[int]


class Remedy(NamedTuple):
    """A cause that can be put right as a move of its own; what it showed in can be asked anew then."""

    cause: str
    number: int
    need: Need
    asked_anew: frozenset[str]


Move = Look | Remedy


@dataclass(frozen=True)
class World:
    """The imagined machines with some causes put right. inside: the machines with a fault behind the covers."""

    losses: tuple[Loss, ...]
    looks: tuple[Look, ...]
    remedies: tuple[Remedy, ...]
    inside: int


class Weighed(NamedTuple):
    """A test by itself, in minutes summed over the machines. gain: saved beyond what it takes. rate: saved for each
    minute that it takes once one is there. there: where one stands then. parts: the machines of each answer."""

    gain: float
    rate: float
    look: Look
    there: Standing
    parts: tuple[int, ...]


class Option(NamedTuple):
    """A first move, and the minutes to the end with it in the mean."""

    cost: float
    move: Move


class Plan(NamedTuple):
    """stop: minutes lost if nothing more is asked. options: the first moves looked into, the best first."""

    stop: float
    options: tuple[Option, ...]


@dataclass(frozen=True)
class Situation:
    """decide, pay: the machines that decisions are taken on, and those that pay for them."""

    decide: int
    pay: int
    standing: Standing
    asked: frozenset[str] = frozenset()
    mended: frozenset[str] = frozenset()


@dataclass
class Planner:
    """worlds: from the causes put right on the way to the machines as they are then. count: of the machines."""

    worlds: Callable[[frozenset[str]], World]
    count: int
    nodes: int = 0
    """Situations weighed so far."""
    _most: int = 0
    _followed: frozenset[str] = frozenset()
    """What is asked on the way to the end; the other tests are weighed only as first moves."""

    def choose(self, standing: Standing) -> Plan:
        """The best first moves from here."""
        full = (1 << self.count) - 1
        low = (1 << self.count // 2) - 1
        here = Situation(full, full, standing)
        halves = [replace(here, decide=a, pay=b) for a, b in ((low, full ^ low), (full ^ low, low))]
        world = self.worlds(frozenset())
        found = self.weigh(here, world.looks)
        self._followed = frozenset(
            each.look.target for each in promising(here, world, found, constants.FOLLOWED)
        )
        moves: list[Move] = [each.look for each in promising(here, world, found, constants.CANDIDATES)]
        moves += world.remedies
        stop = sum([self._stop(half) for half in halves])
        options = []
        for number, move in enumerate(moves):
            self._most = self.nodes + (constants.NODES - self.nodes) // (len(moves) - number)
            cost = sum([self._after(half, move) for half in halves])
            options.append(Option(cost / self.count, move))
        return Plan(stop / self.count, tuple(sorted(options, key=lambda option: option.cost)))

    # -- what follows a move ------------------------------------------------------------------------------

    def _after(self, at: Situation, move: Move) -> float:
        """Minutes to the end, summed over the machines that pay: the move, then the base way of working."""
        if isinstance(move, Look):
            way = at.standing.way(move.need)
            there = at.standing.at(way.goal)
            return self._asked(at, move, there)
        return self._mended(at, move)

    def _asked(self, at: Situation, look: Look, there: Standing) -> float:
        """The test made, then the base way of working for each answer."""
        total = self._price(at, look.need, look.minutes)
        asked = at.asked | {look.target}
        for cell in look.cells:
            decide, pay = at.decide & cell, at.pay & cell
            if pay and decide:
                total += self._onward(Situation(decide, pay, there, asked, at.mended))
            elif pay:
                # No machine to decide on: as if it had not been asked.
                total += self._stop(Situation(at.decide, pay, there, asked, at.mended))
        return total

    def _mended(self, at: Situation, remedy: Remedy) -> float:
        """The remedy carried out, then the base way of working; what it showed in may be asked anew."""
        loss = self.worlds(at.mended).losses[remedy.number]
        total = self._price(at, remedy.need, 0.0) + (at.pay & ~loss.machines).bit_count() * loss.for_nothing
        there = at.standing.at(at.standing.way(remedy.need).goal)
        asked = at.asked - remedy.asked_anew
        return total + self._onward(Situation(at.decide, at.pay, there, asked, at.mended | {remedy.cause}))

    def _price(self, at: Situation, need: Need, minutes: float) -> float:
        """What a move takes on the machines that pay, the way there included."""
        way, n = at.standing.way(need), at.pay.bit_count()
        total = (minutes + way.sure) * n
        if way.in_vain:
            total += way.in_vain * (n - (at.pay & self.worlds(frozenset()).inside).bit_count())
        return total

    def _onward(self, at: Situation) -> float:
        """The base way of working to the end: what saves most a minute of what pays, until nothing does."""
        n = at.decide.bit_count()
        if n < constants.THIN * self.count or self.nodes >= self._most:
            return self._stop(at)
        looks = [look for look in self.worlds(at.mended).looks if look.target in self._followed]
        pays = [each for each in self.weigh(at, looks) if each.gain > 0.0]
        if not pays:
            return self._stop(at)
        most = max(each.gain for each in pays)
        best = max((each for each in pays if each.gain >= 0.5 * most), key=lambda each: each.rate)
        return self._asked(at, best.look, best.there)

    # -- to stop ------------------------------------------------------------------------------------------

    def _stop(self, at: Situation) -> float:
        """What it costs the machines that pay to ask nothing more, where the others decide what is put right."""
        world, opening = self.worlds(at.mended), at.standing.opening
        decide, pay = at.decide, at.pay
        n, m = decide.bit_count(), pay.bit_count()
        outside = left = left_pay = mended = mended_pay = 0.0
        for _, machines, missed, for_nothing, least, inside in world.losses:
            a, b = (decide & machines).bit_count(), (pay & machines).bit_count()
            leave, best, best_pay = a * missed, a * missed, b * missed
            if a and a >= least * n and (n - a) * for_nothing < leave:
                best, best_pay = (n - a) * for_nothing, (m - b) * for_nothing
            if inside:
                left, left_pay = left + leave, left_pay + b * missed
                mended, mended_pay = mended + best, mended_pay + best_pay
            else:
                outside += best_pay
        if opening is None:
            return outside + mended_pay
        if mended < left:
            vain = n - (decide & world.inside).bit_count()
            if mended + opening.sure * n + opening.in_vain * vain < left:
                vain = m - (pay & world.inside).bit_count()
                return outside + mended_pay + opening.sure * m + opening.in_vain * vain
        return outside + left_pay

    # -- one test by itself -------------------------------------------------------------------------------

    def weigh(self, at: Situation, looks: Sequence[Look]) -> list[Weighed]:
        """Each test by itself on the machines that decide: what is saved if one stops after it."""
        self.nodes += 1
        world, here, opening = self.worlds(at.mended), at.decide, at.standing.opening
        n = here.bit_count()
        stakes = _Stakes(world, here, n)
        stop = stakes.left(n, stakes.counts, here, opening)
        ways: dict[Need, tuple[Standing, float, float]] = {}
        out = []
        for look in looks:
            if look.target in at.asked or look.bears.isdisjoint(stakes.numbers):
                continue
            parts = [(part.bit_count(), part) for cell in look.cells if (part := here & cell)]
            if len(parts) < 2:
                continue
            if look.need not in ways:
                way = at.standing.way(look.need)
                there = at.standing if way.goal is at.standing.access else at.standing.at(way.goal)
                stop_there = (
                    stop if there is at.standing else stakes.left(n, stakes.counts, here, there.opening)
                )
                price = way.sure * n + (
                    way.in_vain * (n - (here & world.inside).bit_count()) if way.in_vain else 0.0
                )
                ways[look.need] = there, price, stop_there
            there, price, stop_there = ways[look.need]
            parts.sort()
            after = stakes.after(parts, there.opening)
            own = look.minutes * n
            rate = (stop_there - after) / (own + constants.TALK * n)
            out.append(
                Weighed(stop - after - own - price, rate, look, there, tuple([part for _, part in parts]))
            )
        return out


class _Stakes:
    """The causes that are still possible on some machines, laid out for quick counts. Minutes are summed over machines."""

    __slots__ = ("counts", "inside", "laws", "machines", "numbers", "outside", "within")

    def __init__(self, world: World, here: int, n: int) -> None:
        self.machines: list[int] = []
        self.counts: list[int] = []
        self.laws: list[tuple[float, float, float]] = []
        self.numbers: set[int] = set()
        self.outside: list[int] = []
        self.within: list[int] = []
        self.inside = world.inside
        for number, loss in enumerate(world.losses):
            machines = here & loss.machines
            count = machines.bit_count()
            if count * loss.missed > NOTHING_LOST * n:
                (self.within if loss.inside else self.outside).append(len(self.machines))
                self.machines.append(machines)
                self.counts.append(count)
                self.laws.append((loss.missed, loss.for_nothing, loss.least))
                self.numbers.add(number)

    def left(self, size: int, counts: Sequence[int], part: int, opening: Opening | None) -> float:
        """What it costs `size` machines, a part of all, to stop; counts: how many of them have each cause."""
        least = []
        for count, (missed, for_nothing, from_) in zip(counts, self.laws, strict=True):
            leave, mend = count * missed, (size - count) * for_nothing
            least.append(mend if mend < leave and count >= from_ * size else leave)
        total = sum([least[place] for place in self.outside])
        if not self.within:
            return total
        mended = sum([least[place] for place in self.within])
        if opening is None:
            return total + mended
        leaving = sum([counts[place] * self.laws[place][0] for place in self.within])
        if mended < leaving:
            mended += opening.sure * size
            if opening.in_vain:
                mended += opening.in_vain * (size - (part & self.inside).bit_count())
        return total + min(leaving, mended)

    def after(self, parts: Sequence[tuple[int, int]], opening: Opening | None) -> float:
        """The same once it is known which of these parts a machine is in; the largest stands last."""
        total, left = 0.0, self.counts
        for size, part in parts[:-1]:
            counts = [(part & machines).bit_count() for machines in self.machines]
            left = [x - y for x, y in zip(left, counts, strict=True)]
            total += self.left(size, counts, part, opening)
        size, part = parts[-1]
        return total + self.left(size, left, part, opening)


def promising(at: Situation, world: World, found: Sequence[Weighed], count: int) -> list[Weighed]:
    """The tests to look beyond: those that save most by themselves, those that save most a minute, and those that move
    the causes furthest, in turn. What decides only together with others is among the last."""
    n = at.decide.bit_count()
    stakes = [(at.decide & loss.machines, min(loss.missed, loss.for_nothing)) for loss in world.losses]
    shares = [(machines, machines.bit_count() / n, each) for machines, each in stakes if machines]

    def moved(each: Weighed) -> float:
        total = 0.0
        for part in each.parts:
            size = part.bit_count()
            for machines, p, stake in shares:
                total += stake * abs((part & machines).bit_count() - p * size)
        way = at.standing.way(each.look.need)
        return total / (each.look.minutes + constants.TALK + way.sure + way.in_vain)

    by_moves = sorted(((moved(each), each.look.target, each) for each in found), reverse=True)
    lists = (
        sorted(found, key=lambda each: (-each.gain, each.look.target)),
        sorted(found, key=lambda each: (-each.rate, each.look.target)),
        [each for _, _, each in by_moves],
    )
    out: dict[str, Weighed] = {}
    for three in zip(*lists, strict=True):
        for each in three:
            out.setdefault(each.look.target, each)
    return list(out.values())[:count]
