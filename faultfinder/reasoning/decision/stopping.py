"""Why there is nothing more to do: settled, nothing worth its minutes, or not decidable with what can be had here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from faultfinder.reasoning import constants
from faultfinder.reasoning.constants import FOUND, LEFT_OPEN
from faultfinder.reasoning.decision.expected_loss import Price
from faultfinder.reasoning.decision.scope import concerned, price_list
from faultfinder.reasoning.decision.step import Apart, Done, Step, Why
from faultfinder.reasoning.inference.assessment import Assessment


def done(case: Assessment, steps: Sequence[Step]) -> Done | None:
    """Why there is nothing more worth doing, or None while there is (`steps`: what is still worth doing).

    A cause that can burn or shock and stands above its threshold is always named: as found, as left unsettled, or
    as not looked at.
    """
    if case.outside:
        return Done(Why.OUTSIDE, say=case.outside)
    if steps:
        return None
    now, begin, price = case.confidence(), case.found(), price_list(case)
    found = tuple(sorted((name for name, p in begin.items() if p > FOUND), key=lambda name: -begin[name]))
    about = concerned(case)
    left = tuple(
        name
        for name, cost in price.items()
        if name in about and now[name] > LEFT_OPEN and cost.regret(now[name]) > constants.TALK
    )
    open_still = {name for name in found if name not in case.repairs}
    grave = tuple(
        name
        for name in price
        if case.pack.causes[name].hazard.grave
        and now[name] > constants.GRAVE_SETTLED
        and name not in left
        and name not in open_still
    )
    apart = _apart(case, left, price)
    why = Why.SETTLED if not left else Why.NOT_DECIDABLE if apart else Why.NOTHING_WORTH
    return Done(why, found, left, grave, apart, tuple(begin[name] for name in found))


def _apart(case: Assessment, left: Sequence[str], price: Mapping[str, Price]) -> tuple[Apart, ...]:
    """The causes left that something would tell apart that cannot be had here: left out by the person, without its
    instrument, or out of reach."""
    barred = [
        item.id
        for item in case.pack.observations.values()
        if case.askable(item)
        and not case.available(item)
        and any(case.bears_on(item.id, cause) for cause in left)
    ]
    outlook = case.outlook(barred)
    now = case.confidence()
    out = []
    for cause in left:
        cost = price[cause]
        regret = cost.regret(now[cause])
        telling = []
        for name, answers in outlook.items():
            after = sum(chance * cost.regret(chances[cause]) for chance, chances in answers.values())
            if regret - after > constants.TALK and after <= (1.0 - constants.HALF) * regret:
                telling.append((after, name))
        if telling:
            out.append(Apart(cause, tuple(name for _, name in sorted(telling))))
    return tuple(out)
