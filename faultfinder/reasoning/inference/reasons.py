"""Why a cause stands where it stands: the weight of each answer, for and against.

The weight of evidence of an answer for a cause is ln[P(e | cause) / P(e | not cause)], which is the change of
the cause's log odds (I. J. Good, "Probability and the Weighing of Evidence", 1950); in decibans, 10 log10.
Weights taken in the order answered add up from the prior to the present odds; weights with one answer left out
show what the conclusion hinges on, and do not add up. An answer can weigh on a cause it has no link to, because
another cause already accounts for something: then `through` names that other cause.
"""

from __future__ import annotations

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
        name
        for name, item in states.items()
        if observation in item.shows and cause in case.links.ancestors[name]
    ]
    now = case.states() if len(able) > 1 else {}
    return max(able, key=lambda name: now.get(name, 0.0), default=None)


def reasons(case: Assessment, cause: str) -> list[Reason]:
    """The answers that speak for and against a cause, strongest first (by either weight).

    Raises UnknownName for an unknown cause.
    """
    case.cause(cause)
    weighing = case.weighing()
    if weighing is None or cause not in weighing.built.begin:
        return []
    node = weighing.built.begin[cause]
    names = {node: name for name, node in weighing.built.begin.items()}
    out = []
    weights = zip(case.evidence(), weighing.ordered(node), weighing.left_out(node), strict=True)
    for position, (item, weight, hinge) in enumerate(weights):
        if max(abs(weight), abs(hinge)) >= LEAST_DECIBANS:
            answer = case.judged(given).answer if (given := case.given(item.observation, item.epoch)) else ""
            through = None
            if not case.bears_on(item.observation, cause):
                after = weighing.first(position + 1)
                through = _accounts(case, item.observation, {name: after[n] for n, name in names.items()})
            out.append(Reason(item.observation, item.epoch, answer, weight, hinge, through))
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
