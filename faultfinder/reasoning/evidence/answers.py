"""An answer as it was given, and what it says: judged anew whenever a fact of the machine changes.

Raw words are kept; the judgement (which band, how surely) follows from the facts known at the time it is asked
for, so that a plate value found late still counts for the readings taken before.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from faultfinder.errors import BadAnswer
from faultfinder.knowledge.formulas.bands import fact_values, limit_spreads, limits
from faultfinder.knowledge.model import Kind, Observation, Pack
from faultfinder.knowledge.schema.strength_words import COMPLAINT_RELIABILITY, RELIABILITY
from faultfinder.reasoning.evidence import likelihood
from faultfinder.reasoning.evidence.facts import FactValue, nearest
from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.text.catalogue import say
from faultfinder.trade.readings.meter import Meter, over_range_top, standard_uncertainty
from faultfinder.trade.readings.parser import Reading
from faultfinder.trade.readings.reading import parse_reading


@dataclass(frozen=True, slots=True)
class Given:
    """One answer at one moment. `answer` is an answer id, or None where `reading` holds what the meter showed.
    complaint: it is what somebody called over, unasked. ticked: in a list of many things, where a slip is easily
    made. take: how many times it was answered in this epoch before, each of them counting."""

    observation: str
    epoch: int
    text: str
    answer: str | None
    reading: Reading | None
    kind: Kind
    complaint: bool = False
    ticked: bool = False
    take: int = 0


@dataclass(frozen=True, slots=True)
class Judged:
    """What an answer says: a weight for each answer of the observation, the likeliest one, and how it reads."""

    given: Given
    weights: tuple[float, ...]
    likelihood: Likelihood
    answer: str
    on_the_edge: bool
    limits: tuple[tuple[float, float], ...] = ()
    uncertainty: float = 0.0
    """Standard uncertainty of the reading at the nearest limit, in the observation's unit."""


def understand(observation: Observation, answer: str | float, epoch: int, kind: Kind | None = None) -> Given:
    """Read an answer id, a reading as typed, or a number in the observation's unit.

    `kind` is how it came to be known (a told answer to what should be looked at is less reliable). Raises
    BadAnswer, or ReadingError for a reading that cannot be read.
    """
    told = kind or observation.kind
    if isinstance(answer, str):
        word = answer.strip()
        as_id = word.casefold().replace(" ", "_")
        for known in observation.answers:
            if known.id in (word, as_id) or word.casefold() == known.text.casefold():
                return Given(observation.id, epoch, word, known.id, None, told)
    spec = observation.reading
    if spec is None:
        names = [item.id for item in observation.answers]
        raise BadAnswer(
            say("told_no_answer", answer=answer, id=observation.id, names=", ".join(names))
            + nearest(str(answer), names)
        )
    if isinstance(answer, bool) or (isinstance(answer, int | float) and math.isnan(answer)):
        raise BadAnswer(say("told_no_reading_for", answer=answer, id=observation.id))
    text = answer if isinstance(answer, str) else ("OL" if math.isinf(answer) else repr(float(answer)))
    return Given(
        observation.id, epoch, text.strip(), None, parse_reading(text, spec.quantity, spec.unit), told
    )


def judge(
    pack: Pack,
    observation: Observation,
    given: Given,
    facts: Mapping[str, FactValue],
    meter: Meter | None = None,
) -> Judged:
    """What the answer says of this machine, with the facts known now; `meter` is the one it was read with."""
    reliability = observation.reliability
    if given.complaint:
        reliability = max(reliability, COMPLAINT_RELIABILITY)
    elif given.kind is not observation.kind:
        reliability = min(reliability, RELIABILITY[given.kind])
    levels = len(observation.answers)
    spec, reading = observation.reading, given.reading
    bounds: tuple[tuple[float, float], ...] = ()
    if spec is not None:
        bounds = tuple(limits(observation, fact_values(pack, facts)))
    uncertainty = 0.0
    if spec is None or reading is None:
        assert given.answer is not None
        weights = likelihood.one_of(levels, observation.index(given.answer))
    elif reading.over_range:
        top = reading.range_top if reading.range_top is not None else _top(meter, spec.quantity, spec.unit)
        weights = likelihood.of_over_range(top, bounds)
    else:
        doubt = _meter(pack, reading, spec.quantity, meter)
        spreads = limit_spreads(pack, observation, facts)
        doubts = [(math.hypot(doubt, low), math.hypot(doubt, high)) for low, high in spreads]
        weights = likelihood.of_reading(reading.value, bounds, doubts)
        uncertainty = _nearest_doubt(reading.value, bounds, doubts, doubt)
    best = max(range(levels), key=lambda level: weights[level])
    return Judged(
        given,
        weights,
        likelihood.blurred(weights, reliability),
        observation.answers[best].id,
        likelihood.edge(weights),
        bounds,
        uncertainty,
    )


def _meter(pack: Pack, reading: Reading, quantity: str, meter: Meter | None) -> float:
    """Standard uncertainty from the person's own meter where it has a range for this value; else the pack's."""
    if meter is not None and meter.shows(reading, quantity):
        return meter.standard_uncertainty(reading, quantity)
    relative, absolute = pack.meter.get(quantity, (0.01, 0.0))
    return standard_uncertainty(reading, quantity, relative, absolute)


def _top(meter: Meter | None, quantity: str, unit: str) -> float:
    """The most that can be shown before OL, in `unit`: by the person's own meter where it names the quantity."""
    own = meter.top_of(quantity, unit) if meter is not None else None
    return over_range_top(quantity, unit) if own is None else own


def _nearest_doubt(
    value: float,
    bounds: tuple[tuple[float, float], ...],
    doubts: list[tuple[float, float]],
    otherwise: float,
) -> float:
    """Standard uncertainty at the limit nearest to the reading."""
    at = [
        (abs(limit - value), doubt)
        for pair, pair_doubts in zip(bounds, doubts, strict=True)
        for limit, doubt in zip(pair, pair_doubts, strict=True)
        if math.isfinite(limit)
    ]
    return min(at)[1] if at else otherwise
