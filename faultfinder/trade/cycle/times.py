"""The times of a logged cycle: plain numbers in the header's unit, clocks, dates with clocks, seconds since 1970.

Only their differences count. A date such as 03/02/2026 may be day or month first: that order is taken in which every
row is a date and the log spans less, since a logger writes on from day to day; alike, the day is first.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

from faultfinder.trade.readings.units import QUANTITIES, Unit, find_unit

_CLOCK = re.compile(r"(\d{1,4}):(\d{2})(?::(\d{2})(?:[.,](\d+))?)?\s*([AaPp])?\.?[Mm]?\.?", re.ASCII)
_DATE = re.compile(r"(\d{1,4})[-/.](\d{1,2})[-/.](\d{2,4})", re.ASCII)
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,2})?", re.ASCII)
_DAY = 86400.0


@dataclass(frozen=True, slots=True)
class _Time:
    """The seconds of the day or of the count, and the date's three numbers as they stand, where there is one."""

    seconds: float
    date: tuple[int, int, int] | None = None


def looks_like_a_time(cell: str) -> bool:
    """Whether a cell can only be a time: a clock or a date with one."""
    return _CLOCK.search(cell) is not None


def seconds_of(rows: Sequence[Sequence[str]], unit: str, comma: bool) -> list[float | None]:
    """The seconds of each row from anywhere; None for what is no time.

    rows: the cell or the two cells (date, clock) of each. unit: of plain numbers, as the header says it or its name;
    seconds where it says nothing. comma: whether a comma is a decimal comma.
    """
    times = [_read(cells, unit, comma) for cells in rows]
    dates = [time.date for time in times if time is not None and time.date is not None]
    order = _order(dates) if dates else (2, 1, 0)
    found: list[float | None] = []
    for time in times:
        day = 0.0 if time is None or time.date is None else _day(time.date, order)
        found.append(None if time is None or day is None else day + time.seconds)
    return found


def _read(cells: Sequence[str], unit: str, comma: bool) -> _Time | None:
    text = " ".join(cells).strip().replace("T", " ")
    plain = text.replace(",", ".") if comma else text
    if _NUMBER.fullmatch(plain):
        number = float(plain)
        # Seconds since 1970 in milliseconds, as web loggers give them.
        return _Time(number / 1000 if number > 1e11 else number * _factor(unit))
    clock, calendar = _CLOCK.search(text), _DATE.search(text)
    if clock is None:
        return None
    hours = int(clock[1])
    if clock[5]:
        hours = hours % 12 + (12 if clock[5] in "pP" else 0)
    minutes, seconds = int(clock[2]), float(f"{clock[3] or 0}.{clock[4] or 0}")
    if minutes > 59 or seconds >= 60:
        return None
    if clock[3] is None and calendar is None and re.search(r"m:s", unit) and "h" not in unit.casefold():
        return _Time(hours * 60.0 + minutes)  # the header says mm:ss
    of_day = hours * 3600 + minutes * 60 + seconds
    return _Time(of_day, (int(calendar[1]), int(calendar[2]), int(calendar[3])) if calendar else None)


def _factor(unit: str) -> float:
    """Seconds in one of the header's units; a bare 'time' counts seconds."""
    for word in [unit, *re.findall(r"[a-z]+", unit.casefold())]:
        found = find_unit(QUANTITIES["time"], word)
        if isinstance(found, Unit):
            return found.factor
    return 1.0


_DAY_FIRST, _MONTH_FIRST = (2, 1, 0), (2, 0, 1)
"""The places of year, month and day in a date."""


def _order(dates: Sequence[tuple[int, int, int]]) -> tuple[int, int, int]:
    if max(first for first, _, _ in dates) > 31:
        return (0, 1, 2)

    def trouble(order: tuple[int, int, int]) -> tuple[int, float]:
        days = [_day(each, order) for each in dates]
        known = [day for day in days if day is not None]
        return days.count(None), sum(abs(b - a) for a, b in zip(known, known[1:], strict=False))

    return min((_DAY_FIRST, _MONTH_FIRST), key=trouble)


def _day(numbers: tuple[int, int, int], order: tuple[int, int, int]) -> float | None:
    """The seconds from year 1 to that date; None where there is no such date."""
    year, month, day = (numbers[place] for place in order)
    try:
        return date(year + 2000 if year < 100 else year, month, day).toordinal() * _DAY
    except ValueError:
        return None


def spread_equal(times: Sequence[float]) -> list[float]:
    """Rows of one and the same minute (a clock without seconds) spread evenly over it, not into a gap behind it."""
    distinct = [b - a for a, b in zip(times, times[1:], strict=False) if b > a]
    usual = median(distinct) if distinct else 0.0
    spread: list[float] = []
    start = 0
    while start < len(times):
        end = start
        while end < len(times) and times[end] == times[start]:
            end += 1
        count = end - start
        following = times[end] - times[start] if end < len(times) and times[end] > times[start] else usual
        step = min(following, usual) / count
        spread += [times[start] + step * place for place in range(count)]
        start = end
    return spread
