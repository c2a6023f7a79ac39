"""Whether the answers fit together, and which fits least.

conf(e) = ln[ product of P(e_i) / P(e) ] is positive when the answers together are less likely than one by one
(F. V. Jensen, B. Chamberlain, T. Nordahl, F. Jensen, "Analysis in HUGIN of data conflict", 1990). A rare fault
that explains all answers also makes it positive, so a conflict is only called when no cause's chance has risen
by as much as the answers disagree. All of it as if nobody erred: how much a person may err follows from such
conflicts (mixture.py).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from faultfinder.errors import Contradiction
from faultfinder.reasoning.inference.assessment import Assessment
from faultfinder.reasoning.inference.belief_propagation import believe

LEAST = 1.0
"""Natural-log units: answers that are e times less likely together than one by one; chosen."""
FEW = 12
"""Answers up to which the measure is always worked out as it stands; chosen."""
MARGIN = 2.0
"""Natural-log units by which many answers must fall short of a conflict, the causes of each taken as independent, for
the measure not to be worked out as it stands; chosen: that is off by half a unit over ninety answers."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """conf: the measure, natural logarithm. fits_least: the observation whose answer, left out, lowers it most."""

    conf: float
    fits_least: str
    epoch: int
    without: float


def conflict(case: Assessment) -> Conflict | None:
    """The conflict among the answers, or None when they fit or one fault accounts for all of them."""
    evidence = case.evidence()
    if len(evidence) < 2:
        return None
    try:
        together, chances = case.log_probability_unerring, case.found()
    except Contradiction:
        together, chances = -math.inf, {}
    if len(evidence) > FEW and sum(_each_about_alone(case)) - together < LEAST - MARGIN:
        return None
    alone = case.each_alone(evidence)
    conf = sum(alone) - together
    if conf < LEAST:
        return None
    if math.isfinite(together):
        prior = case.prior()
        explained = max(
            (
                math.log(p / prior[name])
                for name, p in chances.items()
                if p > 0.5 and prior.get(name, 0.0) > 0.0
            ),
            default=0.0,
        )
        if explained >= conf:
            return None
    # conf of the others, were this answer left out: its own share and the share that the others give it go.
    best: Conflict | None = None
    for item, own, rest in zip(evidence, alone, _each_by_the_rest(case), strict=True):
        without = conf - own + rest
        if best is None or without < best.without:
            best = Conflict(conf, item.observation, item.epoch, without)
    return best


def _each_by_the_rest(case: Assessment) -> list[float]:
    """About ln of the probability of each answer given all the others."""
    built = case.built()
    likelihoods = built.evidence
    beliefs = believe(built.network, likelihoods)
    findings = [built.findings[item.observation, item.epoch] for item in case.evidence()]
    return [beliefs.by_the_rest(finding, likelihoods[finding]) for finding in findings]


def _each_about_alone(case: Assessment) -> list[float]:
    """About what `each_alone` gives of all answers, the causes of each taken as independent of one another."""
    built = case.built()
    nothing = {index: (1.0,) * len(weights) for index, weights in built.evidence.items()}
    beliefs = believe(built.network, nothing)
    return [
        beliefs.by_the_rest(built.findings[item.observation, item.epoch], item.likelihood)
        for item in case.evidence()
    ]
