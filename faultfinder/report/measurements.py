"""The readings of a job against their limits on this machine, what else was seen, and the facts behind both."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from faultfinder.errors import BadFact, FaultFinderError
from faultfinder.job.state import JobState
from faultfinder.knowledge.formulas.bands import expected_value, fact_values, facts_behind, limits, numbers_of
from faultfinder.knowledge.formulas.expression import parse
from faultfinder.knowledge.formulas.plate import contradictions, relied_on
from faultfinder.knowledge.model import Fact, Observation, answer_text
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.conflict import conflict
from faultfinder.reasoning.inference.reasons import Reason, reasons
from faultfinder.report.model import (
    Band,
    Cost,
    Evidence,
    FactLine,
    Measured,
    Possible,
    Seen,
    Service,
    Standing,
    Taken,
    Weight,
)
from faultfinder.report.timeline import Recorded, Walked
from faultfinder.text.catalogue import say
from faultfinder.text.format import format_quantity, lower, name_of
from faultfinder.trade.energy_cost import cost_a_year, wasted_kwh


def measured(case: Case, recorded: Sequence[Recorded]) -> tuple[Measured, ...]:
    """Every reading, in the order first taken, each with all its takes."""
    out = []
    for name, takes in _grouped(case, recorded):
        observation = case.pack.observations[name]
        if observation.reading is None:
            continue
        values = fact_values(case.pack, case.facts)
        try:
            bounds = limits(observation, values)
            expected = expected_value(observation, values)
        except BadFact:
            bounds, expected = [], None
        bands = tuple(
            Band(answer.id, answer_text(observation, answer.id), low, high)
            for answer, (low, high) in zip(observation.answers, bounds, strict=False)
        )
        stands_on = tuple(_stands_on(case, facts_behind(case.pack, observation, case.facts)))
        if expected is not None and not math.isfinite(expected):
            expected = None
        grave = any(cause.hazard.grave and name in cause.shows for cause in case.pack.causes.values())
        unit = observation.reading.unit
        out.append(Measured(name, observation.ask, unit, expected, bands, takes, stands_on, safety=grave))
    return tuple(out)


def seen(case: Case, recorded: Sequence[Recorded]) -> tuple[Seen, ...]:
    """Everything told, seen, heard or smelt, in the order first answered."""
    return tuple(
        Seen(name, observation.ask, observation.kind.value, observation.symptom, takes)
        for name, takes in _grouped(case, recorded)
        if (observation := case.pack.observations[name]).reading is None
    )


def _grouped(case: Case, recorded: Sequence[Recorded]) -> Iterable[tuple[str, tuple[Taken, ...]]]:
    counting = {(item.observation, item.epoch) for item in case.evidence()}
    works = len(case.remedies)
    by_name: dict[str, list[Taken]] = {}
    for item in recorded:
        by_name.setdefault(item.given.observation, []).append(_taken(case, item, counting, works))
    return ((name, tuple(takes)) for name, takes in by_name.items())


def _taken(case: Case, item: Recorded, counting: set[tuple[str, int]], works: int) -> Taken:
    given, source, reading = item.given, item.source, item.given.reading
    observation = case.pack.observations[given.observation]
    judged = case.judged(given)
    verdict = answer_text(observation, judged.answer)
    by_weight = sorted(zip(judged.weights, observation.answers, strict=True), key=lambda pair: -pair[0])
    replaced = not any(each is given for each in case.answers)
    beside = not replaced and case.given(given.observation, given.epoch) is not given
    return Taken(
        at=source.at,
        works=item.works,
        text=given.text if reading is not None else verdict,
        value=None if reading is None else math.inf if reading.over_range else reading.value,
        answer=judged.answer,
        verdict=verdict,
        healthy=judged.answer == observation.healthy,
        last=item.works == works,
        on_edge=judged.on_the_edge,
        second=answer_text(observation, by_weight[1][1].id) if judged.on_the_edge else "",
        doubt=judged.uncertainty,
        told=source.told,
        access=source.access,
        replaced=replaced,
        beside=beside,
        suspended=not replaced and (given.observation, given.epoch) not in counting,
        was=next((answer.text for answer in observation.answers if answer.id == source.was), source.was),
    )


# -- facts ----------------------------------------------------------------------------------------------


def fact_lines(state: JobState, case: Case, readings: Sequence[Measured]) -> tuple[FactLine, ...]:
    """The facts given, and those assumed that some reading's limits stand on."""
    pack = case.pack
    lines = [
        FactLine(name, fact.ask, fact_text(fact, case.facts[name]), True)
        for name, fact in pack.facts.items()
        if name in case.facts
    ]
    lines += [
        FactLine(name, name_of(name).capitalize(), name_of(value), True)
        for name, value in state.facts.items()
        if name not in pack.facts
    ]
    values = fact_values(pack, case.facts)
    behind = [
        name
        for item in readings
        for name in facts_behind(pack, pack.observations[item.observation], case.facts)
    ]
    lines += [
        FactLine(name, pack.facts[name].ask, fact_text(pack.facts[name], values[name]), False)
        for name in dict.fromkeys(behind)
        if name not in case.facts and name in values
    ]
    return tuple(lines)


def fact_text(fact: Fact, value: str | float) -> str:
    """A fact's value for people."""
    if fact.kind == "choice":
        return fact.choices.get(str(value), name_of(str(value)))
    if not isinstance(value, int | float):
        return str(value)
    return format_quantity(float(value), fact.unit) if fact.unit else f"{value:g}"


def _stands_on(case: Case, names: Iterable[str]) -> Iterable[tuple[str, bool]]:
    """The facts behind limits with their values, and whether each is assumed; one that others contradict, or that
    follows from others, says so."""
    values = fact_values(case.pack, case.facts)
    relied, _ = relied_on(case.pack, case.facts)
    for name in names:
        value, given = values.get(name), case.facts.get(name)
        if value is None:
            continue
        fact = case.pack.facts[name]
        text = _with_value(fact, value)
        followed = relied.facts[name] is not fact
        if given is not None and given != value:
            text = say("report_set_aside", fact=text, given=fact_text(fact, given))
        elif given is None and followed:
            text = say("worked_out", fact=text)
        yield text, given is None and not followed


def contradictions_told(case: Case) -> tuple[str, ...]:
    """Facts of the machine that do not go together, and which of them the limits stand on; a sentence or two each."""
    facts = case.pack.facts
    out = []
    for found in contradictions(case.pack, case.facts):
        told = (_with_value(facts[name], case.facts[name]) for name in (found.watts, *found.others))
        out.append(say("contradict", facts=", ".join(told), words=found.check.words))
    return tuple(out)


def _with_value(fact: Fact, value: str | float) -> str:
    return f"{lower(fact.ask.rstrip('?'))} {fact_text(fact, value)}"


# -- what the fault was costing, and when to look again --------------------------------------------------


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
    return replace(
        cost,
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


# -- what speaks for and against -------------------------------------------------------------------------


MOST = 8
"""Causes whose weights are shown; chosen."""
SETS = 3
Works = Mapping[tuple[str, int], int]
"""(observation, epoch) -> remedies carried out before."""


def evidence_of(
    case: Case,
    begin: Mapping[str, float],
    now: Mapping[str, float],
    found: Sequence[str],
    possible: Sequence[Possible],
    recorded: Sequence[Recorded],
) -> Evidence:
    """The weights for every cause found and then the likeliest others, at most MOST; two engine runs an answer."""
    names = list(dict.fromkeys([*found, *(item.cause for item in possible)]))[:MOST]
    prior = case.prior()
    works = {(item.given.observation, item.given.epoch): item.works for item in recorded}
    standings = []
    for name in names:
        weights = tuple(_weight(case, reason, works) for reason in reasons(case, name))
        title, before = case.pack.causes[name].title, prior.get(name, 0.0)
        standings.append(Standing(name, title, before, begin[name], now[name], weights))
    clash = conflict(case)
    least = case.pack.observations[clash.fits_least].ask if clash is not None else ""
    return Evidence(tuple(standings), _sets(case), least, case.exact)


def _weight(case: Case, reason: Reason, works: Works) -> Weight:
    observation = case.pack.observations[reason.observation]
    return Weight(
        reason.observation,
        observation.ask,
        works[reason.observation, reason.epoch],
        answer_text(observation, reason.answer) if reason.answer else "",
        reason.decibans,
        reason.left_out,
        case.pack.causes[reason.through].title if reason.through else "",
    )


def _sets(case: Case) -> tuple[tuple[tuple[str, ...], float], ...]:
    best = case.explanations(SETS)
    causes = case.pack.causes
    return tuple(
        (tuple(causes[name].title for name in causes if name in faults), chance) for faults, chance in best
    )
