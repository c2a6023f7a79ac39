"""Ways of working through a job: the tool's own, a fixed check list, chance, and somebody who knows the faults.

The check list and chance replace only the choice of the next test. When to put something right, when there is
nothing more worth asking, and what proves a repair stay the tool's, so that all are held to one standard.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from faultfinder.knowledge.model import Observation, Question
from faultfinder.practice.technician import MOST_STEPS, Work
from faultfinder.reasoning.decision.advice import steps
from faultfinder.reasoning.decision.step import Stage, Step, StepKind

Choose = Callable[[Work, list[Step]], str]
"""Picks the next test when the tool would ask something: the target of one, or empty for the tool's own."""
MOST_CLOSINGS = 6


def offered(work: Work) -> list[Step]:
    """The steps that the tool offers and that were not declined, changes of access left out."""
    return [
        step
        for step in steps(work.case)
        if step.target not in work.declined and step.kind is not StepKind.CHANGE_ACCESS
    ]


def the_tools(work: Work, found: list[Step]) -> str:
    """The tool's own choice: what gains most."""
    return found[0].target


@dataclass
class CheckList:
    """The next thing of a list that can be asked and was not yet; the tool's own once the list is at its end."""

    order: tuple[str, ...]

    def __call__(self, work: Work, found: list[Step]) -> str:
        pack = work.state.pack
        for target in self.order:
            item = pack.questions.get(target) or pack.observations[target]
            if can_ask(work, item):
                return target
        return ""


@dataclass
class AtRandom:
    """Anything that can be asked, any alike."""

    chance: random.Random

    def __call__(self, work: Work, found: list[Step]) -> str:
        pack = work.state.pack
        able = [item.id for item in pack.observations.values() if can_ask(work, item)]
        return self.chance.choice(able) if able else ""


def can_ask(work: Work, item: Observation | Question) -> bool:
    """Whether it applies, was not answered since something was changed, and its access can be had."""
    return work.case.askable(item) and work.case.available(item)


LOOK_EVERY = 3
"""A check list or chance looks up at the tool's judgement (stop, put right) after every abnormal answer, and after
so many healthy ones; chosen, to save time."""


def work_through(work: Work, choose: Choose) -> Work:
    """Work to the end of the job: ask, put right, prove, look at the complaint again, close."""
    closings, blind = 0, 0
    blindly = isinstance(choose, CheckList | AtRandom)
    while work.state.closed is None:
        if work.state.gate.stop or work.steps >= MOST_STEPS or closings >= MOST_CLOSINGS:
            # Nothing more to look at again: it is closed as it stands.
            work.close(last=True)
            break
        if blind > 0:
            blind -= 1
            target = choose(work, [])
            if target and not _abnormal(work, target):
                continue
            blind = 0
        found = offered(work)
        if not found:
            closings += 1
            work.close()
            continue
        step = found[0]
        match step.kind:
            case StepKind.PUT_RIGHT:
                work.put_right(step.target)
            case StepKind.HAND_OVER:
                work.hand_over(step.target)
            case StepKind.PROVE:
                work.ask(step.target)
            case _:
                asks = [each for each in found if each.kind is StepKind.ASK]
                # Where the tool has ended its search, what it still looks at belongs to the standard of stopping.
                ended = step.stage is not Stage.SEARCH
                target = asks[0].target if ended else choose(work, asks) or asks[0].target
                # The last round is made whatever it saves.
                worth = next((each.worth for each in asks if each.target == target and not each.last), 0.0)
                if not _abnormal(work, target, worth) and blindly and not ended:
                    blind = LOOK_EVERY - 1
    return work


def _abnormal(work: Work, target: str, worth: float = 0.0) -> bool:
    """Ask it; whether anything but healthy came out."""
    before = len(work.state.given)
    work.ask(target, worth)
    for given in work.state.given[before:]:
        if given.kind != "answer":
            continue
        question = work.state.pack.questions.get(given.name)
        for name in question.observations if question else (given.name,):
            latest = work.case.latest(name)
            if latest and work.case.judged(latest).answer != work.state.pack.observations[name].healthy:
                return True
    return False


def knowing(work: Work) -> Work:
    """Put right what is there and nothing else, prove it, close: the least that can be done."""
    causes = work.state.pack.causes
    for fault in sorted(work.machine.faults, key=lambda fault: causes[fault.cause].remedy_need.value):
        if causes[fault.cause].hand_to:
            work.hand_over(fault.cause)
        else:
            work.put_right(fault.cause)
    for _ in range(20):
        proofs = [step for step in offered(work) if step.kind is StepKind.PROVE] if work.mended else []
        if not proofs:
            break
        work.ask(proofs[0].target)
    for last in (False, False, True):
        if work.state.closed is None:
            work.close(last=last)
    return work
