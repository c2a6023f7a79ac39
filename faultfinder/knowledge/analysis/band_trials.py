"""The bands of a reading for many allowed plate values: where they leave a gap, overlap or turn over.

Facts are tried at the ends of their ranges and at values between, all together where they are few: the fewer facts
a limit stands on, the more values of each. For every number fact that the limits stand on, every value in its range
is taken to be possible, whatever the others are.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product

from faultfinder.errors import BadFact
from faultfinder.knowledge.formulas.bands import fact_values, facts_behind, limits_and_expected
from faultfinder.knowledge.formulas.expression import ExpressionError, NoValue
from faultfinder.knowledge.model import Observation, Pack
from faultfinder.trade.readings.units import QUANTITIES

_CORNERS_UP_TO = 5
_LEVELS = {1: 33, 2: 9, 3: 5}
"""Values of each fact, by how many facts there are; with more, the ends alone. Odd: with the middle. Chosen."""
_TOLERANCE = 1e-9
METER = (0.01, 0.0)
"""Standard uncertainty of a meter where a pack does not say: relative, and absolute. The same
that readings are judged with."""
ROOM = 1.5
"""Uncertainties of the meter that a healthy machine must lie inside its limits: a limit has one
side, and so has what falls beyond it (GUM, JCGM 100:2008, G.1.3: 1.645 for 95 %; rounded)."""
AT_WORK = frozenset(
    {"voltage", "current", "power", "apparent_power", "energy", "rotation", "flow", "speed", "frequency"}
)
"""Quantities of which a dead machine gives none."""


@dataclass(frozen=True, slots=True)
class Flaw:
    """What is wrong with the bands, with which band, and for which values of the facts."""

    kind: str
    band: str
    message: str


def trial_values(pack: Pack, names: tuple[str, ...], *, thorough: bool) -> Iterator[Mapping[str, float]]:
    """Values of the facts to try: all unknown first; then corners and middles of the ranges."""
    yield {}
    facts = [pack.facts[name] for name in names if pack.facts[name].low < pack.facts[name].high]
    if not facts:
        return
    ends = [(fact.low, (fact.low + fact.high) / 2, fact.high) for fact in facts]
    if thorough and len(facts) <= _CORNERS_UP_TO:
        count = _LEVELS.get(len(facts), 2)
        levels = [_spread(fact.low, fact.high, count) for fact in facts]
        tries: Iterator[tuple[float, ...]] = product(*levels)
    else:
        tries = _one_at_a_time(ends)
    for values in tries:
        yield {fact.id: value for fact, value in zip(facts, values, strict=True)}


def _spread(low: float, high: float, count: int) -> tuple[float, ...]:
    """Evenly spaced values, both ends among them, the ends first."""
    between = (low + (high - low) * step / (count - 1) for step in range(1, count - 1))
    return (low, high, *between)


def _one_at_a_time(ends: list[tuple[float, float, float]]) -> Iterator[tuple[float, ...]]:
    """All low, all high, and each one low or high against the others."""
    for side in (0, 2):
        yield tuple(end[side] for end in ends)
    for number in range(len(ends)):
        for side in (0, 2):
            yield tuple(end[side if at == number else 2 - side] for at, end in enumerate(ends))


def flaws(pack: Pack, observation: Observation, *, thorough: bool) -> list[Flaw]:
    """The flaws of a reading's bands, one of each kind and band, the first values that show it."""
    found: dict[tuple[str, str], Flaw] = {}
    try:
        behind = facts_behind(pack, observation)
    except ExpressionError:
        return []
    # What no limit stands on need not be worked out for every value that is tried.
    plate = {name for rule in pack.plate for name in rule.names}
    narrow = replace(
        pack, facts={name: fact for name, fact in pack.facts.items() if name in plate or name in behind}
    )
    for given in trial_values(pack, behind, thorough=thorough):
        try:
            values = fact_values(narrow, given)
            bounds, expected = limits_and_expected(observation, values)
        except BadFact as error:
            if isinstance(error.__cause__, NoValue):
                # A name that nobody knows, or a required fact: told elsewhere, or always given.
                continue
            flaw = Flaw("value", "", f"{error}{_shown(given)}")
            found.setdefault((flaw.kind, ""), flaw)
            continue
        told = len(found)
        for flaw in _flaws_of(observation, bounds, _shown(given)):
            found.setdefault((flaw.kind, flaw.band), flaw)
        if thorough and len(found) == told:
            for flaw in _judged_wrongly(pack, observation, bounds, expected, _shown(given)):
                found.setdefault((flaw.kind, flaw.band), flaw)
    return list(found.values())


def _judged_wrongly(
    pack: Pack,
    observation: Observation,
    bounds: list[tuple[float, float]],
    expected: float | None,
    shown: str,
) -> Iterator[Flaw]:
    """What the bands would do to a machine that reads what is expected, to a dead one, and to a meter."""
    spec = observation.reading
    quantity = QUANTITIES.get(spec.quantity) if spec is not None else None
    if spec is None or quantity is None or spec.unit not in quantity.units:
        return
    relative, absolute = pack.meter.get(spec.quantity, METER)
    factor, names = quantity.units[spec.unit].factor, [answer.id for answer in observation.answers]

    def doubt(value: float) -> float:
        return math.hypot(relative * abs(value), absolute / factor)

    for name, (low, high) in zip(names, bounds, strict=True):
        if math.isfinite(low) and math.isfinite(high) and 0 < high - low < 2 * doubt(high):
            wide = f"{name} is {_n(high - low)} {spec.unit} wide"
            yield Flaw("narrow", name, f"{wide}, and the meter reads to {_n(2 * doubt(high))}{shown}")
    if expected is None:
        return
    (low, high), healthy = bounds[0], names[0]
    reads = f"a healthy machine reads {_n(expected)} {spec.unit}"
    if not low <= expected <= high:
        inside = (
            name for name, (least, most) in zip(names, bounds, strict=True) if least <= expected <= most
        )
        yield Flaw("outside", healthy, f"{reads}, which is {next(inside, 'no band')}, not {healthy}{shown}")
        return
    if 0 < expected * factor < quantity.least:
        yield Flaw("outside", healthy, f"{reads}, less than any meter shows{shown}")
        return
    room = min(expected - low if low > _start(observation) else math.inf, high - expected)
    if room < ROOM * doubt(expected):
        yield Flaw("near", healthy, f"{reads}, {_n(room)} from a limit of {healthy}{shown}")
    if expected > 0 and spec.quantity in AT_WORK and low <= 0:
        yield Flaw("dead", healthy, f"a dead machine reads 0 {spec.unit}, which is {healthy}")
    if expected > 0 and spec.quantity == "resistance" and math.isinf(high):
        yield Flaw("dead", healthy, f"an open part reads OL, which is {healthy}")


def _flaws_of(observation: Observation, bounds: list[tuple[float, float]], shown: str) -> Iterator[Flaw]:
    unit = observation.reading.unit if observation.reading is not None else ""
    rows = [(*limits, answer.id) for answer, limits in zip(observation.answers, bounds, strict=True)]
    turned = [row for row in rows if row[0] > row[1]]
    for low, high, name in turned:
        yield Flaw("turned", name, f"{name} runs from {_n(low)} down to {_n(high)} {unit}{shown}")
    if turned:
        return
    order = sorted(row for row in rows if row[0] < row[1])
    if not order:
        yield Flaw("gap", rows[0][2], f"no band has any width{shown}")
        return
    top, last = min(order[0][0], _start(observation)), order[0][2]
    for low, high, name in order:
        if low > top and not _same(low, top):
            yield Flaw("gap", name, f"nothing covers {_n(top)} to {_n(low)} {unit}{shown}")
        elif low < top and not _same(low, top):
            shared = f"{name} shares {_n(low)} to {_n(min(top, high))} {unit} with {last}"
            yield Flaw("overlap", name, f"{shared}{shown}")
        if high > top:
            top, last = high, name
    if not math.isinf(top):
        yield Flaw("gap", last, f"nothing covers {_n(top)} {unit} to OL{shown}")


def _start(observation: Observation) -> float:
    """Where the bands must begin: 0, or -OL where the quantity can be below 0."""
    spec = observation.reading
    quantity = QUANTITIES.get(spec.quantity) if spec is not None else None
    return -math.inf if quantity is not None and quantity.low < 0 else 0.0


def _same(a: float, b: float) -> bool:
    return math.isclose(a, b, rel_tol=_TOLERANCE, abs_tol=_TOLERANCE)


def _n(value: float) -> str:
    if math.isinf(value):
        return "OL" if value > 0 else "-OL"
    return f"{value:.4g}"


def _shown(given: Mapping[str, float]) -> str:
    if not given:
        return ""
    return " for " + ", ".join(f"{name} {value:g}" for name, value in given.items())
