"""A reading held against what it ought to have been: in words, and drawn on one line."""

from __future__ import annotations

import math

from faultfinder.dialogue.say import Drawing
from faultfinder.errors import BadFact
from faultfinder.knowledge.formulas.bands import expected_value, fact_values, facts_to_ask, limits
from faultfinder.knowledge.model import Observation, answer_text
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import Judged
from faultfinder.report.drawing import window
from faultfinder.text.catalogue import say
from faultfinder.text.format import format_quantity, format_span, listed, name_of, percent

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


def answer_words(case: Case, observation: Observation, judged: Judged) -> str:
    """What a reading or a finding was taken as; on the edge, both answers with their shares, and what is not known of
    the machine where that is why."""
    if not judged.on_the_edge:
        return answer_text(observation, judged.answer)
    (first, share), (second, other) = likeliest_two(observation, judged)
    one, two = percent(share), percent(other)
    if unknown := unknown_behind(case, observation):
        return say(
            "assess_unsure", first=first, first_share=one, second=second, second_share=two, facts=unknown
        )
    return say("assess_edge", first=first, first_share=one, second=second, second_share=two)


def unknown_behind(case: Case, observation: Observation) -> str:
    """The facts, by name, that are assumed and move the limits of a reading; empty where all of them are known."""
    return listed([name_of(fact) for fact in facts_to_ask(case.pack, observation, case.facts)])


def likeliest_two(observation: Observation, judged: Judged) -> list[tuple[str, float]]:
    """The two answers that a reading is likeliest, in words with their shares."""
    pairs = sorted(zip(judged.weights, observation.answers, strict=True), key=lambda pair: -pair[0])
    return [(answer_text(observation, answer.id), share) for share, answer in pairs[:2]]


CELLS = 28
"""Cells of the scale; with the figures at its sides it fits a line of 76. Chosen."""


def drawn(case: Case, observation: Observation, judged: Judged) -> list[Drawing]:
    """The line, or nothing where there is no figure or no limit to draw."""
    reading = judged.given.reading
    if observation.reading is None or reading is None:
        return []
    try:
        low, high = limits(observation, fact_values(case.pack, case.facts))[0]
    except BadFact:
        return []
    value = math.inf if reading.over_range else reading.value
    line = scale(low, high, value, on_edge=judged.on_the_edge, healthy=judged.answer == observation.healthy)
    if not line:
        return []
    unit = observation.reading.unit
    healthy = format_span(low, high, unit)
    return [Drawing(f"{format_quantity(value, unit):>9} {line} {healthy}", "")]


def scale(low: float, high: float, value: float, *, on_edge: bool, healthy: bool) -> str:
    """The scale alone: CELLS cells for the window round the limits, the mark in the value's cell; empty without a
    finite limit."""
    seen = window(low, high, [value])
    if seen is None or math.isnan(value):
        return ""
    step = (seen.high - seen.low) / CELLS
    centres = [seen.low + step * (cell + 0.5) for cell in range(CELLS)]
    cells = ["\u2592" if low <= centre <= high else "\u00b7" for centre in centres]
    if "\u2592" not in cells:
        nearest = min(range(CELLS), key=lambda cell: abs(centres[cell] - (low + high) / 2))
        cells[nearest] = "\u2592"
    if value > seen.high:
        cells[-1] = "\u25b6"
    elif value < seen.low:
        cells[0] = "\u25c0"
    else:
        place = min(CELLS - 1, max(0, int((value - seen.low) / step)))
        cells[place] = "\u25cb" if on_edge else "\u25cf" if healthy else "\u25c6"
    return "".join(cells)
