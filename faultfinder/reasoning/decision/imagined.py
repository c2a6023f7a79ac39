"""The imagined machines of a case as the planner wants them: what hangs on each cause, what each test would show.

All is drawn when it is asked for: the answers of a test, and what becomes of the machines when something is
put right.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import cached_property, reduce
from operator import or_
from typing import NamedTuple

from faultfinder.knowledge.model import Cause, Need, Observation, Question
from faultfinder.reasoning import constants
from faultfinder.reasoning.decision.expected_loss import Price
from faultfinder.reasoning.decision.parts import put_together
from faultfinder.reasoning.decision.world import NOTHING, Look, Loss, Remedy, World
from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.reasoning.inference.assessment import Assessment
from faultfinder.reasoning.inference.chance import Chance
from faultfinder.reasoning.inference.drawing import (
    as_said,
    draw_answers_again,
    draw_nodes,
    draw_pushes,
    highest,
)
from faultfinder.reasoning.inference.network import Finding


class _Pushes(NamedTuple):
    """Where an observation is pushed to each level or above, by its background and by each cause and state; wrong:
    the machines on which another answer than the true one would be given."""

    background: Sequence[int]
    by_source: Mapping[str, Sequence[int]]
    wrong: int


class Imagined:
    """The machines of a case, before and after remedies: what is present on each, and what each would show."""

    def __init__(self, case: Assessment) -> None:
        """Nothing is drawn before it is asked for: many a turn has something to prove and asks for nothing."""
        self.case, self.count = case, constants.MACHINES
        self.full = (1 << self.count) - 1
        """All machines."""
        self.behind = case.links.behind
        """Observation -> the causes and states that can show in it."""
        self._whole: dict[frozenset[str], frozenset[str]] = {}
        self._cells: dict[tuple[str, frozenset[str]], tuple[int, ...]] = {}
        self._pushed: dict[str, _Pushes] = {}

    @cached_property
    def _seed(self) -> str:
        """What the draw hangs on: all that counts as evidence, in whatever order it came."""
        case = self.case
        answers = sorted(
            (item.observation, item.epoch, item.likelihood, item.complaint) for item in case.evidence()
        )
        return f"{answers} {case.repairs} {sorted(case.facts.items(), key=str)}"

    def _chance(self, what: str) -> Chance:
        """To draw with, the same for the same `what` in whatever order things are drawn."""
        return Chance(self.count, f"{what} {self._seed}")

    @cached_property
    def _present(self) -> dict[frozenset[str], Mapping[str, int]]:
        """What `present` has worked out so far; at first the machines as they are, drawn from the posterior."""
        mixture = self.case.mixture()
        masks = draw_nodes(mixture.for_drawing(), Chance(self.count, self._seed))
        nodes = {**mixture.built.now, **mixture.built.states_now}
        return {NOTHING: {name: masks[node] for name, node in nodes.items()}}

    @cached_property
    def _given(self) -> Mapping[str, Likelihood]:
        """The likelihood of what was answered on the machine as it is now."""
        built = self.case.mixture().built
        weights = built.evidence_at(self.case.error_rate)
        return {
            name: weights[finding]
            for (name, epoch), finding in built.findings.items()
            if epoch == self.case.epoch and finding in weights
        }

    def present(self, mended: frozenset[str] = NOTHING) -> Mapping[str, int]:
        """For each cause and state the machines on which it is present once these causes were put right.

        As for a case (unrolling.py): a remedy takes with its chance; a state that one of them may have brought about
        is worked out anew from what is left; nothing else changes.
        """
        if (mended := self._with_the_rest(mended)) in self._present:
            return self._present[mended]
        chance, causes = self._chance(f"{sorted(mended)}"), self.case.pack.causes
        now = dict(self._present[NOTHING])
        touched = set(mended)
        for name in sorted(mended):
            now[name] = chance.part(now.get(name, 0), 1.0 - causes[name].takes)
        for name in self.case.links.order:
            state = self.case.pack.states.get(name)
            if state is None or touched.isdisjoint(state.brought_on_by):
                continue
            touched.add(name)
            mask = 0
            for bringer, weight in state.brought_on_by.items():
                mask |= chance.part(now.get(bringer, 0), weight)
            now[name] = mask
        self._present[mended] = now
        return now

    def _with_the_rest(self, mended: frozenset[str]) -> frozenset[str]:
        """These causes with what their remedies put right as well."""
        if mended not in self._whole:
            also = [self.case.pack.causes[name].also_mends for name in mended]
            self._whole[mended] = mended.union(*also)
        return self._whole[mended]

    def cells(self, name: str, mended: frozenset[str] = NOTHING) -> tuple[int, ...]:
        """For each answer to an observation the machines that would give it once these causes were put right; where
        that changes nothing and it was answered already, were it taken again."""
        touching = self._with_the_rest(mended) & self.behind[name]
        key = name, touching
        if key not in self._cells:
            given = None if touching else self._given.get(name)
            if given is None:
                self._cells[key] = self._drawn(name, touching)
            else:
                self._cells[key] = self._drawn_again(name, given)
        return self._cells[key]

    def _drawn(self, name: str, mended: frozenset[str]) -> tuple[int, ...]:
        """What would be answered. Who errs, and what a cause that is still there shows, is the same on a machine
        before and after a remedy."""
        there = self.present(mended)
        now = {by: there.get(by, 0) for by, _ in self.case.links.pushed_by[name]}
        before = self._pushes(name)
        chance = self._chance(f"{name} {sorted(mended)}")
        pushes = [before.background]
        for by, shares in self.case.links.pushed_by[name]:
            if not now[by] & ~self._present[NOTHING].get(by, 0):
                pushes.append([mask & now[by] for mask in before.by_source[by]])
            else:
                # A state that was worked out anew.
                pushes.append(draw_pushes(now[by], shares, chance))
        return as_said(highest(pushes, self.full), before.wrong, chance)

    def _pushes(self, name: str) -> _Pushes:
        if name not in self._pushed:
            item, there = self.case.pack.observations[name], self._present[NOTHING]
            chance = self._chance(name)
            self._pushed[name] = _Pushes(
                draw_pushes(self.full, item.background, chance),
                {
                    by: draw_pushes(there.get(by, 0), shares, chance)
                    for by, shares in self.case.links.pushed_by[name]
                },
                chance.mask(1.0 - self._right(item)),
            )
        return self._pushed[name]

    def _drawn_again(self, name: str, given: Likelihood) -> tuple[int, ...]:
        """What would be answered were an observation taken again."""
        item, there = self.case.pack.observations[name], self._present[NOTHING]
        pushing = [(there[by], shares) for by, shares in self.case.links.pushed_by[name] if there.get(by)]
        finding = Finding(item.background, tuple((k, shares) for k, (_, shares) in enumerate(pushing)))
        masks = [mask for mask, _ in pushing]
        return draw_answers_again(finding, given, self._right(item), masks, self._chance(name))

    def _right(self, item: Observation) -> float:
        """The chance that the true answer is given, by somebody who errs as often as it seems."""
        if item.reliability >= 1.0:
            return item.reliability
        rate, others = self.case.error_rate, len(item.answers) - 1
        return (1.0 - rate) * item.reliability + rate * (1.0 - item.reliability) / max(1, others)

    def behind_any(self, name: str) -> float:
        """The chance that something is there that can show in an observation."""
        return having(self.behind[name], self.present()).bit_count() / self.count

    def after(self, name: str, cause: str) -> list[tuple[int, int]]:
        """For each answer to an observation, on how many machines it is given and on how many of these the
        cause is."""
        there = self.present().get(cause, 0)
        return [(cell.bit_count(), (cell & there).bit_count()) for cell in self.cells(name) if cell]


def having(names: Iterable[str], there: Mapping[str, int]) -> int:
    """The machines on which one of these causes and states at least is present."""
    return reduce(or_, [there.get(name, 0) for name in names], 0)


def is_inside(cause: Cause) -> bool:
    """Whether the cause is put right here with the covers off."""
    return cause.remedy_need is Need.OPEN_DEAD and not cause.hand_to


class Worlds:
    """The imagined machines of a choice about some causes, before and after remedies, made when asked for."""

    def __init__(
        self, imagined: Imagined, price: Mapping[str, Price], again: Collection[str] = NOTHING
    ) -> None:
        """price: of the causes that the choice is about. again: observations answered already that may be taken once
        more."""
        self._retaken = again
        self.imagined, self.case = imagined, imagined.case
        self._together = put_together(self.case, price)
        self._numbers = {name: at for at, each in enumerate(self._together) for name in each.causes}
        self._made: dict[frozenset[str], World] = {}
        self._shows: dict[str, frozenset[str]] = {}
        self.followed = frozenset[str]()
        """What is asked on the way to the end, once the planner has chosen it."""
        self._answered = frozenset(given.observation for given in self.case.answers)
        causes = self.case.pack.causes
        self._inside = having((name for name in causes if is_inside(causes[name])), imagined.present())

    def __call__(self, mended: frozenset[str]) -> World:
        """The machines with these causes put right."""
        if mended not in self._made:
            self._made[mended] = self._make(mended)
        return self._made[mended]

    def _make(self, mended: frozenset[str]) -> World:
        causes = self.case.pack.causes
        losses, remedies, there = [], [], self.imagined.present(mended)
        for number, each in enumerate(self._together):
            cause, price = causes[each.leader], each.price
            machines = having(each.causes, there)
            lost, inside = (price.missed, price.for_nothing), is_inside(cause)
            losses.append(Loss(cause.id, machines, each.chance, *lost, price.least, inside, each.mended_by))
            if machines and cause.id not in mended and self._can_mend(cause):
                likely, shown = price.pays(each.chance), self._shown_in(cause.id)
                remedies.append(Remedy(cause.id, number, cause.remedy_need, shown, likely))
        items: list[Observation | Question] = [
            *self.case.pack.observations.values(),
            *self.case.pack.questions.values(),
        ]
        anew = frozenset[str]().union(*(self._shown_in(name) for name in mended))
        if mended:
            kept = self.followed | (anew & self._answered)
            items = [item for item in items if item.id in kept]
        looks = [self._look(item, mended, anew) for item in items if self.case.available(item)]
        return World(
            tuple(losses), tuple(look for look in looks if look is not None), tuple(remedies), self._inside
        )

    def _look(
        self, item: Observation | Question, mended: frozenset[str], anew: Collection[str]
    ) -> Look | None:
        """A test of what can be asked now or could once these causes were put right; None for what bears on
        nothing."""
        if not (self.case.askable(item) or item.id in anew or item.id in self._retaken):
            return None
        if isinstance(item, Question):
            every = [self.case.pack.observations[name] for name in item.observations]
            names = [each.id for each in every if self.case.askable(each)]
        else:
            names = [item.id]
        behind = frozenset[str]().union(*(self.imagined.behind[name] for name in names))
        bears = frozenset(self._numbers[name] for name in behind & self._numbers.keys())
        if not bears:
            return None
        need = (
            Need.IN_USE if mended and item.symptom and item.need is Need.ANYWHERE else self.case.need_of(item)
        )
        cells = self._all_of([self.imagined.cells(name, mended) for name in names])
        return Look(item.id, cells, item.minutes, need, bears)

    def _all_of(self, each: Sequence[tuple[int, ...]]) -> tuple[int, ...]:
        """What several observations show together, what is rare left whole."""
        parts, least = [cell for cell in each[0] if cell], constants.SPLIT * self.imagined.count
        for cells in each[1:]:
            split = []
            for part in parts:
                if part.bit_count() < least:
                    split.append(part)
                else:
                    split += [both for cell in cells if (both := part & cell)]
            parts = split
        return tuple(parts)

    def _can_mend(self, cause: Cause) -> bool:
        """Whether it could be put right here and by this person."""
        declined = cause.id in self.case.declined or cause.remedy_need in self.case.unreachable
        return not declined and not cause.hand_to

    def _shown_in(self, name: str) -> frozenset[str]:
        """The observations that may show something else once the cause, and what its remedy also mends, is put
        right."""
        if name not in self._shows:
            mended = {name, *self.case.pack.causes[name].also_mends}
            self._shows[name] = frozenset(
                each for each, shown in self.case.links.shown.items() if not mended.isdisjoint(shown)
            )
        return self._shows[name]
