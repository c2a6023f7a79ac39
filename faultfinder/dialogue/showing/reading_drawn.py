"""A reading against its limits on one line, with the same marks as in a report: the healthy stretch, and a dot within
it, a diamond outside, a ring on the edge, an arrow off the scale. Where nothing is drawn the words before it say it.
"""

from __future__ import annotations

import math

from faultfinder.dialogue.say import Drawing
from faultfinder.errors import BadFact
from faultfinder.knowledge.formulas.bands import fact_values, limits
from faultfinder.knowledge.model import Observation
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import Judged
from faultfinder.report.drawing import window
from faultfinder.text.format import format_quantity, format_span

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
