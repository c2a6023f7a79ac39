"""What a job is about: the causes that its answers raised, and what it would cost to be wrong about each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from faultfinder.reasoning.decision.expected_loss import Price, may_be_a_guess, prices
from faultfinder.reasoning.inference.assessment import Assessment

FOUND = 0.5
"""A cause is named as found when it was likelier present than not."""
LEFT_OPEN = 0.05
"""A cause below this chance is not named as left unsettled unless it is grave; chosen."""
RAISED = 2.0
"""A cause counts as raised by the answers when its chance is this many times what it was before them; chosen."""
LIKELY, ABOVE_PRIOR = 0.15, 1.2
"""A likely cause counts as raised already when it is this many times what it was; chosen."""
STANDING = 3.0
"""How many times `if_missed` counts at least in the choice of tests while a complaint that the cause would explain
stands and nothing found explains it: who is left with it calls again for certain; chosen."""
COSTLY, BARELY_ABOVE = 8.0, 1.1
"""A cause that it would cost so many minutes to miss, in the mean, concerns the choice of steps already when it is
this many times what it was; chosen."""


def price_list(case: Assessment) -> dict[str, Price]:
    """The price of being wrong for each cause that is possible now."""
    begin = case.found() if case.repairs else {}
    for_nothing = sum(
        begin.get(name, 1.0) < FOUND and not may_be_a_guess(case.pack.causes[name])
        for name in dict.fromkeys(case.repairs)
    )
    return prices((case.pack.causes[name] for name in case.applicable), for_nothing)


def while_complaints_stand(case: Assessment, price: Mapping[str, Price]) -> dict[str, Price]:
    """The prices by which tests are chosen: dearer to miss where the cause would explain a complaint that stands."""
    explaining = frozenset[str]().union(*(case.behind(symptom) for symptom in _unexplained(case)))
    return {
        name: replace(cost, missed=max(cost.missed, STANDING * case.pack.causes[name].if_missed))
        if name in explaining
        else cost
        for name, cost in price.items()
    }


def _unexplained(case: Assessment) -> list[str]:
    """Symptoms that are complained of now and that no cause found explains; not what only sets the scene."""
    found = {name for name, p in case.confidence().items() if p > FOUND}
    out = []
    for name in dict.fromkeys(given.observation for given in case.answers):
        item, given = case.pack.observations[name], case.latest(name)
        if not item.symptom or item.sets_the_scene or given is None:
            continue
        # One that was told before something was changed may be gone: it is asked again first.
        stands = not case.askable(item) and case.judged(given).answer != item.healthy
        if stands and found.isdisjoint(case.behind(name)):
            out.append(name)
    return out


def raised(case: Assessment) -> set[str]:
    """Causes that the answers have made likelier than they are on any machine of this kind: what the job is
    about. The others stand where they stood before anybody complained."""
    now, before = case.confidence(), case.prior()
    return {
        name
        for name, p in now.items()
        if p > RAISED * before[name] or (p > LIKELY and p > ABOVE_PRIOR * before[name])
    }


def concerned(case: Assessment) -> set[str]:
    """Causes that steps are chosen for: what the answers raised, and what they raised a little and would cost
    much to miss."""
    now, before, causes = case.confidence(), case.prior(), case.pack.causes
    return raised(case) | {
        name
        for name, p in now.items()
        if p * causes[name].if_missed > COSTLY and p > BARELY_ABOVE * before[name]
    }
