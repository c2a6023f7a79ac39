"""What a complaint raises by itself: "it stops part way" is heard out ("does it run again after a rest?") before
anything is looked at; "the RCD trips" is measured at the plug before anything is opened."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from faultfinder.knowledge.model import Kind, Need, Observation
from faultfinder.reasoning.decision.expected_loss import Price
from faultfinder.reasoning.decision.imagined import Imagined
from faultfinder.reasoning.decision.step import Step
from faultfinder.reasoning.decision.test_selection import made_anyway, pay_by_themselves
from faultfinder.reasoning.inference.assessment import Assessment


def follow_ups(case: Assessment, imagined: Imagined, price: Mapping[str, Price]) -> list[Step]:
    """Questions from memory that are asked only after something that was complained of, where the answer would change
    what is done; most gain first. They come before whatever else pays: a plan is indifferent to the order of what it
    asks anyway, and a person who has just said what is wrong is asked about that."""
    names = {name for name, item in case.pack.observations.items() if _follows(case, item)}
    if not names or case.repairs:
        return []
    return pay_by_themselves(case, imagined, price, lambda look: look.target in names)


def _follows(case: Assessment, item: Observation) -> bool:
    """Whether it can be asked from memory, and only because of what was complained of."""
    if item.kind is not Kind.TOLD or item.need is not Need.ANYWHERE or not item.only_if:
        return False
    gates = [case.latest(gate) for gate in item.only_if]
    return any(given is not None and given.complaint for given in gates) and case.offers(item)


def measured_first(case: Assessment) -> list[Step]:
    """What the rules have measured or looked at first after what was answered, whatever the plan prices: at most one
    step for each answer, none once something was put right."""
    out: dict[str, Step] = {}
    for name in () if case.repairs else dict.fromkeys(given.observation for given in case.answers):
        item = case.pack.observations[name]
        given = case.latest(name)
        if item.measure_first and given is not None:
            left = _not_made(case, item.measure_first.get(case.judged(given).answer, ()))
            if left:
                out.setdefault(left, made_anyway(case, case.pack.observations[left]))
    return list(out.values())


def _not_made(case: Assessment, names: Sequence[str]) -> str:
    """The first of the names that is still to be made and can be; empty where one before it was not healthy."""
    for name in names:
        item = case.pack.observations[name]
        given = case.latest(name)
        if given is not None:
            if case.amiss(given):
                return ""
        elif case.offers(item):
            return name
    return ""
