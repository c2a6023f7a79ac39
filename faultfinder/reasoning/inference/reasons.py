"""Why a cause stands where it stands: the weight of each answer, for and against.

The weight of evidence of an answer for a cause is ln[P(e | cause) / P(e | not cause)], which is the change of
the cause's log odds (I. J. Good, "Probability and the Weighing of Evidence", 1950); in decibans, 10 log10.
Weights taken in the order answered add up from the prior to the present odds; weights with one answer left out
show what the conclusion hinges on, and do not add up. An answer can weigh on a cause it has no link to, because
another cause already accounts for something: then `through` names that other cause.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from faultfinder.reasoning.inference.assessment import Assessment

LEAST_DECIBANS = 0.5
"""Weights smaller than this are not shown; chosen (5 decibans are about three to one)."""


@dataclass(frozen=True, slots=True)
class Reason:
    """One answer's weight for one cause.

    decibans: in the order answered. left_out: what is lost when only this answer is taken away (also in
    decibans). through: the cause by which it weighs when the rules have no link from the cause itself.
    """

    observation: str
    epoch: int
    answer: str
    decibans: float
    left_out: float
    through: str | None


def log_odds(p: float) -> float:
    """Ten times the common logarithm of the odds; +-inf at certainty."""
    if p <= 0.0:
        return -math.inf
    if p >= 1.0:
        return math.inf
    return 10.0 * math.log10(p / (1.0 - p))


def odds_factor(decibans: float) -> str:
    """What a weight does to the odds, as people say it: 20 decibans are 'x 100', -6 are '/ 4'."""
    times = 10.0 ** (min(abs(decibans), 50.0) / 10.0)
    digits = f"{times:.2g}" if times < 99.5 else f"{float(f'{times:.2g}'):,.0f}"
    return f"{'x' if decibans > 0 else '/'} {digits if times <= 10_000 else 'over 10,000'}"


def state_between(case: Assessment, cause: str, observation: str) -> str | None:
    """The state by way of which a cause shows in an observation, the likeliest one; None where it does so itself."""
    states = case.pack.states
    if observation in case.pack.causes[cause].shows:
        return None
    able = [
        name for name, item in states.items() if observation in item.shows and cause in case.ancestors(name)
    ]
    now = case.states() if len(able) > 1 else {}
    return max(able, key=lambda name: now.get(name, 0.0), default=None)


def _change(after: float, before: float) -> float:
    difference = log_odds(after) - log_odds(before)
    return 0.0 if math.isnan(difference) else difference


def reasons(case: Assessment, cause: str) -> list[Reason]:
    """The answers that speak for and against a cause, strongest first (by either weight).

    Raises UnknownName for an unknown cause. Costs two engine runs an answer.
    """
    case.cause(cause)
    evidence = case.evidence()
    _, everything = case.supposing(evidence)
    if cause not in everything:
        return []
    _, before = case.supposing([])
    out = []
    for position, item in enumerate(evidence):
        _, after = case.supposing(evidence[: position + 1])
        _, without = case.supposing([*evidence[:position], *evidence[position + 1 :]])
        weight = _change(after.get(cause, 0.0), before.get(cause, 0.0))
        hinge = _change(everything[cause], without.get(cause, 0.0))
        if max(abs(weight), abs(hinge)) >= LEAST_DECIBANS:
            answer = case.judged(given).answer if (given := case.given(item.observation, item.epoch)) else ""
            through = (
                None if case.bears_on(item.observation, cause) else _accounts(case, item.observation, after)
            )
            out.append(Reason(item.observation, item.epoch, answer, weight, hinge, through))
        before = after
    return sorted(out, key=lambda reason: -max(abs(reason.decibans), abs(reason.left_out)))


def _accounts(case: Assessment, observation: str, chances: dict[str, float]) -> str | None:
    """The likeliest cause that can show in the observation."""
    able = [name for name in chances if case.bears_on(observation, name)]
    return max(able, key=lambda name: chances[name], default=None)


def unexplained(case: Assessment, faults: frozenset[str]) -> list[str]:
    """Observations with an abnormal answer that no cause of the set can show: what it leaves unexplained."""
    out = []
    for given in case.answers:
        observation = case.pack.observations[given.observation]
        if case.judged(given).answer == observation.healthy:
            continue
        if not any(case.bears_on(observation.id, cause) for cause in faults):
            out.append(observation.id)
    return out
