"""Advisers that work nothing out: they propose steps, so that the safety of a conversation can be walked quickly.

A conversation asks its `Case` what to do next and how likely each fault is. What may be shown and how a job may end
must not hang on the answers, so here they are drawn by lot (`Drawn`) or stand fixed (`Few`). What was answered is
read and kept as ever.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable

from faultfinder.job.state import JobState
from faultfinder.job.told import take
from faultfinder.knowledge.model import Cause, Need, Observation, Pack, Question
from faultfinder.reasoning.case import Case, Outlook
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.step import Done, Step, StepKind, Why
from faultfinder.reasoning.evidence.changes import SoftEvidence
from faultfinder.reasoning.evidence.facts import possible

ELSE = 0.002
"""The chance of a fault that is not likely: so little that all of a pack together are not either."""
Item = Observation | Question
WorkOut = Callable[[JobState], Case]


class Proposer(Case):
    """A case whose chances and steps are not worked out. `draw` and `likely` say what they are instead."""

    def evidence(self) -> list[SoftEvidence]:
        return []

    @property
    def applicable(self) -> tuple[str, ...]:
        return ()  # Nothing is priced.

    def likely(self) -> frozenset[str]:
        """Causes that stand above even chance."""
        raise NotImplementedError

    def draw(self) -> list[Step]:
        """The steps, the first the best."""
        raise NotImplementedError

    def confidence(self) -> dict[str, float]:
        likely = self.likely() - set(self.repairs)
        return {name: 0.9 if name in likely else ELSE for name in self.pack.causes}

    def found(self) -> dict[str, float]:
        likely = self.likely()
        return {name: 0.9 if name in likely else ELSE for name in self.pack.causes}

    def prior(self) -> dict[str, float]:
        return dict.fromkeys(self.pack.causes, ELSE)

    def states(self) -> dict[str, float]:
        return {}

    def explanations(self, count: int = 3) -> list[tuple[frozenset[str], float]]:
        return [(self.likely(), 0.5)]

    def outlook(self, names: Iterable[str] | None = None) -> Outlook:
        return {}

    def weighing(self) -> None:
        return None

    def steps(self) -> tuple[Step, ...]:
        if self._steps is None or self._steps[0] != self.unreachable:
            steps = [Step(StepKind.HAND_OVER, self.pack.name, self.outside, self.access, 0.0, 0.0)]
            self._steps = self.unreachable, tuple(steps if self.outside else self.draw())
        return self._steps[1]

    @property
    def done(self) -> Done | None:
        if self.outside:
            return Done(Why.OUTSIDE, say=self.outside)
        found = tuple(name for name, chance in self.found().items() if chance > FOUND)
        return (
            None
            if self.steps()
            else Done(Why.NOTHING_WORTH, found, not_looked_at=tuple(self.pack.causes)[-2:])
        )

    def ask_for(self, item: Item, kind: StepKind = StepKind.ASK) -> Step:
        return Step(kind, item.id, item.ask, self.access, item.minutes, 10.0)

    def mend(self, cause: Cause) -> Step:
        kind = StepKind.HAND_OVER if cause.hand_to else StepKind.PUT_RIGHT
        return Step(kind, cause.id, cause.remedy, self.access, cause.minutes, 10.0)

    def proofs(self) -> list[Step]:
        return [
            self.ask_for(self.pack.observations[name], StepKind.PROVE)
            for name in self.to_prove
            if self.askable(self.pack.observations[name]) and self.available(self.pack.observations[name])
        ]


class Drawn(Proposer):
    """Steps and likely faults drawn by lot: the same for the same seed and the same answers."""

    seed: int = 0
    heedless: bool = False
    """Proposes what cannot be had, too: access out of reach, a remedy that was done."""

    def likely(self) -> frozenset[str]:
        # The same over the whole job, as the faults of a machine are; most often one or none.
        choose = random.Random(self.seed)
        return frozenset(choose.sample(list(self.pack.causes), choose.choice((0, 0, 1, 1, 2, 4))))

    def draw(self) -> list[Step]:
        choose = random.Random(f"{self.seed} {len(self._given)} {len(self.repairs)} {self.access}")
        if choose.random() < 0.06:
            return []
        pack = self.pack
        items = choose.sample([*pack.observations.values(), *pack.questions.values()], 12)
        # Work at the machine is what the walk is about: what is told over the telephone comes seldom.
        items = [item for item in items if item.need is not Need.ANYWHERE or choose.random() < 0.2]
        steps = [
            self.ask_for(item)
            for item in items
            if self.askable(item) and (self.heedless or self.available(item))
        ]
        causes = choose.sample(list(pack.causes.values()), 3) + [
            pack.causes[n] for n in sorted(self.likely())
        ]
        steps += [
            self.mend(cause)
            for cause in causes
            if self.heedless or (cause.id not in self.repairs and possible(cause.applies, self.facts))
        ]
        choose.shuffle(steps)
        proofs = self.proofs()
        return [*proofs, *steps] if choose.random() < 0.5 else [*steps, *proofs]


class Few(Proposer):
    """Always the same few steps, one of each kind that safety tells apart: for walks that try everything."""

    def likely(self) -> frozenset[str]:
        return frozenset()

    def draw(self) -> list[Step]:
        asked = [self.ask_for(item) for item in self._items() if self.askable(item) and self.available(item)]
        mended = [
            self.mend(cause)
            for cause in representative_causes(self.pack)
            if cause.id not in (*self.repairs, *self.declined) and possible(cause.applies, self.facts)
        ]
        return [*mended, *asked]

    def _items(self) -> list[Item]:
        return [item for item in representative_items(self.pack) if item.id not in self.declined]


def representative_items(pack: Pack) -> list[Item]:
    """An observation or question of each need: without danger, and with a danger sign where there is one."""
    items: list[Item] = [*pack.observations.values(), *pack.questions.values()]
    first: dict[tuple[Need, bool], Item] = {}
    for item in items:
        free = not item.applies and not item.only_if
        if free and item.need is not Need.ANYWHERE:
            first.setdefault((item.need, bool(getattr(item, "danger", None))), item)
    return list(first.values())


def representative_causes(pack: Pack) -> list[Cause]:
    """A cause of each kind of remedy: its need, whether it touches electrical parts, whether it is handed over."""
    first: dict[tuple[Need, bool, bool], Cause] = {}
    for cause in pack.causes.values():
        if not cause.applies and not cause.after_our_work:
            first.setdefault((cause.remedy_need, cause.touches_electrics, bool(cause.hand_to)), cause)
    return list(first.values())


def drawn(seed: int, *, heedless: bool = False) -> WorkOut:
    """A way to work out cases with steps drawn by this seed."""

    def work_out(job: JobState) -> Case:
        case = Drawn(job.pack, meter=job.meter)
        case.seed, case.heedless = seed, heedless
        return _told(case, job)

    return work_out


def few(job: JobState) -> Case:
    """A case with the few fixed steps."""
    return _told(Few(job.pack, meter=job.meter), job)


class Unadvised(Case):
    """The real chances, and no step worth doing: quick where only what was found matters."""

    def steps(self) -> tuple[Step, ...]:
        return ()


def unadvised(job: JobState) -> Case:
    """A case with the real chances and no steps."""
    return _told(Unadvised(job.pack, meter=job.meter), job)


def _told(case: Case, job: JobState) -> Case:
    for given in job.given:
        take(case, given)
    case.access = job.gate.access
    return case
