"""What one test saves by itself: if it is made, and one stops after it whatever it showed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from faultfinder.knowledge.model import Need
from faultfinder.reasoning import constants
from faultfinder.reasoning.decision.access_cost import Way
from faultfinder.reasoning.decision.world import Look, Situation, World


class Weighed(NamedTuple):
    """A test by itself, in minutes summed over the machines. gain: saved beyond what it takes. rate: saved for each
    minute that it takes once one is there. parts: the machines of each answer."""

    gain: float
    rate: float
    look: Look
    parts: tuple[int, ...]


def weigh(
    world: World, at: Situation, looks: Sequence[Look], count: int
) -> tuple[list[Weighed], tuple[int, ...]]:
    """Each test by itself on the machines that decide, and the losses that matter there. count: of all machines."""
    here = at.decide
    n = here.bit_count()
    # Where one stands now every cause is weighed, on the way to the end those with most at stake.
    stakes = _Stakes(world, here, n, at.live, len(world.losses) if n == count else constants.FOLLOWED)
    stop = stakes.saved(n, stakes.counts, here, at.standing.opening)
    ways: dict[Need, tuple[Way | None, float, float]] = {}
    out = []
    for look in looks:
        if look.target in at.asked or look.bears.isdisjoint(stakes.numbers):
            continue
        parts = [(part.bit_count(), part) for cell in look.cells if (part := here & cell)]
        if len(parts) < 2:
            continue
        if len(parts) > 4:
            parts = _joined(parts, constants.FEW * count)
        if look.need not in ways:
            way = at.standing.way(look.need)
            there = at.standing.after(way)
            opening = there.opening
            saved = stop if there is at.standing else stakes.saved(n, stakes.counts, here, opening)
            ways[look.need] = opening, way.minutes(n, world.sound(here)), saved
        opening, price, saved = ways[look.need]
        parts.sort()
        after = stakes.after(parts, opening)
        own = look.minutes * n
        rate = (after - saved) / (own + constants.TALK * n)
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

    def saved(self, size: int, counts: Sequence[int], part: int, opening: Way | None) -> float:
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

    def _behind(self, inside: float, size: int, part: int, opening: Way | None) -> float:
        """What is left of what is saved behind the covers once the way there is paid."""
        if opening is None:
            return inside
        inside -= opening.sure * size
        if opening.in_vain and inside > 0.0:
            inside -= opening.in_vain * (size - (part & self.inside).bit_count())
        return max(0.0, inside)

    def after(self, parts: Sequence[tuple[int, int]], opening: Way | None) -> float:
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

    def moved(each: Weighed) -> tuple[float, str]:
        total = 0.0
        for part in each.parts[:-1]:
            size = part.bit_count()
            for machines, p, stake in shares:
                total += stake * abs((part & machines).bit_count() - p * size)
        minutes = each.look.minutes + constants.TALK + at.standing.way(each.look.need).minutes(1, 1)
        return total / minutes, each.look.target

    lists = (
        sorted(found, key=lambda each: (-each.gain, each.look.target)),
        sorted(found, key=lambda each: (-each.rate, each.look.target)),
        sorted(found, key=moved, reverse=True),
    )
    in_turn = {each.look.target: each for three in zip(*lists, strict=True) for each in three}
    return list(in_turn.values())[:count]
