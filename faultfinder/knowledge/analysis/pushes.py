"""Which causes and states push an observation to which answers: questions that several checks ask."""

from __future__ import annotations

import math
import re
from itertools import combinations

from faultfinder.errors import BadFact
from faultfinder.knowledge.analysis.machines import reached, together
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.formulas.bands import fact_values, limits
from faultfinder.knowledge.model import Observation

USUAL_PUSH = 0.3
"""A link this strong ("sometimes") is a usual one. Chosen."""
USUAL_CAUSE = 0.003
"""A cause this common ("rare") is a usual one; two rarer ones hardly ever meet. Chosen."""


def pushed_answers(view: View, observation: Observation) -> dict[str, list[str]]:
    """Abnormal answer -> causes and states that push to it."""
    pushed: dict[str, list[str]] = {answer.id: [] for answer in observation.answers[1:]}
    for name, item in view.bringers.items():
        link = item.shows.get(observation.id)
        if link is None:
            continue
        for answer, push in zip(observation.answers[1:], link.pushes[1:], strict=True):
            if push > 0:
                pushed[answer.id].append(name)
    return pushed


def unreached(view: View, observation: Observation) -> list[str]:
    """Abnormal answers that nothing pushes to, of an observation that something touches."""
    pushed = pushed_answers(view, observation)
    return [answer for answer, names in pushed.items() if not names and any(pushed.values())]


def adds_up_only(view: View, observation: Observation) -> bool:
    """Whether the most overriding answer has no single cause, while different causes push to several others."""
    pushed = pushed_answers(view, observation)
    if observation.reading is not None or not pushed or pushed[observation.answers[-1].id]:
        return False
    pushing = [names for names in pushed.values() if names]
    return len(pushing) >= 2 and len({name for names in pushing for name in names}) >= 2


ONLY = re.compile(r"\b(?:only|alone)\b", re.IGNORECASE)
"""A word by which an answer says that the other thing is not so."""


def only_pair(view: View, observation: Observation) -> tuple[str, str] | None:
    """Two abnormal answers that each say "only" and come from different causes, such as 'left only' and 'right only':
    with both faults neither is seen, yet the rules let the later one win. None where there is no such pair."""
    if observation.reading is not None:
        return None
    pushed = pushed_answers(view, observation)
    saying = [a.id for a in observation.answers[1:] if ONLY.search(a.text) and pushed[a.id]]
    pairs = ((one, other, set(pushed[one]), set(pushed[other])) for one, other in combinations(saying, 2))
    return next(((one, other) for one, other, mine, theirs in pairs if mine - theirs and theirs - mine), None)


def shown_through(view: View, cause: str) -> set[str]:
    """Observations that a cause moves, itself or through anything it brings on."""
    moving = reached({cause}, lambda name: view.brought_on.get(name, ()))
    return {observation for name in moving for observation in view.bringers[name].shows}


Push = tuple[str, str]


def opposite_pair(view: View, observation: Observation) -> tuple[Push, Push] | None:
    """Two usual causes (or states) that push a reading below and above its healthy band: ((name, band), ...).

    An extreme band (open, shorted: outermost, with a milder one between it and the healthy one) overrides the
    milder ones in truth where it stands after them, and does not count then. None where there is no such pair,
    or where the author has confirmed it (`both_ways`).
    """
    if observation.reading is None or view.written(observation.id, "both_ways") == "yes":
        return None
    sides = _sides(view, observation)
    below = _usual(view, observation, [band for band, side in sides.items() if side < 0])
    above = _usual(view, observation, [band for band, side in sides.items() if side > 0])
    pairs = ((low, high) for low in below for high in above if low[0] != high[0])
    return next((pair for pair in pairs if _can_meet(view, pair[0][0], pair[1][0])), None)


def _sides(view: View, observation: Observation) -> dict[str, int]:
    """Abnormal band -> -1 below the healthy one, 1 above it; bands that override in truth are left out."""
    try:
        bounds = limits(observation, fact_values(view.pack, {}))
    except BadFact:
        return {}
    healthy_low, healthy_high = bounds[0]
    sides = {
        answer.id: 1 if low >= healthy_high else -1 if high <= healthy_low else 0
        for answer, (low, high) in zip(observation.answers[1:], bounds[1:], strict=True)
    }
    extremes = {
        answer.id
        for answer, (low, high) in zip(observation.answers[1:], bounds[1:], strict=True)
        if list(sides.values()).count(sides[answer.id]) > 1
        and (math.isinf(high) or low <= 0)
        and observation.index(answer.id) >= len(sides) - 1
    }
    return {band: side for band, side in sides.items() if band not in extremes}


def _usual(view: View, observation: Observation, bands: list[str]) -> list[Push]:
    found = []
    for name, item in view.bringers.items():
        cause = view.pack.causes.get(name)
        if cause is not None and cause.how_common < USUAL_CAUSE and not cause.brought_on_by:
            continue
        link = item.shows.get(observation.id)
        if link is None:
            continue
        for band in bands:
            if link.pushes[observation.index(band)] >= USUAL_PUSH:
                found.append((name, band))
    return found


def _can_meet(view: View, name: str, other: str) -> bool:
    first, second = view.pack.causes.get(name), view.pack.causes.get(other)
    return first is None or second is None or together(first.applies, second.applies) is not None
