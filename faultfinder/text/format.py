"""How figures, times, chances and lists are said to people, everywhere in the same way."""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import datetime

from faultfinder.text.catalogue import has, say

_LADDERS = (
    {"mohm": 1e-3, "ohm": 1.0, "kohm": 1e3, "Mohm": 1e6, "Gohm": 1e9},
    {"pF": 1e-12, "nF": 1e-9, "uF": 1e-6, "mF": 1e-3, "F": 1.0},
)
"""Units that take another prefix where that keeps the figure short; their size in the first without a prefix."""
_SHOWN_ONLY_AS_GIVEN = ("mohm", "F")
"""Nobody writes a resistance in milliohms that was not measured so, or a capacitor in whole farads."""
_SURE = (
    (0.99, "certain"),
    (0.90, "very_likely"),
    (0.70, "likely"),
    (0.50, "more_likely_than_not"),
    (0.20, "possible"),
    (0.00, "not_likely"),
)
"""Lowest chance -> how sure that is; chosen."""


def format_quantity(value: float, unit: str) -> str:
    """A value as a person reads it: three significant digits, the prefix that keeps it short; inf is OL."""
    if math.isinf(value):
        return say("figure_over_range") if value > 0 else say("figure_under_range")
    if math.isnan(value):
        return f"? {unit}".rstrip()
    value, unit = _rescaled(value, unit)
    size = abs(value)
    decimals = 3 if size == 0 else 2 - math.floor(math.log10(size) + 1e-12)
    shown = f"{value:.{min(max(decimals, 0), 12)}f}"
    if "." in shown:
        shown = shown.rstrip("0").rstrip(".")
    if shown == "-0":
        shown = "0"
    return f"{shown} {unit}" if unit not in ("", "1") else shown


def format_span(low: float, high: float, unit: str) -> str:
    """A band of values as a person reads it: '9.4 to 11.3 A', 'below 2 ohm', 'above 75 %'."""
    if math.isinf(high):
        return (
            say("figure_above", low=format_quantity(low, unit)) if math.isfinite(low) else say("figure_any")
        )
    if math.isinf(low) or low == 0.0:
        return say("figure_below", high=format_quantity(high, unit))
    first, last = format_quantity(low, unit), format_quantity(high, unit)
    if first.partition(" ")[2] == last.partition(" ")[2]:
        first = first.partition(" ")[0]
    return say("figure_from_to", low=first, high=last)


def _rescaled(value: float, unit: str) -> tuple[float, str]:
    """47 000 ohm -> 47 kohm, 8e-6 F -> 8 uF; other units stay as asked for."""
    ladder = next((each for each in _LADDERS if unit in each), None)
    if ladder is None or value == 0 or unit not in _SHOWN_ONLY_AS_GIVEN and 0.1 <= abs(value) < 1000:
        return value, unit
    base = value * ladder[unit]
    steps = [step for step in ladder if step not in _SHOWN_ONLY_AS_GIVEN]
    fitting = [step for step in steps if abs(base) >= 0.999999 * ladder[step]]
    best = fitting[-1] if fitting else unit if unit == "mohm" else steps[0]
    return base / ladder[best], best


def percent(chance: float, decimals: int = 0) -> str:
    """A chance or share for people, to so many decimals of a per cent: never a false 0 or 100."""
    step = 10.0**-decimals
    if 1.0 - step / 200 <= chance < 1.0:
        return say("figure_percent_most", count=f"{100 - step:.{decimals}f}")
    if 0.0 < chance < step / 200:
        return say("figure_percent_least", count=f"{step:.{decimals}f}")
    return say("figure_percent", count=f"{chance * 100:.{decimals}f}")


def sure(chance: float) -> str:
    """A chance in words."""
    return say(f"sure_{next(words for least, words in _SURE if chance >= least)}")


def minutes_text(minutes: float) -> str:
    """Minutes as people say them."""
    if minutes < 1:
        return say("figure_half_a_minute") if minutes >= 0.25 else say("figure_no_time")
    if minutes < 90:
        return say("figure_minutes", count=f"{minutes:.0f}")
    return say("figure_hours", count=f"{minutes / 60:.1f}")


def logged_time(seconds: float) -> str:
    """A time that an instrument has logged, closer than people estimate theirs: seconds, minutes to a tenth."""
    if seconds < 60:
        return say("figure_seconds", count=f"{seconds:.0f}")
    digits = 0 if seconds >= 6000 else 1
    return say("figure_minutes", count=f"{seconds / 60:.{digits}f}".removesuffix(".0"))


def listed(items: Iterable[str]) -> str:
    """Names as a sentence lists them: a, b and c."""
    return _joined(items, "figure_and")


def choices(items: Iterable[str]) -> str:
    """What may be chosen, as a sentence lists it: a, b or c."""
    return _joined(items, "figure_or")


def _joined(items: Iterable[str], key: str) -> str:
    *first, last = [*items] or [""]
    return say(key, items=", ".join(first), last=last) if first else last


def counted(count: int, what: str) -> str:
    """A number of things: `counted(1, "case")` is '1 case', `counted(2, "case")` '2 cases'."""
    return say(f"count_{what}" if count == 1 else f"count_{what}s", count=count)


def with_answer(ask: str, answer: str) -> str:
    """A question with its answer, or the name of a reading with what it was."""
    return say("ask_answer" if ask.endswith("?") else "name_answer", ask=ask, answer=answer)


def quoted(text: str, most: int = 40) -> str:
    """What somebody typed, to be said again: of a long line the words that fit into so many letters."""
    if len(text) <= most:
        return text
    head = text[: most - 2]
    return (head.rpartition(" ")[0].rstrip(" ,;.:") or head[: most - 3]) + "..."


def lower(text: str) -> str:
    """A text as it goes on within a sentence."""
    return text[:1].lower() + text[1:]


def capital(text: str) -> str:
    """A text as it begins a sentence."""
    return text[:1].upper() + text[1:]


def name_of(id_: str) -> str:
    """An id in plain words."""
    return id_.replace("_", " ")


def closing_words(state: str) -> str:
    """How a job was closed, within a sentence; a state that is not known comes back in plain words."""
    key = f"closing_{state}"
    return say(key) if has(key) else name_of(state)


def moment(at: str, *, day_only: bool = False) -> str:
    """A time as it stands in a record, to the minute; what is no time comes back as it is."""
    try:
        when = datetime.fromisoformat(at)
    except ValueError:
        return at
    return when.strftime("%Y-%m-%d" if day_only else "%Y-%m-%d %H:%M")
