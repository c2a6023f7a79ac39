"""What a reading's limits are on this machine, and how unsure they are where facts are unknown.

A fact that is not given takes its class value: a number, a choice, or an expression on other facts. It widens
the uncertainty of the limits, never the bands themselves. All values are in the unit of the fact; all limits
in the unit of the observation, OL being infinity.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TypeVar

from faultfinder.errors import BadFact
from faultfinder.knowledge.formulas.expression import ExpressionError, NoValue, names_in, parse
from faultfinder.knowledge.formulas.plate import relied_on
from faultfinder.knowledge.model import Fact, Observation, Pack, ReadingSpec

FactValues = Mapping[str, str | float]
Limits = list[tuple[float, float]]
Result = TypeVar("Result")

_STEP = 0.01
"""Relative step of the numeric derivative. Chosen: limits are smooth on this scale."""
ASKED_FROM = 0.05
"""A fact that moves no healthy limit by more of it is not asked for before a reading: a meter and a mains that
wanders do as much. Chosen."""


def fact_values(pack: Pack, given: FactValues) -> dict[str, str | float]:
    """Every fact that has a value: the given ones, and class values for the others. Unknown facts without a
    class value are not there; where facts contradict one another, only those relied on count (see plate.py). Raises
    BadFact where a class value cannot be computed from the given ones."""
    pack, given = relied_on(pack, given)
    return _resolve(pack, given, {})


def _resolve(pack: Pack, given: FactValues, factors: Mapping[str, float]) -> dict[str, str | float]:
    values: dict[str, str | float] = {}

    def value_of(fact: Fact, depth: int) -> str | float | None:
        if fact.id in values:
            return values[fact.id]
        value: str | float | None = given.get(fact.id)
        if value is None:
            value = fact.class_value
            if fact.kind == "number" and isinstance(value, str):
                value = from_others(fact, value, depth)
            if isinstance(value, float):
                value *= factors.get(fact.id, 1.0)
        if value is not None:
            values[fact.id] = value
        return value

    def from_others(fact: Fact, text: str, depth: int) -> float | None:
        if depth > len(pack.facts):
            raise BadFact(f"the class value of {fact.id} waits for itself") from NoValue(fact.id)
        try:
            expression = parse(text)
            others: dict[str, float] = {}
            for name in expression.names:
                other = pack.facts.get(name)
                value = value_of(other, depth + 1) if other is not None else None
                if not isinstance(value, int | float):
                    return None
                others[name] = float(value)
            return expression.evaluate(others)
        except ExpressionError as error:
            raise BadFact(f"{fact.id}: its class value cannot be computed: {error}") from error

    for fact in pack.facts.values():
        value_of(fact, 0)
    return values


def _numbers(spec: ReadingSpec, values: FactValues) -> dict[str, float]:
    """The numbers that limits may use: facts, then each `let` in turn."""
    numbers = {name: float(value) for name, value in values.items() if isinstance(value, int | float)}
    for name, text in spec.let:
        numbers[name] = parse(text).evaluate(numbers)
    return numbers


def _spec(observation: Observation) -> ReadingSpec:
    if observation.reading is None:
        raise BadFact(f"{observation.id} is not a reading and has no limits")
    return observation.reading


def _worked_out(
    observation: Observation, values: FactValues, work: Callable[[ReadingSpec, dict[str, float]], Result]
) -> Result:
    """What follows from the numbers that a reading's expressions may use. Raises BadFact where one has no value."""
    spec = _spec(observation)
    try:
        return work(spec, _numbers(spec, values))
    except ExpressionError as error:
        raise _bad_fact(observation, values, error) from error


def numbers_of(observation: Observation, values: FactValues) -> dict[str, float]:
    """The numbers that a reading's expressions may use on this machine: facts, then each `let` in turn.

    values: from `fact_values`. Raises BadFact where one has no value.
    """
    return _worked_out(observation, values, lambda _, numbers: numbers)


def _bad_fact(observation: Observation, values: FactValues, error: ExpressionError) -> BadFact:
    """What is told where a limit has no value: of facts that are not known, all of them at once."""
    spec = _spec(observation)
    lets = {name for name, _ in spec.let}
    names = dict.fromkeys(name for text in spec.limit_texts for name in names_in(text))
    lacking = [f'"{name}"' for name in names if name not in values and name not in lets]
    if not isinstance(error, NoValue) or len(lacking) < 2:
        return BadFact(f"{observation.id}: {error}")
    return BadFact(f"{observation.id}: {', '.join(lacking[:-1])} and {lacking[-1]} have no value")


def _bounds(spec: ReadingSpec, numbers: Mapping[str, float]) -> Limits:
    return [(parse(band.low).evaluate(numbers), parse(band.high).evaluate(numbers)) for band in spec.bands]


def _expected(spec: ReadingSpec, numbers: Mapping[str, float]) -> float | None:
    return parse(spec.expected).evaluate(numbers) if spec.expected else None


def limits(observation: Observation, values: FactValues) -> Limits:
    """The band of each answer, (low, high) in the observation's unit, aligned with its answers.

    values: from `fact_values`. Raises BadFact where a limit has no value.
    """
    return _worked_out(observation, values, _bounds)


def expected_value(observation: Observation, values: FactValues) -> float | None:
    """What a healthy machine reads, in the observation's unit; None where only the healthy band says it. Raises
    BadFact."""
    return _worked_out(observation, values, _expected) if _spec(observation).expected else None


def limits_and_expected(observation: Observation, values: FactValues) -> tuple[Limits, float | None]:
    """`limits` and `expected_value` at once: what they share is computed once."""
    return _worked_out(
        observation, values, lambda spec, numbers: (_bounds(spec, numbers), _expected(spec, numbers))
    )


def _moved(
    pack: Pack, observation: Observation, given: FactValues, fact: Fact, step: float
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Each band's limits with an unknown fact that much above and below its class value, relatively."""
    up = limits(observation, _resolve(pack, given, {fact.id: 1 + step}))
    down = limits(observation, _resolve(pack, given, {fact.id: 1 - step}))
    yield from zip(up, down, strict=True)


def limit_spreads(pack: Pack, observation: Observation, given: FactValues) -> Limits:
    """One standard deviation of each limit from the facts that are not given, aligned with `limits`.

    Each unknown fact is off by its own spread, independently; what is computed from it moves along (first
    order, central difference). 0 for fixed limits and for OL.
    """
    spec = _spec(observation)
    pack, given = relied_on(pack, given)
    totals = [[0.0, 0.0] for _ in spec.bands]
    for fact in _unknown_behind(pack, spec, given):
        moved = _moved(pack, observation, given, fact, _STEP)
        for total, (high_side, low_side) in zip(totals, moved, strict=True):
            for end in (0, 1):
                if math.isfinite(high_side[end]) and math.isfinite(low_side[end]):
                    slope = (high_side[end] - low_side[end]) / (2 * _STEP)
                    total[end] += (slope * fact.spread) ** 2
    return [(math.sqrt(low), math.sqrt(high)) for low, high in totals]


def facts_behind(pack: Pack, observation: Observation, given: FactValues | None = None) -> tuple[str, ...]:
    """Number facts that the limits of a reading stand on, directly or through class values.

    With the `given` facts: those that count on this machine, so nothing behind a given one.
    """
    known: FactValues = {}
    if given is not None:
        pack, known = relied_on(pack, given)
    spec = _spec(observation)
    return _behind(pack, [text for text in (*spec.limit_texts, spec.expected) if text], known)


def _behind(pack: Pack, texts: Iterable[str], known: FactValues) -> tuple[str, ...]:
    """The facts that expressions stand on, directly or through class values; nothing behind a known one."""
    names: dict[str, None] = {}
    waiting = [name for text in texts for name in parse(text).names]
    while waiting:
        name = waiting.pop(0)
        fact = pack.facts.get(name)
        if fact is None or name in names:
            continue
        names[name] = None
        if known.get(name) is None and fact.kind == "number" and isinstance(fact.class_value, str):
            waiting.extend(parse(fact.class_value).names)
    return tuple(names)


def facts_to_ask(pack: Pack, observation: Observation, given: FactValues) -> tuple[str, ...]:
    """Unknown facts that are worth asking for before a reading is taken: those whose spread moves a limit of the
    healthy band by ASKED_FROM of it, and those without which there is no limit."""
    spec = _spec(observation)
    relied, known = relied_on(pack, given)
    values = _resolve(relied, known, {})
    names = [name for name in facts_behind(pack, observation, given) if known.get(name) is None]
    if any(name not in values for name in names):
        return tuple(name for name in names if name not in values)
    moved = set()
    for fact in _unknown_behind(relied, spec, known):
        up, down = next(_moved(relied, observation, known, fact, fact.spread))
        for high, low in zip(up, down, strict=True):
            if math.isfinite(high) and abs(high - low) > ASKED_FROM * (abs(high) + abs(low)):
                moved.add(fact.id)
    return tuple(name for name in names if name in moved)


def _unknown_behind(pack: Pack, spec: ReadingSpec, given: FactValues) -> list[Fact]:
    """Unknown facts with a spread that the limits stand on; nothing behind a given fact counts."""
    behind = _behind(pack, spec.limit_texts, given)
    return [
        fact
        for fact in pack.facts.values()
        if fact.id in behind and given.get(fact.id) is None and fact.spread > 0
    ]
