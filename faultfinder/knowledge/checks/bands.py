"""Bands of a reading that leave a gap, overlap, run backwards, have no value, or judge a machine wrongly."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.errors import BadFact
from faultfinder.knowledge.analysis.pushes import opposite_pair
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.registry import Find, error, warning
from faultfinder.knowledge.formulas.bands import fact_values, limits
from faultfinder.knowledge.problem import Objection

BAND, EXPECTED = "band", "expected"
"""Where it is told: at the band, or at what a healthy machine reads."""


def _of_kind(kind: str, place: str, hint: str) -> Find:
    """The check that tells the flaws of one kind (`analysis.band_trials.Flaw.kind`)."""

    def find(view: View) -> Iterator[Objection]:
        for name, flaws in view.band_flaws.items():
            for flaw in flaws:
                if flaw.kind == kind:
                    path = ("expected",) if place == EXPECTED else ("bands", flaw.band)
                    # A limit without a value says itself where it stands.
                    message = flaw.message if kind == "value" else f"{name}: {flaw.message}"
                    yield Objection(view.mark(name, *path), message, hint)

    return find


_TURNED = "write [low, high]; where limits can cross, join bands or narrow the range of a fact"
_JOINED = "let one band end where the next begins, with the same words"
_EXPECTED = "put expected or the limits right; the healthy band stands first"
value = error("band-value")(
    _of_kind("value", BAND, "narrow the range of a fact, or write the limit otherwise")
)
turned = error("band-turned")(_of_kind("turned", BAND, _TURNED))
gap = error("band-gap")(_of_kind("gap", BAND, _JOINED))
overlap = error("band-overlap")(_of_kind("overlap", BAND, _JOINED))
outside = warning("expected-outside")(_of_kind("outside", EXPECTED, _EXPECTED))
near = warning("limit-too-near")(_of_kind("near", EXPECTED, "give the healthy band more room round it"))
narrow = warning("narrow-band")(_of_kind("narrow", BAND, "widen it, or join it with its neighbour"))
dead = warning("dead-passes")(_of_kind("dead", BAND, "give the healthy band its other limit"))

_LOW = ("shorted", "short", "closed", "earthed", "low", "too_low")
_HIGH = ("high", "too_high", "open", "broken")
ORDER = tuple((low, high) for low in ("low", "too_low") for high in ("high", "too_high"))
"""Pairs of band names of which the first is the lower one."""
ORDER_OF_RESISTANCE = tuple((low, high) for low in (*_LOW, "high") for high in _HIGH if low != high)


@warning("band-names", "put the limits, or the names, the other way round")
def names_say_another_order_than_the_limits(view: View) -> Iterator[Objection]:
    for observation, spec in view.readings:
        try:
            bounds = limits(observation, fact_values(view.pack, {}))
        except BadFact:
            continue
        low_of = {answer.id: low for answer, (low, _) in zip(observation.answers, bounds, strict=False)}
        for lower, higher in (*(ORDER_OF_RESISTANCE if spec.quantity == "resistance" else ()), *ORDER):
            if lower in low_of and higher in low_of and low_of[lower] > low_of[higher]:
                message = f"{observation.id}: {lower} lies above {higher}"
                yield Objection(view.limit_mark(observation.id, higher, 0), message)
                break


@warning("opposite-pushes", whole=True)
def usual_causes_push_in_opposite_directions(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        pair = opposite_pair(view, observation)
        if pair is not None:
            (below, low), (above, high) = pair
            winner = max((low, high), key=observation.index)
            says = f'{below} pushes it to "{low}" and {above} to "{high}"'
            hint = f'confirm with both_ways: yes that with both one reads "{winner}", or split the reading'
            yield view.objection(observation.id, "bands", says=says, hint=hint)
