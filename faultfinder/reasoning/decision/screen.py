"""Which questions could be worth asking: a quick look before the exact one.

The exact worth of a question needs every cause after each of its answers. Most of a pack's questions are about
something else than this job; a bound that takes their direct causes as independent, with the exact chances of the
moment, tells them apart in microseconds. Only the order in which questions enter the exact computation comes
from here, never a probability that is shown or used.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from faultfinder.reasoning.decision.expected_loss import Price, price_of
from faultfinder.reasoning.inference.assessment import Assessment
from faultfinder.reasoning.inference.network import Finding


def quick_worth(
    finding: Finding,
    reliability: float,
    chances: Sequence[float],
    price: Mapping[int, Price],
    weight: Mapping[int, float],
) -> tuple[float, float]:
    """About how many minutes the question could save: through its direct causes, and through its states.

    The two cannot be added: what a state moves is counted for every cause behind it.

    chances: of every node now. price: node of a cause -> its price. weight: node of a state -> what it would save
    to know that state for certain (`stake`).
    """
    levels = finding.levels
    upto = [sum(finding.background[: level + 1]) for level in range(levels)]
    each: list[tuple[int, float, list[float]]] = []
    for node, pushes in finding.parents:
        p = chances[node]
        if p <= 0.0 or p >= 1.0:
            continue
        below = [sum(pushes[: level + 1]) for level in range(levels)]
        each.append((node, p, below))
        for level in range(levels):
            upto[level] *= 1.0 - p + p * below[level]
    level_chances = _differences(upto)
    said = _said(level_chances, reliability)
    direct = through_states = 0.0
    for node, p, below in each:
        if node not in price and weight.get(node, 0.0) <= 0.0:
            continue
        given = _differences(
            [upto[level] / (1.0 - p + p * below[level] or 1.0) * below[level] for level in range(levels)]
        )
        after = [
            min(1.0, p * likely / chance) if chance > 0.0 else p
            for likely, chance in zip(_said(given, reliability), said, strict=True)
        ]
        if node in price:
            cost = price[node]
            direct += cost.regret(p) - sum(
                chance * cost.regret(q) for chance, q in zip(said, after, strict=True)
            )
        else:
            moved = sum(chance * abs(q - p) for chance, q in zip(said, after, strict=True))
            through_states += weight[node] * moved / (2.0 * p * (1.0 - p))
    return direct, through_states


def stake(reach: Mapping[int, float], chances: Sequence[float], price: Mapping[int, Price]) -> float:
    """About how many minutes it would save to know a state for certain.

    reach: node of a cause -> the chance that it, when present, brings the state about. The causes are taken as
    independent with their chances of the moment.
    """
    none = 1.0
    for node, weight in reach.items():
        none *= 1.0 - chances[node] * weight
    some = 1.0 - none
    if some <= 0.0 or none <= 0.0:
        return 0.0
    saved = 0.0
    for node, weight in reach.items():
        cost, p = price.get(node), chances[node]
        if cost is None:
            continue
        without = p * (1.0 - weight) / (1.0 - p * weight or 1.0)
        present = min(1.0, max(0.0, (p - without * none) / some))
        saved += cost.regret(p) - none * cost.regret(without) - some * cost.regret(present)
    return max(0.0, saved)


def _differences(upto: Sequence[float]) -> list[float]:
    return [max(0.0, upto[level] - (upto[level - 1] if level else 0.0)) for level in range(len(upto))]


def _said(level_chances: Sequence[float], reliability: float) -> list[float]:
    """Chance of each answer given, from the chance of each true one."""
    levels = len(level_chances)
    if levels == 1:
        return [1.0]
    rest = (1.0 - reliability) / (levels - 1)
    return [reliability * chance + rest * (1.0 - chance) for chance in level_chances]


def promising(case: Assessment, count: int, about: Collection[str]) -> list[str]:
    """At most `count` observations that could be asked now: half of them those that a quick look finds most worth for
    their direct causes, half for the states they show; only the causes in `about` count."""
    built, chances = case.looking_ahead()
    price = {node: price_of(case.pack.causes[name]) for name, node in built.now.items() if name in about}
    weight = {
        node: stake({built.now[c]: w for c, w in case.reach(state).items() if c in built.now}, chances, price)
        for state, node in built.states_now.items()
    }
    direct: list[tuple[float, str]] = []
    through: list[tuple[float, str]] = []
    for name, finding in built.candidates.items():
        item = case.pack.observations[name]
        if case.available(item):
            worth = quick_worth(built.network.findings[finding], item.reliability, chances, price, weight)
            direct.append((worth[0] - item.minutes, name))
            through.append((worth[1], name))
    best = [sorted(ranked, reverse=True)[: count // 2] for ranked in (direct, through)]
    return list(dict.fromkeys(name for ranked in best for _, name in ranked))
