"""What to do next so that the expected minutes to the end are least, planned on imagined machines.

A *situation* is the set of imagined machines that the answers so far leave possible (a mask), where one stands, what
was asked and what was put right. What there is to know of an imagined machine is known: which faults it has, and what
every observation would show. So what a way of working takes is counted: the minutes of its tests, of the
remedies that were for nothing, of the ways between access states, and of the faults left at the end.

To stop is one move: each fault is then put right or left, whichever costs less. To leave all as it is costs the same
whatever is asked before, so minutes are counted from there: what a remedy saves is taken off. The *base* way
of working makes the test that saves most a minute by itself until none pays, and then stops. A first move is
worth what it costs together with the base way to the end after it (a rollout: D. P. Bertsekas and D. A.
Castañón, "Rollout algorithms for stochastic scheduling problems", Journal of Heuristics 5, 1999): one step of
policy improvement.

Every decision on the way is taken on one half of the machines and paid for by the other, and then the other way
round: what looks good on few machines by chance is not believed.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple, Protocol

from faultfinder.knowledge.model import Access, Need
from faultfinder.reasoning import constants
from faultfinder.reasoning.decision.access_cost import Opening, Standing, Way

NOTHING = frozenset[str]()


class Loss(NamedTuple):
    """What hangs on one cause, or on several that one remedy mends: the machines that have it, and its chance as it
    is known apart from them; minutes lost where it is missed and where it is put right for nothing; the chance from
    which it may be put right. cause: the one whose remedy is carried out. inside: with the covers off. mended_by:
    numbers of the losses, all before it, whose remedy puts this right as well."""

    cause: str
    machines: int
    chance: float
    missed: float
    for_nothing: float
    least: float
    inside: bool
    mended_by: frozenset[int] = frozenset()


class Look(NamedTuple):
    """Something to ask: the machines that give each answer. bears: numbers of the losses that it may bear on."""

    target: str
    cells: tuple[int, ...]
    minutes: float
    need: Need
    bears: frozenset[int]


class Remedy(NamedTuple):
    """A cause that can be put right here; what it showed in can be asked anew then. likely: enough to do it next."""

    cause: str
    number: int
    need: Need
    asked_anew: frozenset[str]
    likely: bool


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
    minute that it takes once one is there. parts: the machines of each answer."""

    gain: float
    rate: float
    look: Look
    parts: tuple[int, ...]


class Option(NamedTuple):
    """A first move, and the minutes to the end with it in the mean."""

    cost: float
    move: Move


class Plan(NamedTuple):
    """stop: minutes with nothing more asked, counted like the options' from leaving all as it is. options:
    the first moves looked into, the best first."""

    stop: float
    options: tuple[Option, ...]


@dataclass(frozen=True)
class Situation:
    """decide, pay: the machines that decisions are taken on, and those that pay for them. live: numbers of the losses
    that still matter."""

    decide: int
    pay: int
    standing: Standing
    asked: frozenset[str] = frozenset()
    mended: frozenset[str] = frozenset()
    live: tuple[int, ...] = ()


class Worlds(Protocol):
    """The machines with some causes put right. followed: what is asked on the way to the end; what else there is, is
    weighed as a first move alone."""

    followed: frozenset[str]

    def __call__(self, mended: frozenset[str]) -> World: ...


@dataclass
class Planner:
    """worlds: from the causes put right on the way to the machines as they are then. count: of the machines."""

    worlds: Worlds
    count: int
    nodes: int = 0
    """Situations weighed so far."""
    _most: int = 0
    _known: dict[tuple[object, ...], float] = field(default_factory=dict)
    _ways: dict[tuple[Access, bool, Need], tuple[Way, Standing]] = field(default_factory=dict)

    def here(self, standing: Standing) -> Situation:
        """Where one stands now: nothing asked or put right on the way yet, on all machines."""
        full = (1 << self.count) - 1
        return Situation(full, full, standing, live=tuple(range(len(self.worlds(NOTHING).losses))))

    def choose(self, standing: Standing, proposed: Collection[str] | None = None) -> Plan:
        """The best first moves from here. proposed: the causes that may be put right as the first of them; None: each
        that it pays to put right at the prices of the plan."""
        here, world = self.here(standing), self.worlds(NOTHING)
        low = (1 << self.count // 2) - 1
        high = here.pay ^ low
        halves = [replace(here, decide=a, pay=b) for a, b in ((low, high), (high, low))]
        found, live = self.weigh(here, world.looks)
        halves = [replace(half, live=live) for half in halves]
        self.worlds.followed = frozenset(
            each.look.target for each in promising(here, world, found, constants.FOLLOWED)
        )
        likely = [
            each for each in world.remedies if each.likely and (proposed is None or each.cause in proposed)
        ]
        if standing.opening is not None:
            # Opening forfeits nothing by waiting: while a test with the covers on saves much, they stay on. For a
            # remedy they come off where something behind them is taken as there.
            shut = [each for each in found if each.look.need is not Need.OPEN_DEAD]
            if any(each.gain > constants.OUTSIDE_FIRST * self.count for each in shut):
                # Only what pays by itself: what says nothing would stand for the test inside that may follow it.
                found = [each for each in shut if each.gain > 0.0]
                likely = [each for each in likely if self._worth_opening(world, each)]
        else:
            # What pays by itself while it stands open is not put off until it is opened once more.
            within = [each for each in found if self._way(standing, each.look.need)[1] is standing]
            if any(each.gain > constants.TALK * self.count for each in within):
                found = [each for each in within if each.gain > 0.0]
        moves: list[Move] = [each.look for each in promising(here, world, found, constants.CANDIDATES)]
        likely.sort(
            key=lambda each: (1.0 - world.losses[each.number].chance) * world.losses[each.number].for_nothing
        )
        moves += likely[: constants.CANDIDATES // 2]
        stop = sum([self._stop(half, known=True) for half in halves])
        # All of them briefly, then the best of them to the end.
        costs = self._costs(moves, halves[:1], constants.NODES // 4)
        order = sorted(range(len(moves)), key=lambda number: costs[number])
        moves = [moves[number] for number in order[: constants.CANDIDATES // 2]]
        costs = self._costs(moves, halves, constants.NODES)
        options = [Option(cost / self.count, move) for cost, move in zip(costs, moves, strict=True)]
        return Plan(stop / self.count, tuple(sorted(options, key=lambda option: option.cost)))

    @staticmethod
    def _worth_opening(world: World, remedy: Remedy) -> bool:
        """Whether it is put right with the covers on, or taken as there."""
        return remedy.need is not Need.OPEN_DEAD or world.losses[remedy.number].chance > constants.FOUND

    def _costs(self, moves: Sequence[Move], halves: Sequence[Situation], nodes: int) -> list[float]:
        """Minutes to the end with each of the moves, summed over the machines; weighing at most so many
        situations."""
        out = []
        runs = len(moves) * len(halves)
        for number, move in enumerate(moves):
            cost = 0.0
            for half, at in enumerate(halves):
                self._most = self.nodes + max(1, (nodes - self.nodes) // (runs - number * len(halves) - half))
                cost += self._after(at, move)
            out.append(cost)
        return out

    # -- what follows a move ------------------------------------------------------------------------------

    def _after(self, at: Situation, move: Move) -> float:
        """Minutes to the end, summed over the machines that pay: the move, then the base way of working."""
        if isinstance(move, Look):
            return self._asked(at, move)
        return self._mended(at, move)

    def _asked(self, at: Situation, look: Look) -> float:
        """The test made, then the base way of working for each answer."""
        way, there = self._way(at.standing, look.need)
        total = self._price(at, way, look.minutes)
        asked = at.asked | {look.target}
        for cell in look.cells:
            decide, pay = at.decide & cell, at.pay & cell
            if pay and decide:
                total += self._onward(Situation(decide, pay, there, asked, at.mended, at.live))
            elif pay:
                # No machine to decide on: as if it had not been asked.
                total += self._stop(Situation(at.decide, pay, there, asked, at.mended, at.live))
        return total

    def _mended(self, at: Situation, remedy: Remedy) -> float:
        """The remedy carried out, then the base way of working; what it showed in may be asked anew."""
        loss = self.worlds(at.mended).losses[remedy.number]
        mended = at.mended | {remedy.cause}
        way, there = self._way(at.standing, remedy.need)
        total = self._price(at, way, 0.0) + (at.pay & ~loss.machines).bit_count() * loss.for_nothing
        still = self.worlds(mended).losses[remedy.number].machines
        total -= ((at.pay & loss.machines).bit_count() - (at.pay & still).bit_count()) * loss.missed
        asked = at.asked - remedy.asked_anew
        return total + self._onward(Situation(at.decide, at.pay, there, asked, mended, at.live))

    def _price(self, at: Situation, way: Way, minutes: float) -> float:
        """What a move takes on the machines that pay, the way there included."""
        n = at.pay.bit_count()
        total = (minutes + way.sure) * n
        if way.in_vain:
            total += way.in_vain * (n - (at.pay & self.worlds(NOTHING).inside).bit_count())
        return total

    def _way(self, standing: Standing, need: Need) -> tuple[Way, Standing]:
        """The way to where a need is met, and the standing there."""
        key = standing.access, standing.was_open, need
        if key not in self._ways:
            way = standing.way(need)
            self._ways[key] = way, standing if way.goal is standing.access else standing.at(way.goal)
        return self._ways[key]

    def _onward(self, at: Situation) -> float:
        """The base way of working to the end: what saves most a minute of what pays, until nothing does."""
        n = at.decide.bit_count()
        if n < constants.THIN * self.count or self.nodes >= self._most:
            return self._stop(at)
        # Two tests in either order lead to the same situation.
        key = at.decide, at.pay, at.standing.access, at.standing.was_open, at.asked, at.mended
        if key not in self._known:
            self._known[key] = self._by_the_best(at, n)
        return self._known[key]

    def _by_the_best(self, at: Situation, n: int) -> float:
        looks = self.worlds(at.mended).looks
        if not at.mended:
            looks = tuple([look for look in looks if look.target in self.worlds.followed])
        found, live = self.weigh(at, looks)
        at = replace(at, live=live)
        pays = [each for each in found if each.gain > 0.0]
        if not pays:
            remedy = self._next_remedy(at, math.inf)
            return self._stop(at) if remedy is None else self._mended(at, remedy)
        most = max(each.gain for each in pays)
        best = max((each for each in pays if each.gain >= constants.HALF * most), key=lambda each: each.rate)
        # What loses less than the test takes comes before it: one sees what is left then.
        way, _ = self._way(at.standing, best.look.need)
        takes = (best.look.minutes + way.sure) * n
        if way.in_vain:
            takes += way.in_vain * (n - (at.decide & self.worlds(NOTHING).inside).bit_count())
        remedy = self._next_remedy(at, takes)
        return self._asked(at, best.look) if remedy is None else self._mended(at, remedy)

    def _next_remedy(self, at: Situation, most: float) -> Remedy | None:
        """What is put right first, of what loses less than `most` if it is for nothing: it may be worth looking again
        after it. None where nothing pays by itself, or nothing else is at stake, or enough was put right on the
        way."""
        if len(at.mended) >= constants.REMEDIES:
            return None
        world, n = self.worlds(at.mended), at.decide.bit_count()
        sound = n - (at.decide & world.inside).bit_count()
        best, chosen, at_stake, own = 0.0, None, 0.0, 0.0
        for remedy in world.remedies:
            if remedy.number not in at.live:
                continue
            loss = world.losses[remedy.number]
            there = (at.decide & loss.machines).bit_count()
            leave, wasted = there * loss.missed, (n - there) * loss.for_nothing
            if there < loss.least * n or wasted >= leave:
                at_stake += leave
                continue
            at_stake += wasted
            way, _ = self._way(at.standing, remedy.need)
            price = wasted + way.sure * n + way.in_vain * sound
            if leave - price > best and price < most:
                best, chosen, own = leave - price, remedy, wasted
        return chosen if at_stake - own > constants.TALK * n else None

    # -- to stop ------------------------------------------------------------------------------------------

    def _stop(self, at: Situation, known: bool = False) -> float:
        """What it costs the machines that pay to ask nothing more, where the others decide what is put right; known:
        the chances as they are known decide, where one stands now."""
        world, opening = self.worlds(at.mended), at.standing.opening
        decide, pay = at.decide, at.pay
        n, m = decide.bit_count(), pay.bit_count()
        total = inside = inside_pay = 0.0
        done: set[int] = set()
        for number in at.live:
            _, machines, chance, missed, for_nothing, least, is_inside, mended_by = world.losses[number]
            there = chance * n if known else (decide & machines).bit_count()
            if mended_by and not mended_by.isdisjoint(done):
                for_nothing = 0.0  # it goes with what is put right anyway
            elif there * missed <= (n - there) * for_nothing or there < least * n:
                continue
            else:
                done.add(number)
            b = (pay & machines).bit_count()
            if is_inside:
                inside += there * missed - (n - there) * for_nothing
                inside_pay += b * missed - (m - b) * for_nothing
            else:
                total -= b * missed - (m - b) * for_nothing
        if inside > 0.0 and opening is not None:
            vain = n - (decide & world.inside).bit_count()
            if inside <= opening.sure * n + opening.in_vain * vain:
                return total
            vain = m - (pay & world.inside).bit_count()
            inside_pay -= opening.sure * m + opening.in_vain * vain
        return total - inside_pay

    # -- one test by itself -------------------------------------------------------------------------------

    def weigh(self, at: Situation, looks: Sequence[Look]) -> tuple[list[Weighed], tuple[int, ...]]:
        """Each test by itself on the machines that decide: what is saved if one stops after it; and the losses that
        matter there."""
        self.nodes += 1
        world, here, opening = self.worlds(at.mended), at.decide, at.standing.opening
        n = here.bit_count()
        # Where one stands now every cause is weighed, on the way to the end those with most at stake.
        most = len(world.losses) if n == self.count else constants.FOLLOWED
        stakes = _Stakes(world, here, n, at.live, most)
        stop = stakes.saved(n, stakes.counts, here, opening)
        ways: dict[Need, tuple[Opening | None, float, float]] = {}
        few = constants.FEW * self.count
        out = []
        for look in looks:
            if look.target in at.asked or look.bears.isdisjoint(stakes.numbers):
                continue
            parts = [(part.bit_count(), part) for cell in look.cells if (part := here & cell)]
            if len(parts) < 2:
                continue
            if len(parts) > 4:
                parts = _joined(parts, few)
            if look.need not in ways:
                way, there = self._way(at.standing, look.need)
                price = way.sure * n
                if way.in_vain:
                    price += way.in_vain * (n - (here & world.inside).bit_count())
                then = there.opening
                saved = stop if there is at.standing else stakes.saved(n, stakes.counts, here, then)
                ways[look.need] = then, price, saved
            then, price, saved_there = ways[look.need]
            parts.sort()
            after = stakes.after(parts, then)
            own = look.minutes * n
            rate = (after - saved_there) / (own + constants.TALK * n)
            out.append(Weighed(after - stop - own - price, rate, look, tuple([part for _, part in parts])))
        return out, tuple(sorted(stakes.numbers))


def _joined(parts: list[tuple[int, int]], few: float) -> list[tuple[int, int]]:
    """The parts, those of too few machines to say anything by themselves taken together."""
    out, size, rest = [], 0, 0
    for part in parts:
        if part[0] < few:
            size, rest = size + part[0], rest | part[1]
        else:
            out.append(part)
    return [*out, (size, rest)] if rest else out


class _Stakes:
    """The causes that still matter on some machines, laid out for quick counts. Minutes are summed over machines."""

    __slots__ = ("counts", "inside", "laws", "numbers", "within")

    def __init__(self, world: World, here: int, n: int, live: Sequence[int], most: int) -> None:
        self.counts: list[int] = []
        self.laws: list[tuple[int, int, float, float, float, int]] = []
        """Of each: its place, the machines that have it, minutes saved on one that has it and is mended, lost on one
        that is mended, the share of a part's machines from which it is mended there, and the places (a bit each) with
        whose remedy it goes."""
        self.inside = world.inside
        rows = []
        nothing = constants.SLIGHT * n
        for number in live:
            loss = world.losses[number]
            machines = here & loss.machines
            count = machines.bit_count()
            if count * loss.missed > nothing:
                rows.append((loss.inside, number, machines, count, loss))
        if len(rows) > most:
            rows = sorted(rows, key=lambda row: -row[3] * min(row[4].missed, row[4].for_nothing))[:most]
        self.numbers = {row[1] for row in rows}
        # Those behind the covers stand last.
        rows.sort(key=lambda row: row[:2])
        self.within = sum([not row[0] for row in rows])
        places = {row[1]: place for place, row in enumerate(rows)}
        for place, (_, _, machines, count, loss) in enumerate(rows):
            self.counts.append(count)
            both = loss.missed + loss.for_nothing
            share = max(loss.for_nothing / both, loss.least) if both else 1.0
            with_it = sum([1 << places[number] for number in loss.mended_by if number in places])
            self.laws.append((place, machines, both, loss.for_nothing, share, with_it))

    def saved(self, size: int, counts: Sequence[int], part: int, opening: Opening | None) -> float:
        """What is saved on `size` machines, a part of all, by putting right what pays; counts: how many have each."""
        total = inside = 0.0
        within, done = self.within, 0
        for (place, _, both, lost, share, with_it), count in zip(self.laws, counts, strict=True):
            if with_it & done:
                saved = count * (both - lost)
            elif count > share * size:
                saved = count * both - size * lost
                done |= 1 << place
            else:
                continue
            if place < within:
                total += saved
            else:
                inside += saved
        return total + self._behind(inside, size, part, opening) if inside else total

    def _behind(self, inside: float, size: int, part: int, opening: Opening | None) -> float:
        """What is left of what is saved behind the covers once the way there is paid."""
        if opening is None:
            return inside
        inside -= opening.sure * size
        if opening.in_vain and inside > 0.0:
            inside -= opening.in_vain * (size - (part & self.inside).bit_count())
        return max(0.0, inside)

    def after(self, parts: Sequence[tuple[int, int]], opening: Opening | None) -> float:
        """The same once it is known which of these parts a machine is in; the largest stands last."""
        # As `saved`, written out: run for every part of every test, and up to a sixth slower by way of it.
        all_of_it, left, within = 0.0, list(self.counts), self.within
        for size, part in parts[:-1]:
            total = inside = 0.0
            done = 0
            for place, machines, both, lost, share, with_it in self.laws:
                if count := (part & machines).bit_count():
                    left[place] -= count
                    if with_it & done:
                        saved = count * (both - lost)
                    elif count > share * size:
                        saved = count * both - size * lost
                        done |= 1 << place
                    else:
                        continue
                    if place < within:
                        total += saved
                    else:
                        inside += saved
            all_of_it += total + self._behind(inside, size, part, opening) if inside else total
        size, part = parts[-1]
        return all_of_it + self.saved(size, left, part, opening)


def promising(at: Situation, world: World, found: Sequence[Weighed], count: int) -> list[Weighed]:
    """The tests to look beyond: those that save most by themselves, those that save most a minute, and those that
    move the causes furthest, in turn. What decides only together with others is among the last."""
    n = at.decide.bit_count()
    stakes = [(at.decide & loss.machines, min(loss.missed, loss.for_nothing)) for loss in world.losses]
    shares = [(machines, machines.bit_count() / n, each) for machines, each in stakes if machines]
    shares = sorted(shares, key=lambda share: -share[1] * (1.0 - share[1]) * share[2])[: constants.FOLLOWED]

    def moved(each: Weighed) -> float:
        total = 0.0
        for part in each.parts[:-1]:
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
