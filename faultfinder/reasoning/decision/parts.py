"""Causes that one remedy mends together: which of them it is matters to nobody who has the part changed.

A sensor that may be open or shorted, a heater that may leak or touch its casing: each mends the others (`also_mends`,
both ways round). So they are priced as one: the remedy is for nothing only where none of them is there, and no test
is worth its minutes for telling them apart. What a remedy mends besides (one way only: a new drum filter is a clean
one) costs nothing where that remedy is carried out anyway.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from faultfinder.knowledge.model import Cause
from faultfinder.reasoning.decision.expected_loss import Price
from faultfinder.reasoning.inference.any_of import chance_of_any
from faultfinder.reasoning.inference.assessment import Assessment


class Together(NamedTuple):
    """Causes that one remedy mends, the likeliest first: its remedy is the one that is carried out. chance: that one
    of them at least is there. price: of being wrong about them, minutes where missed by what is likely there.
    mended_by: numbers of those before it in the list whose remedy mends them all as well."""

    causes: tuple[str, ...]
    chance: float
    price: Price
    mended_by: frozenset[int]

    @property
    def leader(self) -> str:
        return self.causes[0]


def put_together(case: Assessment, price: Mapping[str, Price]) -> tuple[Together, ...]:
    """The causes priced, those together that one remedy mends; what another remedy mends as well stands behind."""
    now, causes = case.confidence(), case.pack.causes
    groups: list[list[str]] = []
    for name in sorted(price, key=lambda name: -now.get(name, 0.0)):
        for group in groups:
            if all(_one_remedy(causes, price, name, other) for other in group) and name not in case.repairs:
                group.append(name)
                break
        else:
            groups.append([name])
    order = {name: number for number, name in enumerate(price)}
    # What many others mend as well stands behind them.
    groups.sort(key=lambda group: (sum(_mends(causes, by, group) for by in groups), order[group[0]]))
    chances = _chances(case, price, groups)
    return tuple(
        Together(
            tuple(group),
            chance,
            _price(price, now, group, chance),
            frozenset(at for at in range(number) if _mends(causes, groups[at], group)),
        )
        for number, (group, chance) in enumerate(zip(groups, chances, strict=True))
    )


def _one_remedy(causes: Mapping[str, Cause], price: Mapping[str, Price], one: str, other: str) -> bool:
    """Whether each of the two mends the other, in the same place, by the same people, at the same least chance."""
    this, that = causes[one], causes[other]
    if one not in that.also_mends or other not in this.also_mends or price[one].least != price[other].least:
        return False
    return (this.remedy_need, bool(this.hand_to)) == (that.remedy_need, bool(that.hand_to))


def _mends(causes: Mapping[str, Cause], group: Sequence[str], others: Collection[str]) -> bool:
    return group is not others and set(others) <= set(causes[group[0]].also_mends)


def _chances(case: Assessment, price: Mapping[str, Price], groups: Sequence[Sequence[str]]) -> list[float]:
    """The chance that one of each group is there; worked out where it decides whether a part may be fitted, else that
    of the likeliest."""
    now = case.confidence()
    close = {}
    for group in groups:
        least, each = price[group[0]].least, [now.get(name, 0.0) for name in group]
        if each[0] < least <= sum(each):
            close[group[0]] = group
    known = chance_of_any(case, close) if close else {}
    return [known.get(group[0], now.get(group[0], 0.0)) for group in groups]


def _price(
    price: Mapping[str, Price], now: Mapping[str, float], group: Sequence[str], chance: float
) -> Price:
    """The price of a group: minutes at stake in all of it, on a machine that has one of it at least."""
    if len(group) == 1:
        return price[group[0]]
    missed = sum(now.get(name, 0.0) * price[name].missed for name in group)
    most = sum(price[name].missed for name in group)
    return replace(price[group[0]], missed=min(most, missed / chance) if chance > 0.0 else most)
