"""How well observations tell single faults apart: odds of one answer under two causes, on each sort of machine.

Each cause is taken alone, with what it brings on and the background of unexplained answers; the answer as
given (with the observation's reliability), as the engine will weigh it.
"""

from __future__ import annotations

from collections.abc import Mapping

from faultfinder.knowledge.analysis.effects import Effects, as_said
from faultfinder.knowledge.analysis.machines import possible, reached
from faultfinder.knowledge.analysis.view import View, once
from faultfinder.knowledge.model import Cause, Kind, Need

FIVE = 5.0
"""Odds that tell one cause from another. Chosen."""
CLEARS = 4.0
"""Odds of a healthy answer that count as ruling a fault out: one it shows "usually". Chosen."""


def is_catch_all(cause: Cause) -> bool:
    """Whether a cause stands for what the rules do not know, or for the work itself: no look-alike to mend."""
    return cause.id.startswith("something_else_") or cause.id == "plate_value_wrong" or cause.after_our_work


Answers = Mapping[str, tuple[float, ...]]
"""Observation -> chance of each answer as given."""
Ranked = list[tuple[float, str]]
"""(odds, observation), highest first."""


class _Odds:
    """Best odds of single answers for one cause against another, on one sort of machine."""

    def __init__(self, effects: Effects) -> None:
        self.effects = effects
        seen = effects.pack.observations

        def said(chances: Answers) -> Answers:
            return {name: as_said(each, seen[name].reliability) for name, each in chances.items()}

        self.healthy = said({name: observation.background for name, observation in seen.items()})
        self.said: dict[str, Answers] = {
            name: said(effects.shown_by(name))
            for name, cause in effects.pack.causes.items()
            if possible(cause.applies, effects.machine) and not is_catch_all(cause) and effects.shown_by(name)
        }
        self.causes = list(self.said)
        # Against a cause that does not move an observation at all, the odds are those against the background.
        self._for = {c: _ranked(moved, self.healthy) for c, moved in self.said.items()}
        self._against = {c: _ranked(moved, self.healthy, against=True) for c, moved in self.said.items()}

    def best(self, one: str, other: str, enough: float = float("inf")) -> tuple[float, str]:
        """Highest odds of any answer for `one` against `other`, and its observation; odds that are `enough`
        end the search."""
        mine, theirs = self.said[one], self.said[other]
        best = _first_outside(self._for[one], theirs)
        if best[0] >= enough:
            return best
        best = max(best, _first_outside(self._against[other], mine))
        if best[0] >= enough:
            return best
        for name in mine.keys() & theirs.keys():
            best = max(best, (_best(mine[name], theirs[name]), name))
        return best


def _best(chances: tuple[float, ...], others: tuple[float, ...]) -> float:
    """Highest odds of any answer under the first chances against the second."""
    return max(
        p / q if q > 0 else float("inf") if p > 0 else 1.0 for p, q in zip(chances, others, strict=True)
    )


def _ranked(moved: Answers, healthy: Answers, *, against: bool = False) -> Ranked:
    """The observations that a cause moves, by the odds for it (or against it) where another does not move them."""
    pairs = ((name, chances, healthy[name]) for name, chances in moved.items())
    odds = ((_best(other, own) if against else _best(own, other), name) for name, own, other in pairs)
    return sorted(odds, reverse=True)


def _first_outside(ranked: Ranked, moved: Answers) -> tuple[float, str]:
    """The highest odds among observations that the other cause does not move."""
    for odds, name in ranked:
        if name not in moved:
            return odds, name
    return 1.0, ""


@once
def _odds(view: View) -> list[_Odds]:
    return [_Odds(effects) for effects in view.effects]


def _same_group(view: View, one: str, other: str) -> bool:
    group = view.pack.causes[one].group
    return bool(group) and group == view.pack.causes[other].group


@once
def look_alike_groups(view: View) -> list[list[str]]:
    """Causes that no observation tells apart FIVE to one either way, on some machine; named groups left out."""
    partners: dict[str, set[str]] = {}
    for odds in _odds(view):
        for at, one in enumerate(odds.causes):
            for other in odds.causes[at + 1 :]:
                if _same_group(view, one, other):
                    continue
                if odds.best(one, other, FIVE)[0] < FIVE and odds.best(other, one, FIVE)[0] < FIVE:
                    partners.setdefault(one, set()).add(other)
                    partners.setdefault(other, set()).add(one)
    groups: list[list[str]] = []
    done: set[str] = set()
    for name in view.pack.causes:
        if name in partners and name not in done:
            members = reached({name}, lambda each: partners[each])
            done |= members
            groups.append([each for each in view.pack.causes if each in members])
    return groups


def weakest_against(view: View, cause: str) -> tuple[str, float, str] | None:
    """The look-alike that nothing tells `cause` from FIVE to one: (other, best odds, observation), or None."""
    weakest: tuple[str, float, str] | None = None
    for odds in _odds(view):
        if cause not in odds.said:
            continue
        for other in odds.causes:
            if other == cause or _same_group(view, cause, other):
                continue
            if odds.effects.brings_on(other, cause):
                # What the other brings on is there with it: both are faults then, none is a look-alike.
                continue
            best, where = odds.best(cause, other, FIVE)
            if best < FIVE and (weakest is None or best < weakest[1]):
                weakest = (other, best, where)
    return weakest


def best_clearing(view: View, cause: Cause) -> float | None:
    """Worst over machines of the best odds that a healthy answer gives against `cause`, asked on a machine at
    rest and looked at or measured, not told. None where it cannot arise."""
    worst: float | None = None
    for odds in _odds(view):
        if cause.id not in odds.said:
            continue
        best = 1.0
        for name, chances in odds.said[cause.id].items():
            observation = view.pack.observations[name]
            if observation.need is Need.IN_USE or observation.kind is Kind.TOLD:
                continue
            best = max(best, odds.healthy[name][0] / chances[0] if chances[0] > 0 else float("inf"))
        worst = best if worst is None else min(worst, best)
    return worst
