"""A reading against its limits as a small inline SVG: the healthy stretch in grey, each take on a row of its own.

Linear, and cut to a window round the healthy stretch; what lies off it is an arrow at the edge, its figure in words.
Meaning is in shapes and words, never in colour: a dot is within the limits, a diamond outside, a ring on the edge.
Sizes are in CSS pixels of the drawing's own box, which a page may scale.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from faultfinder.job.record.event_codec import plain_text
from faultfinder.report.in_words import healthy_text, take_text, take_value, verdict_of, when_of
from faultfinder.report.model import Measured, Taken
from faultfinder.text.catalogue import say
from faultfinder.text.format import format_quantity

WIDTH = 320
_LEFT, _RIGHT = 12.0, 308.0
_BAR_TOP, _BAR_HEIGHT = 6.0, 16.0
_LIMITS_AT = 35.0
_FIRST_ROW = 56.0
_ROW = 34.0
_LETTER = 6.2
"""Width of an average letter at the drawing's type size."""
_MARK = 5.0


@dataclass(frozen=True, slots=True)
class Window:
    """The stretch of figures that is drawn."""

    low: float
    high: float

    def x(self, value: float) -> float:
        """Where a figure stands, held at the edges."""
        share = (value - self.low) / (self.high - self.low)
        return _LEFT + min(1.0, max(0.0, share)) * (_RIGHT - _LEFT)

    def holds(self, value: float) -> bool:
        return self.low <= value <= self.high


def window(low: float, high: float, values: Sequence[float]) -> Window | None:
    """A window round the healthy stretch, widened for figures near it; None where it has no finite limit.

    low, high: the healthy limits (either may be infinite, not both); values: the readings.
    """
    ends = [end for end in (low, high) if math.isfinite(end)]
    if not ends:
        return None
    if len(ends) == 2 and high > low:
        reach = high - low
        first, last = low - 1.2 * reach, high + 1.2 * reach
        if low == 0.0:
            first, last = 0.0, 2.2 * high
    else:
        reach = abs(ends[0]) or 1.0
        first, last = ends[0] - reach, ends[0] + reach
    near = [v for v in values if math.isfinite(v) and first - 2 * reach <= v <= last + 2 * reach]
    pad = 0.05 * (last - first)
    first = min([first, *(v - pad for v in near)])
    last = max([last, *(v + pad for v in near)])
    if min([*ends, *near]) >= 0.0:
        first = max(first, 0.0)
    return Window(first, last)


def chart(item: Measured) -> str:
    """The SVG of a reading, or nothing where it has no figures to draw."""
    takes = [take for take in item.counted if take.value is not None]
    if not item.bands or not takes:
        return ""
    low, high = item.bands[0].low, item.bands[0].high
    scale = window(low, high, [take.value for take in takes if take.value is not None])
    if scale is None:
        return ""
    height = _FIRST_ROW + _ROW * len(takes) - 8
    parts = [_bar(scale, low, high, item.unit)]
    for number, take in enumerate(takes):
        parts.append(_row(scale, item, take, _FIRST_ROW + _ROW * number))
    spoken = say(
        "chart",
        title=item.title,
        healthy=healthy_text(item),
        takes="; ".join(take_text(item, take) for take in takes),
    )
    return (
        f'<svg viewBox="0 0 {WIDTH} {height:.0f}" role="img" aria-label="{_safe(spoken)}" '
        f'font-size="12" font-family="sans-serif">{"".join(parts)}</svg>'
    )


def _bar(scale: Window, low: float, high: float, unit: str) -> str:
    """The scale with its healthy stretch, and the limits' figures under it."""
    left, right = scale.x(low), scale.x(high)
    parts = [
        f'<rect x="{_LEFT:.1f}" y="{_BAR_TOP}" width="{_RIGHT - _LEFT:.1f}" height="{_BAR_HEIGHT}" '
        'fill="#fff" stroke="#000"/>',
        f'<rect x="{left:.1f}" y="{_BAR_TOP}" width="{max(1.0, right - left):.1f}" height="{_BAR_HEIGHT}" '
        'fill="#c8c8c8" stroke="#000"/>',
    ]
    word = say("chart_healthy")
    if right - left > len(word) * _LETTER + 6:
        parts.append(_text((left + right) / 2, _BAR_TOP + 12, word, "middle"))
    inside = [limit for limit in (low, high) if _drawn(scale, limit)]
    close = len(inside) == 2 and right - left < 90
    for limit in inside:
        x = scale.x(limit)
        anchor = "middle"
        if close:
            anchor = "end" if limit == low else "start"
        parts.append(_text(x, _LIMITS_AT, format_quantity(limit, unit), anchor))
    return "".join(parts)


def _drawn(scale: Window, limit: float) -> bool:
    return math.isfinite(limit) and scale.low < limit < scale.high


def _row(scale: Window, item: Measured, take: Taken, y: float) -> str:
    """One take: its words, and under them its mark on the scale."""
    assert take.value is not None
    words = row_words(item, take)
    limits = (item.bands[0].low, item.bands[0].high)
    at = y + 14
    parts = [
        _text(_LEFT, y + 2, _fitted(words), "start"),
        *(
            _line(x, at - 7, x, at + 7, 'stroke="#000" stroke-dasharray="2 2"')
            for x in (scale.x(limit) for limit in limits if _drawn(scale, limit))
        ),
        _line(_LEFT, at, _RIGHT, at, 'stroke="#999"'),
    ]
    if not scale.holds(take.value):
        return "".join([*parts, _arrow(take.value > scale.high, at)])
    if take.doubt > 0.0:
        ends = (scale.x(take.value - 2 * take.doubt), scale.x(take.value + 2 * take.doubt))
        parts.append(_whisker(*ends, at))
    return "".join([*parts, _mark(scale.x(take.value), at, take)])


def _mark(x: float, y: float, take: Taken) -> str:
    if take.on_edge:
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_MARK}" fill="#fff" stroke="#000" stroke-width="2"/>'
    if take.healthy:
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_MARK}"/>'
    r = _MARK + 1.5
    points = f"{x:.1f},{y - r:.1f} {x + r:.1f},{y:.1f} {x:.1f},{y + r:.1f} {x - r:.1f},{y:.1f}"
    return f'<polygon points="{points}"/>'


def _line(x1: float, y1: float, x2: float, y2: float, style: str) -> str:
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" {style}/>'


def _arrow(up: bool, y: float) -> str:
    tip, back = (_RIGHT + 6, _RIGHT - 8) if up else (_LEFT - 6, _LEFT + 8)
    return f'<polygon points="{tip:.1f},{y:.1f} {back:.1f},{y - 6:.1f} {back:.1f},{y + 6:.1f}"/>'


def _whisker(left: float, right: float, y: float) -> str:
    lines = [(left, y, right, y), (left, y - 4, left, y + 4), (right, y - 4, right, y + 4)]
    return "".join(_line(*ends, 'stroke="#000" stroke-width="1.5"') for ends in lines)


def row_words(item: Measured, take: Taken) -> str:
    """What stands over a take's mark, before it is cut to the drawing's width."""
    return say("take", when=when_of(take), text=take_value(item, take), verdict=verdict_of(take))


def drawn_in_full(item: Measured) -> frozenset[str]:
    """The sentences that the drawing holds whole, so that a page need not say them twice."""
    words = [row_words(item, take) for take in item.counted if take.value is not None]
    return frozenset(each for each in words if _fitted(each) == each)


def _fitted(words: str) -> str:
    """Words cut to the width of the drawing; the page says them in full beside it."""
    most = int((_RIGHT - _LEFT) / _LETTER)
    return words if len(words) <= most else words[: most - 3].rstrip(" ,") + "..."


def _text(x: float, y: float, words: str, anchor: str) -> str:
    """Words, kept inside the drawing."""
    half = len(words) * _LETTER * (0.5 if anchor == "middle" else 1.0)
    if anchor in ("middle", "end"):
        x = max(x, half + 2)
    if anchor in ("middle", "start"):
        x = min(x, WIDTH - half - 2)
    return f'<text x="{max(2.0, x):.1f}" y="{y:.1f}" text-anchor="{anchor}">{_safe(words)}</text>'


def _safe(text: str) -> str:
    return escape(plain_text(text), quote=True)
