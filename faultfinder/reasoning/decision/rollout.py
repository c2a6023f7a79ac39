"""What to do next so that the expected minutes to the end are least, planned on imagined machines (world.py).

What a way of working takes is counted: the minutes of its tests, of the remedies that were for nothing, of the ways
between access states, and of the faults left at the end.

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
from typing import NamedTuple

from faultfinder.knowledge.model import Need
from faultfinder.reasoning import constants
from faultfinder.reasoning.decision.access_cost import Standing, Way, reached
from faultfinder.reasoning.decision.one_test import Weighed, promising, weigh
from faultfinder.reasoning.decision.world import NOTHING, Look, Move, Remedy, Situation, Worlds

BEYOND_CHANCE = 3.0
"""Standard errors of a count of imagined machines that are taken for more than chance; common practice, no source."""


class Option(NamedTuple):
    """A first move, and the minutes to the end with it in the mean."""

    cost: float
    move: Move


class Plan(NamedTuple):
    """stop: minutes with nothing more asked, counted like the options' from leaving all as it is. options:
    the first moves looked into, the best first."""

    stop: float
    options: tuple[Option, ...]


@dataclass
class Planner:
    """worlds: from the causes put right on the way to the machines as they are then. count: of the machines."""

    worlds: Worlds
    count: int
    nodes: int = 0
    """Situations weighed so far."""
    _most: int = 0
    _held: dict[str, float] = field(default_factory=dict)
    """Causes that are not put right as things stand, with their chance now."""
    _known: dict[tuple[object, ...], float] = field(default_factory=dict)

    def here(self, standing: Standing) -> Situation:
        """Where one stands now: nothing asked or put right on the way yet, on all machines."""
        full = (1 << self.count) - 1
        return Situation(full, full, standing, live=tuple(range(len(self.worlds(NOTHING).losses))))

    def weigh(self, at: Situation, looks: Sequence[Look]) -> tuple[list[Weighed], tuple[int, ...]]:
        """Each test by itself on the machines that decide, and the losses that matter there."""
        self.nodes += 1
        return weigh(self.worlds(at.mended), at, looks, self.count)

    def choose(self, standing: Standing, proposed: Collection[str] | None = None) -> Plan:
        """The best first moves from here. proposed: the causes that may be put right as the first of them; None: each
        that it pays to put right at the prices of the plan."""
        here, world = self.here(standing), self.worlds(NOTHING)
        if proposed is not None:
            held = [each for each in world.remedies if each.cause not in proposed]
            self._held = {each.cause: world.losses[each.number].chance for each in held}
        found, live = self.weigh(here, world.looks)
        followed = promising(here, world, found, constants.FOLLOWED)
        self.worlds.followed = frozenset(each.look.target for each in followed)
        moves = self._first_moves(here, found, proposed)
        low = (1 << self.count // 2) - 1
        high = here.pay ^ low
        halves = [replace(here, decide=a, pay=b, live=live) for a, b in ((low, high), (high, low))]
        stop = sum([self._stop(half, known=True) for half in halves])
        # All of them briefly, then the best of them to the end.
        costs = self._costs(moves, halves[:1], constants.NODES // 4)
        order = sorted(range(len(moves)), key=lambda number: costs[number])
        moves = [moves[number] for number in order[: constants.CANDIDATES // 2]]
        costs = self._costs(moves, halves, constants.NODES)
        options = [Option(cost / self.count, move) for cost, move in zip(costs, moves, strict=True)]
        return Plan(stop / self.count, tuple(sorted(options, key=lambda option: option.cost)))

    def _first_moves(
        self, here: Situation, found: Sequence[Weighed], proposed: Collection[str] | None
    ) -> list[Move]:
        """The tests, of those found to save something by themselves, and the remedies that are looked into."""
        world = self.worlds(NOTHING)
        likely = [
            each for each in world.remedies if each.likely and (proposed is None or each.cause in proposed)
        ]
        if here.standing.opening is not None:
            # Opening forfeits nothing by waiting: while a test with the covers on saves much, they stay on. For a
            # remedy they come off where something behind them is taken as there.
            now = [each for each in found if each.look.need is not Need.OPEN_DEAD]
            if first := any(each.gain > constants.OUTSIDE_FIRST * self.count for each in now):
                likely = [
                    each
                    for each in likely
                    if each.need is not Need.OPEN_DEAD or world.losses[each.number].chance > constants.FOUND
                ]
        else:
            # What pays by itself while it stands open is not put off until it is opened once more.
            now = [each for each in found if reached(each.look.need, here.standing.access)]
            first = any(each.gain > constants.TALK * self.count for each in now)
        if first:
            # Only what pays by itself: what says nothing would stand for the test that may follow it.
            found = [each for each in now if each.gain > 0.0]

        def lost_in_vain(remedy: Remedy) -> float:
            loss = world.losses[remedy.number]
            return (1.0 - loss.chance) * loss.for_nothing

        likely.sort(key=lost_in_vain)
        tests = promising(here, world, found, constants.CANDIDATES)
        return [*(each.look for each in tests), *likely[: constants.CANDIDATES // 2]]

    def _costs(self, moves: Sequence[Move], halves: Sequence[Situation], nodes: int) -> list[float]:
        """Minutes to the end with each of the moves, summed over the machines; weighing at most so many
        situations."""
        out = []
        runs = len(moves) * len(halves)
        for move in moves:
            cost = 0.0
            for at in halves:
                self._most = self.nodes + max(1, (nodes - self.nodes) // runs)
                cost += self._asked(at, move) if isinstance(move, Look) else self._mended(at, move)
                runs -= 1
            out.append(cost)
        return out

    # -- what follows a move: minutes to the end, summed over the machines that pay ------------------------

    def _asked(self, at: Situation, look: Look) -> float:
        """The test made, then the base way of working for each answer."""
        way = at.standing.way(look.need)
        total = self._price(at, at.pay, way, look.minutes)
        there, asked = at.standing.after(way), at.asked | {look.target}
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
        way, mended = at.standing.way(remedy.need), at.mended | {remedy.cause}
        still = self.worlds(mended).losses[remedy.number].machines
        total = self._price(at, at.pay, way, 0.0) + (at.pay & ~loss.machines).bit_count() * loss.for_nothing
        total -= ((at.pay & loss.machines).bit_count() - (at.pay & still).bit_count()) * loss.missed
        asked = at.asked - remedy.asked_anew
        return total + self._onward(replace(at, standing=at.standing.after(way), asked=asked, mended=mended))

    def _price(self, at: Situation, machines: int, way: Way, minutes: float) -> float:
        """What a move takes on these machines, the way there included."""
        n = machines.bit_count()
        return minutes * n + way.minutes(n, self.worlds(at.mended).sound(machines))

    def _onward(self, at: Situation) -> float:
        """The base way of working to the end: what saves most a minute of what pays, until nothing does."""
        if at.decide.bit_count() < constants.THIN * self.count or self.nodes >= self._most:
            return self._stop(at)
        # Two tests in either order lead to the same situation.
        key = at.decide, at.pay, at.standing.access, at.standing.was_open, at.asked, at.mended
        if key not in self._known:
            self._known[key] = self._by_the_best(at)
        return self._known[key]

    def _by_the_best(self, at: Situation) -> float:
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
        takes = self._price(at, at.decide, at.standing.way(best.look.need), best.look.minutes)
        remedy = self._next_remedy(at, takes)
        return self._asked(at, best.look) if remedy is None else self._mended(at, remedy)

    def _next_remedy(self, at: Situation, most: float) -> Remedy | None:
        """What is put right first, of what loses less than `most` if it is for nothing: it may be worth looking again
        after it. None where nothing pays by itself, or nothing else is at stake, or enough was put right on the
        way."""
        if len(at.mended) >= constants.REMEDIES:
            return None
        world, n = self.worlds(at.mended), at.decide.bit_count()
        sound, best, chosen, at_stake, own = world.sound(at.decide), 0.0, None, 0.0, 0.0
        for remedy in world.remedies:
            if remedy.number not in at.live:
                continue
            loss = world.losses[remedy.number]
            there = (at.decide & loss.machines).bit_count()
            leave, wasted = there * loss.missed, (n - there) * loss.for_nothing
            if there < loss.least * n or wasted >= leave:
                at_stake += leave
                continue
            if self._not_raised(remedy.cause, there, n):
                at_stake += wasted
                continue
            price = wasted + at.standing.way(remedy.need).minutes(n, sound)
            if leave - price > best and price < most:
                best, chosen, own = leave - price, remedy, wasted
        return chosen if at_stake - own > constants.TALK * n else None

    def _not_raised(self, cause: str, there: int, n: int) -> bool:
        """Whether it is not put right as things stand and no answer on the way has made it likelier, beyond chance:
        else a test that says nothing would stand for a remedy behind it that is not proposed."""
        now = self._held.get(cause, 0.0)
        return now > 0.0 and there <= n * now + BEYOND_CHANCE * math.sqrt(n * now * (1.0 - now))

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
            if inside <= opening.minutes(n, world.sound(decide)):
                return total
            inside_pay -= opening.minutes(m, world.sound(pay))
        return total - inside_pay
