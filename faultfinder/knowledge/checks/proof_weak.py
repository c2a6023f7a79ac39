"""A proof that the fault hardly ever shows in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from faultfinder.knowledge.analysis.effects import Effects
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        if not any(
            1.0 - chances[0] > STRONG for e in view.effects for chances in _shown(e, cause.id).values()
        ):
            continue  # nothing shows it, which is told as that
        for name in cause.proof:
            chances = [
                1.0 - e.shown_by(cause.id)[name][0] for e in view.effects if name in _shown(e, cause.id)
            ]
            if chances and max(chances) < LEAST:
                message = f"{cause.id}: {name} is abnormal with the fault in {max(chances):.2g} only"
                hint = "name an observation that it usually shows, or say how strongly it shows this one"
                yield Objection(view.item_mark(cause.id, "proof", name), message, hint)


STRONG = 0.5
LEAST = 0.25
"""Chance that the fault shows in its proof. Chosen."""


def _shown(effects: Effects, cause: str) -> Mapping[str, tuple[float, ...]]:
    try:
        return effects.shown_by(cause)
    except KeyError:
        return {}
