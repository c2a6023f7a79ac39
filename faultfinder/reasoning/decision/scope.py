"""What a job is about: the causes that its answers raised, and what it would cost to be wrong about each."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from faultfinder.knowledge.model import Cause, Kind
from faultfinder.reasoning import constants
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.expected_loss import Price, price_of
from faultfinder.reasoning.inference.assessment import Assessment


def price_list(case: Assessment) -> dict[str, Price]:
    """The price of being wrong for each cause that is possible now; a remedy for nothing costs its proof as well.
    Nothing is put right a second time without something seen or measured since that shows it, nor a third time."""
    found = {}
    for name in case.applicable:
        cause = case.pack.causes[name]
        cost, proof = price_of(cause), sum(case.pack.observations[each].minutes for each in cause.proof)
        found[name] = replace(cost, for_nothing=cost.for_nothing + proof)
    for name in set(case.repairs) & found.keys():
        again = _shown_since(case, name) and case.remedies.count(name) < constants.TIMES
        found[name] = replace(found[name], least=FOUND if again else math.inf)
    return found


def _shown_since(case: Assessment, name: str) -> bool:
    """Whether something looked at or measured after the cause was put right shows it again."""
    since, cause = case.last_put_right(name), case.pack.causes[name]
    return any(
        given.epoch >= since
        and given.kind is not Kind.TOLD
        and given.observation in (*cause.shows, *cause.proof)
        and case.amiss(given)
        for given in case.answers
    )


def while_complaints_stand(case: Assessment, price: Mapping[str, Price]) -> dict[str, Price]:
    """The prices by which steps are chosen: dearer to miss where the cause would explain a complaint that stands, and
    so is the second visit after a part that was for nothing. Where one is taken as there that explains it, it is that
    one alone: with it the complaint goes."""
    now = case.confidence()
    explaining = set[str]()
    for symptom in complaints_standing(case):
        behind = case.behind(symptom)
        explaining |= {name for name in behind if now.get(name, 0.0) > FOUND} or behind
    return {
        name: _for_certain(cost, case.pack.causes[name]) if name in explaining else cost
        for name, cost in price.items()
    }


def to_mend_by(case: Assessment, price: Mapping[str, Price]) -> dict[str, Price]:
    """The prices by which it is decided what is put right: what is taken as there while a complaint stands at that
    price, what is less likely at its own. A complaint is a reason to look, none to guess."""
    now, dearer = case.confidence(), while_complaints_stand(case, price)
    return {name: dearer[name] if now.get(name, 0.0) > FOUND else cost for name, cost in price.items()}


def _for_certain(cost: Price, cause: Cause) -> Price:
    """The price where whoever is left with it calls again for certain."""
    visit = constants.STANDING * cause.if_missed
    again = visit - cause.if_missed if cause.part_costs else 0.0
    return replace(cost, missed=max(cost.missed, visit), for_nothing=cost.for_nothing + again)


def complaints_standing(case: Assessment) -> list[str]:
    """Symptoms that are complained of now; not what only sets the scene."""
    latest = {given.observation: case.latest(given.observation) or given for given in case.answers}
    items = case.pack.observations
    return [
        name
        for name, given in latest.items()
        if items[name].symptom and not items[name].sets_the_scene
        # One that was told before something was changed may be gone: it is asked again first.
        if not case.askable(items[name]) and case.amiss(given)
    ]


def raised(case: Assessment) -> set[str]:
    """Causes that the answers have made clearly likelier than they are on any machine of this kind."""
    now, before = case.confidence(), case.base_rates()
    return {name for name, p in now.items() if p > constants.RAISED * before[name]}


def concerned(case: Assessment) -> set[str]:
    """Causes that steps are chosen for: what is likelier than it was before anybody said anything. The others stand
    where they stood before anybody complained."""
    now, before = case.confidence(), case.prior()
    return {name for name, p in now.items() if p > constants.CONCERNED * before[name]}
