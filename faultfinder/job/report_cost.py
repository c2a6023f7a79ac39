"""What the fault was costing in energy and money, and when to look again by how much the machine is used.

Only where the rules say so: a reading's `one_use_kwh` gives the energy of one use, a cause's `look_again` the uses
after which to look again; the facts `uses_a_week` and `price_a_kwh` (money of the customer's country) do the rest.
A figure that is not in the record is never made up: without a reading that the expression names, nothing is said.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

from faultfinder.errors import FaultFinderError
from faultfinder.job.report_parts import Cost, Measured, Service, Taken
from faultfinder.job.report_walk import Walked
from faultfinder.knowledge.bands import expected_value, fact_values, numbers_of
from faultfinder.knowledge.expression import parse
from faultfinder.knowledge.model import Observation
from faultfinder.reasoning.case import Case
from faultfinder.trade.energy_cost import cost_a_year, wasted_kwh

USES_A_WEEK, PRICE_A_KWH = "uses_a_week", "price_a_kwh"
"""Facts that a pack may declare for this: numbers without a unit."""
WEEKS_A_YEAR = 365.25 / 7
LEAST_KWH = 0.005
"""Less than this too much for one use is not told; it would show as nothing. Chosen."""
LONGEST_YEARS = 20
"""A date further off than this is not told; chosen."""


def costs(case: Case, readings: Sequence[Measured]) -> tuple[Cost, ...]:
    """For each reading as found that is not healthy and gives an energy: what one use took too much."""
    by_id = {item.observation: item for item in readings}
    found = [_cost(case, item, by_id) for item in readings]
    return tuple(cost for cost in found if cost is not None)


def _cost(case: Case, item: Measured, readings: Mapping[str, Measured]) -> Cost | None:
    observation = case.pack.observations[item.observation]
    spec = observation.reading
    before = [take for take in item.counted if take.works == 0 and _figure(take) is not None]
    if spec is None or not spec.one_use_kwh or not before or before[-1].healthy:
        return None
    after = [t for t in item.counted if t.works > 0 and t.healthy and _figure(t) is not None]
    try:
        slow = _one_use(case, observation, before[-1], readings)
        healthy = _one_use(case, observation, after[-1] if after else None, readings)
        if slow is None or healthy is None:
            return None
        extra = wasted_kwh(slow, healthy)
        if extra < LEAST_KWH:
            return None
        return _a_year(case, Cost(item.observation, item.title, slow, healthy, extra, bool(after)))
    except FaultFinderError:
        return None


def _one_use(
    case: Case, observation: Observation, take: Taken | None, readings: Mapping[str, Measured]
) -> float | None:
    """Energy of one use in kWh with the machine as at that take; None: as a healthy one ought to be."""
    assert observation.reading is not None
    expression = parse(observation.reading.one_use_kwh)
    facts = fact_values(case.pack, case.facts)
    numbers = numbers_of(observation, facts)
    own = _figure(take) if take else expected_value(observation, facts)
    if own is None:
        return None
    numbers["reading"] = own
    for name in expression.names:
        if name in numbers or name not in case.pack.observations:
            continue
        value = _other(case, name, take, readings)
        if value is None:
            return None
        numbers[name] = value
    value = expression.evaluate(numbers)
    return value if math.isfinite(value) and value >= 0.0 else None


def _other(case: Case, name: str, take: Taken | None, readings: Mapping[str, Measured]) -> float | None:
    """Another reading at the same time: as found it must have been taken, later what is healthy stands in for it."""
    observation = case.pack.observations[name]
    if observation.reading is None:
        return None
    taken = readings[name].counted if name in readings else ()
    if take is not None:
        same = [each for each in taken if (each.works == 0) == (take.works == 0)]
        figures = [figure for each in same if (figure := _figure(each)) is not None]
        if figures or take.works == 0:
            return figures[-1] if figures else None
    return expected_value(observation, fact_values(case.pack, case.facts))


def _figure(take: Taken) -> float | None:
    return take.value if take.value is not None and math.isfinite(take.value) else None


def _a_year(case: Case, cost: Cost) -> Cost:
    week, week_assumed = _fact(case, USES_A_WEEK)
    price, price_assumed = _fact(case, PRICE_A_KWH)
    if week is None:
        return cost
    uses = week * WEEKS_A_YEAR
    return Cost(
        cost.observation,
        cost.title,
        cost.slow_kwh,
        cost.healthy_kwh,
        cost.extra_kwh,
        cost.measured,
        week=week,
        week_assumed=week_assumed,
        kwh_a_year=cost.extra_kwh * uses,
        price=price,
        price_assumed=price_assumed,
        money_a_year=None if price is None else cost_a_year(cost.extra_kwh, uses, price),
    )


def _fact(case: Case, name: str) -> tuple[float | None, bool]:
    """A number fact and whether it is assumed; None where nobody said it and the rules assume nothing."""
    value = fact_values(case.pack, case.facts).get(name)
    if not isinstance(value, int | float):
        return None, False
    return float(value), name not in case.facts


def service(case: Case, walked: Walked, causes: Sequence[str]) -> tuple[Service, ...]:
    """When to look again for what was found, soonest first."""
    week, assumed = _fact(case, USES_A_WEEK)
    out = []
    for name in dict.fromkeys(causes):
        cause = case.pack.causes[name]
        if cause.look_again > 0.0:
            by = _date_after(walked.ended, cause.look_again, week)
            out.append(Service(name, cause.title, cause.look_again, week, assumed, by))
    return tuple(sorted(out, key=lambda item: item.uses))


def _date_after(at: str, uses: float, week: float | None) -> str:
    """The ISO date so many uses after a time of the record; empty where that cannot be said."""
    if not week:
        return ""
    try:
        start: date = datetime.fromisoformat(at).date()
    except ValueError:
        return ""
    days = 7 * uses / week
    return (start + timedelta(days=days)).isoformat() if days <= 366 * LONGEST_YEARS else ""
