"""From what a person said or measured to one weight for each answer: the only place where doubt enters.

A plain answer is true with the observation's reliability r; the rest is shared among the other answers. A
reading x with standard uncertainty u gives the band (a, b) the weight Phi((b-x)/u) - Phi((a-x)/u): a reading
near a limit is soft evidence for both sides. Where u is not small against a band, that difference is at most
2 Phi((b-a)/2u) - 1 wherever the reading lies, which would make every reading speak against a narrow band; so
each weight is taken as a share of the most that its band can get. For u much smaller than the bands, the usual
case, that changes nothing. `OL` says only 'above the range in use': weight on what lies above it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from faultfinder.trade.readings.statistics import phi

Likelihood = tuple[float, ...]
"""One weight for each answer of an observation, healthy first."""


def one_of(levels: int, index: int) -> tuple[float, ...]:
    """All weight on one answer."""
    return tuple([1.0 if level == index else 0.0 for level in range(levels)])


def of_answer(levels: int, index: int, reliability: float) -> Likelihood:
    """Weights when answer `index` of `levels` was given; they sum to 1."""
    return blurred(one_of(levels, index), reliability)


def erring(likelihood: Likelihood, rate: float) -> Likelihood:
    """The likelihood of an answer by somebody who says any other answer with chance `rate`; it must sum to 1."""
    return blurred(likelihood, 1.0 - rate) if rate else likelihood


def tempered(likelihood: Likelihood, share: float) -> Likelihood:
    """A likelihood that counts as this share (0 to 1) of an answer; it sums to 1 again."""
    raised = [weight**share for weight in likelihood]
    total = sum(raised)
    return tuple([weight / total for weight in raised]) if total else likelihood


def blurred(weights: Sequence[float], reliability: float) -> Likelihood:
    """Weights of answers, mixed with the chance that another one is true than what was said."""
    others = len(weights) - 1
    if not others:
        return (1.0,)
    rest = (1.0 - reliability) / others
    return tuple([reliability * weight + rest * (1.0 - weight) for weight in weights])


def of_reading(
    value: float, limits: Sequence[tuple[float, float]], uncertainties: Sequence[tuple[float, float]]
) -> tuple[float, ...]:
    """Weight of each band for a finite reading; they sum to 1.

    `uncertainties` holds for each band the standard uncertainty that applies at its two limits (meter, leads and
    what is not known of the machine, in quadrature); 0 makes the limit sharp, a limit belonging to the band
    above it.
    """
    raw = []
    for (low, high), (u_low, u_high) in zip(limits, uncertainties, strict=True):
        weight = max(0.0, _below(high, value, u_high) - _below(low, value, u_low))
        raw.append(weight / _most(low, high, (u_low + u_high) / 2.0))
    total = sum(raw)
    if total <= 0.0:
        return tuple(1.0 / len(raw) for _ in raw)
    return tuple(weight / total for weight in raw)


def _most(low: float, high: float, uncertainty: float) -> float:
    """The largest weight that the band can get: that of a reading in its middle; 1 for an open band."""
    if uncertainty <= 0.0 or math.isinf(low) or math.isinf(high) or high <= low:
        return 1.0
    return 2.0 * phi((high - low) / (2.0 * uncertainty)) - 1.0


def _below(limit: float, value: float, uncertainty: float) -> float:
    if math.isinf(limit):
        return 1.0 if limit > 0 else 0.0
    if uncertainty <= 0.0:
        return 1.0 if value < limit else 0.0
    return phi((limit - value) / uncertainty)


def of_over_range(range_top: float, limits: Sequence[tuple[float, float]]) -> tuple[float, ...]:
    """Weight of each band when the meter showed 'above range': the share of the band above `range_top`."""
    raw = []
    for low, high in limits:
        if low >= range_top or math.isinf(high):
            raw.append(1.0)
        elif high <= range_top:
            raw.append(0.0)
        else:
            raw.append((high - range_top) / (high - low))
    total = sum(raw)
    return tuple(weight / total for weight in raw) if total else tuple(1.0 / len(raw) for _ in raw)


def edge(weights: Sequence[float]) -> bool:
    """Whether a reading lies so near a limit that it does not clearly choose a band (no band above 0.9; chosen)."""
    return max(weights) < 0.9
