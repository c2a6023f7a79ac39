"""A reading in words: what it was taken as, and how far it is from what it ought to have been."""

from __future__ import annotations

import math

from faultfinder.knowledge.formulas.bands import expected_value, fact_values, limits
from faultfinder.knowledge.model import Observation, answer_text
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import Judged
from faultfinder.text.catalogue import say
from faultfinder.text.format import format_quantity, format_span, percent

_SAME = 0.005
"""A difference of less is none, to a person; chosen."""
_TIMES = 3.0
"""From here on 'so many times' says more than per cent; chosen."""


def expected_of(case: Case, observation: Observation) -> float | None:
    """What a healthy machine of these facts reads, in the observation's unit; None where only a band says it, as
    where the value named is itself the limit (the longest run allowed)."""
    values = fact_values(case.pack, case.facts)
    value = expected_value(observation, values)
    if value is None or not math.isfinite(value) or value == 0:
        return None
    limit = any(math.isclose(value, end, rel_tol=1e-6) for end in limits(observation, values)[0])
    return None if limit else value


def healthy_words(case: Case, observation: Observation, *, with_band: bool = True) -> str:
    """'about 10 A (9.4 to 11.3 A)', or the band alone where nothing says more."""
    assert observation.reading is not None
    unit = observation.reading.unit
    expected = expected_of(case, observation)
    if expected is not None and not with_band:
        return say("about", expected=format_quantity(expected, unit))
    band = format_span(*limits(observation, fact_values(case.pack, case.facts))[0], unit)
    if expected is None:
        return band
    return say("about_band", expected=format_quantity(expected, unit), band=band)


def against(case: Case, observation: Observation, judged: Judged, *, with_band: bool = True) -> str:
    """How a reading stands to what it ought to have been: '42 % below about 10 A (9.4 to 11.3 A)'.

    with_band: whether the healthy band is told beside the expected value. Empty for an answer that is no reading.
    """
    reading = judged.given.reading
    if observation.reading is None:
        return ""
    words = healthy_words(case, observation, with_band=with_band)
    expected = expected_of(case, observation)
    if expected is None:
        return say("against_band", band=words)
    if reading is None or math.isinf(reading.value):
        return say("against_instead", expected=words)
    ratio = reading.value / expected
    if abs(ratio - 1) < _SAME:
        return say("against_at", expected=words)
    if ratio >= _TIMES:
        return say("against_times", times=f"{ratio:.2g}" if ratio < 99.5 else f"{ratio:.0f}", expected=words)
    share = abs(ratio - 1) * 100
    key = "against_below" if ratio < 1 else "against_above"
    return say(key, percent=f"{share:.0f} %", expected=words)


def answer_words(observation: Observation, judged: Judged) -> str:
    """What a reading or a finding was taken as; on the edge, both answers with their shares."""
    if not judged.on_the_edge:
        return answer_text(observation, judged.answer)
    (first, share), (second, other) = likeliest_two(observation, judged)
    shares = percent(share), percent(other)
    return say("assess_edge", first=first, first_share=shares[0], second=second, second_share=shares[1])


def likeliest_two(observation: Observation, judged: Judged) -> list[tuple[str, float]]:
    """The two answers that a reading is likeliest, in words with their shares."""
    pairs = sorted(zip(judged.weights, observation.answers, strict=True), key=lambda pair: -pair[0])
    return [(answer_text(observation, answer.id), share) for share, answer in pairs[:2]]
