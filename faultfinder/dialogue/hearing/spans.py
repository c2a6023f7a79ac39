"""How long ago, where the answers are spans of time: '3 years' is 'Two to six years ago'.

An observation whose abnormal and healthy answers all name a span ('Under two years', 'Two to six years', 'Over six
years') is answered by a figure with a unit of time. A figure alone is none: it may be the number of an answer.
"""

from __future__ import annotations

import math
import re

from faultfinder.knowledge.model import Observation

_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_PER_YEAR = {"year": 1.0, "yr": 1.0, "month": 1 / 12, "mth": 1 / 12, "week": 7 / 365.25, "day": 1 / 365.25}
_A_NUMBER = rf"([0-9]+(?:\.[0-9]+)?|{'|'.join(_NUMBERS)})"
_UNIT = r"(years?|yrs?|months?|mths?|weeks?|days?)"
_SAID = re.compile(
    rf"(?:(?:about|around|roughly|maybe|some|it was) )*(?:{_A_NUMBER}|an?|last|this) ?{_UNIT}(?: ago| back| now)?"
)


def span_answer(item: Observation, line: str) -> str:
    """The answer whose span holds the time that a line says; empty where the line says none, or may mean two."""
    spans = {
        answer.id: span for answer in item.answers if (span := _span(answer.text.casefold())) is not None
    }
    said = _SAID.fullmatch(" ".join(line.casefold().split()).strip(" .!"))
    if len(spans) < len(item.answers) or said is None:
        return ""
    years = _years(said[1] or "one", said[2])
    fits = [name for name, (low, high) in spans.items() if low <= years <= high]
    return fits[0] if len(fits) == 1 else ""


def _span(text: str) -> tuple[float, float] | None:
    """From and to, in years; None for a text that names no span. 'Under two' leaves two itself out."""
    if found := re.search(rf"\b(under|over) {_A_NUMBER} {_UNIT}", text):
        end = _years(found[2], found[3])
        below = 0.0, math.nextafter(end, 0.0)
        return below if found[1] == "under" else (math.nextafter(end, math.inf), math.inf)
    if found := re.search(rf"\b{_A_NUMBER} to {_A_NUMBER} {_UNIT}", text):
        return _years(found[1], found[3]), _years(found[2], found[3])
    return None


def _years(number: str, unit: str) -> float:
    count = _NUMBERS.index(number) + 1 if number in _NUMBERS else float(number)
    return count * _PER_YEAR[unit.rstrip("s")]
