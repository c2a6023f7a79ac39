"""Bands of a reading that leave a gap, overlap, run backwards, have no value, or judge a machine wrongly."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection

BAND, ANSWER, EXPECTED = "band", "answer", "expected"
"""Where it is told: at the band's limits, at the name of the answer, at what a healthy machine reads."""


def _told_at(view: View, kind: str, place: str, hint: str) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        for flaw in view.band_flaws(observation):
            if flaw.kind != kind:
                continue
            if place == BAND:
                mark = view.mark(observation.id, "bands", flaw.band)
            elif place == ANSWER:
                mark = view.answer_mark(observation, flaw.band)
            else:
                mark = view.mark(observation.id, "expected")
            # A limit without a value says itself where it stands.
            message = flaw.message if kind == "value" else f"{observation.id}: {flaw.message}"
            yield Objection(mark, message, hint)


def of_kind(kind: str, place: str, hint: str) -> Callable[[View], Iterator[Objection]]:
    """The check that tells the flaws of one kind (`analysis.band_trials.Flaw.kind`)."""
    return lambda view: _told_at(view, kind, place, hint)


JOINED = "let one band end where the next begins, with the same words"

value = of_kind("value", BAND, "narrow the range of a fact, or write the limit otherwise")
turned = of_kind(
    "turned", BAND, "write [low, high]; where limits can cross, join bands or narrow the range of a fact"
)
gap = of_kind("gap", BAND, JOINED)
overlap = of_kind("overlap", BAND, JOINED)
narrow = of_kind("narrow", ANSWER, "widen it, or join it with its neighbour")
dead = of_kind("dead", ANSWER, "give the healthy band its other limit")
outside = of_kind("outside", EXPECTED, "put expected or the limits right; the healthy band stands first")
near = of_kind("near", EXPECTED, "give the healthy band more room round it")
