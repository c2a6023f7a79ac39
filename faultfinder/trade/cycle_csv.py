"""A logged cycle as its logger wrote it: CSV text in, times and values out, and what was odd about it told.

Loggers agree on nothing. So: lines before the header are passed over; the delimiter is the one that parts the header
best; with `;` or tab between cells a comma is a decimal comma; columns are found by name and their units by what
stands in brackets, after a slash or after an underscore. Times may be seconds, minutes, hours of the day, dates with
times or seconds since 1970; only their differences count. Nothing is dropped in silence: a row that cannot be read, a
time that goes back and a gap are each told with their line.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

from faultfinder.trade.cycle_columns import (
    WANTED,
    Column,
    CycleLogError,
    Note,
    find_header,
    split_row,
    time_columns,
    value_columns,
    value_unit,
    words_of,
)
from faultfinder.trade.units import QUANTITIES, Unit, find_unit

__all__ = ["CycleLog", "CycleLogError", "Note", "other_log", "read_cycle_log"]

MOST_CHARACTERS = 20_000_000
MOST_ROWS = 400_000
"""Chosen: a day at five rows a second."""

GAP_TIMES = 5.0
"""An interval this many times the usual one is a gap (chosen: a logger that skips two or three rows is no gap)."""


@dataclass(frozen=True, slots=True)
class CycleLog:
    """The samples of one column over time.

    seconds: from the first sample on, rising. values: in `unit` ('W' or 'A'), aligned with seconds.
    breaks: positions i where the time between sample i-1 and i is unknown or a gap. notes: in order of line.
    """

    quantity: str
    unit: str
    column: str
    seconds: tuple[float, ...]
    values: tuple[float, ...]
    breaks: tuple[int, ...]
    interval: float
    notes: tuple[Note, ...]


_CLOCK = re.compile(r"(\d{1,4}):(\d{2})(?::(\d{2})(?:[.,](\d+))?)?\s*([AaPp])?\.?[Mm]?\.?", re.ASCII)
_DATE = re.compile(r"(\d{1,4})[-/.](\d{1,2})[-/.](\d{2,4})", re.ASCII)
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,2})?", re.ASCII)


def read_cycle_log(text: str, column: str | None = None, quantities: Sequence[str] = WANTED) -> CycleLog:
    """The log in a CSV text; `column` names the column to take instead of the one that would be found.

    Of several columns the one of the first quantity in `quantities` is taken: power before current. Raises
    CycleLogError where there is no header with a time and such a column, where fewer than three rows can be read, or
    where the text is beyond MOST_CHARACTERS or MOST_ROWS.
    """
    if len(text) > MOST_CHARACTERS:
        raise CycleLogError(f"the log has {len(text)} characters; at most {MOST_CHARACTERS} are read.")
    text = text.lstrip("\ufeff").replace("\x00", "")
    lines = text.splitlines()
    delimiter, header_line, cells = find_header(lines, column, quantities)
    times, value = time_columns(cells), value_columns(cells, column, quantities)[0]
    quantity, unit, factor, notes = value_unit(value, header_line)
    if quantity not in quantities:
        wanted = " or ".join(QUANTITIES[name].title for name in quantities)
        raise CycleLogError(f"column '{value.name}' is {QUANTITIES[quantity].title}; asked for is {wanted}.")
    rows, more = _rows(lines, header_line, delimiter, times, value, quantity, factor)
    notes += more
    if len(rows) < 3:
        raise CycleLogError(
            f"only {len(rows)} rows of column '{value.name}' can be read; a cycle needs three at least."
            + "".join(f" Line {note.line}: {note.words}" for note in more[:1])
        )
    return _assemble(rows, quantity, unit, value.name, notes)


def other_log(text: str, log: CycleLog, quantity: str) -> CycleLog | None:
    """The same cycle in another quantity, where the text has a column of it that can be read; else None."""
    if quantity == log.quantity:
        return None
    try:
        return read_cycle_log(text, quantities=(quantity,))
    except CycleLogError:
        return None


# The rows.


def _rows(
    lines: list[str],
    header_line: int,
    delimiter: str,
    times: list[Column],
    value: Column,
    quantity: str,
    factor: float,
) -> tuple[list[tuple[int, float, float]], list[Note]]:
    """(line, seconds, value) of each row that can be read, and notes on the others."""
    rows: list[tuple[int, float, float]] = []
    notes: list[Note] = []
    comma = delimiter in ";\t|"
    missing = 0
    for number, line in enumerate(lines[header_line:], header_line + 1):
        if not line.strip():
            continue
        if len(rows) >= MOST_ROWS:
            raise CycleLogError(f"the log has more than {MOST_ROWS} rows.")
        cells = split_row(line, delimiter) if len(line) < 10_000 else []
        if max(value.index, *(each.index for each in times)) >= len(cells):
            notes.append(Note(number, "row", "the row is shorter than the header; left out."))
            continue
        seconds = _seconds([cells[each.index] for each in times], times[-1].unit or times[-1].name, comma)
        if seconds is None:
            shown = " ".join(cells[each.index] for each in times)[:30]
            notes.append(Note(number, "row", f"'{shown}' is no time; the row is left out."))
            continue
        amount = _amount(cells[value.index], quantity, factor, comma)
        if amount is None:
            missing += 1
            if missing <= 3:
                notes.append(
                    Note(number, "row", f"'{cells[value.index][:30]}' is no number; the row is left out.")
                )
            continue
        rows.append((number, seconds, amount))
    if missing > 3:
        notes.append(Note(header_line, "row", f"{missing} rows in all have no number in '{value.name}'."))
    return rows, notes


def _amount(cell: str, quantity: str, factor: float, comma: bool) -> float | None:
    """A value in W or A; a small negative one is the noise of a clamp and counts as 0, a large one as unreadable."""
    text = cell.replace(",", ".") if comma or "." not in cell else cell
    found = _NUMBER.match(text)
    if not found:
        return None
    rest = text[found.end() :].strip()
    if rest:
        unit = find_unit(QUANTITIES[quantity], rest)
        if not isinstance(unit, Unit):
            return None
        factor = unit.factor
    number = float(found[0]) * factor
    kind = QUANTITIES[quantity]
    if number < 0:
        return 0.0 if number > -0.001 * kind.high else None
    return number if number <= kind.high else None


def _seconds(cells: list[str], unit: str, comma: bool) -> float | None:
    """A time in seconds from anywhere: a number in `unit`, a clock, or a date with one."""
    text = " ".join(cells).strip().replace("T", " ")
    plain = text.replace(",", ".") if comma else text
    if _NUMBER.fullmatch(plain):
        number = float(plain)
        # Seconds since 1970 in milliseconds, as web loggers give them.
        return number / 1000 if number > 1e11 else number * _time_factor(unit)
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
        return hours * 60.0 + minutes  # the header says mm:ss
    day = _day(calendar) if calendar else 0.0
    return None if day is None else day + hours * 3600 + minutes * 60 + seconds


def _day(found: re.Match[str]) -> float | None:
    """The seconds from year 1 to that date; day first, unless that cannot be."""
    first, second, third = (int(part) for part in found.groups())
    orders = ((first, second, third),) if first > 31 else ((third, second, first), (third, first, second))
    for year, month, day in orders:
        try:
            return date(year + 2000 if year < 100 else year, month, day).toordinal() * 86400.0
        except ValueError:
            continue
    return None


def _time_factor(unit: str) -> float:
    """Seconds in one of the header's units; a bare 'time' counts seconds."""
    for word in [unit, *words_of(unit)]:
        found = find_unit(QUANTITIES["time"], word)
        if isinstance(found, Unit):
            return found.factor
    return 1.0


# Putting them together.


def _assemble(
    rows: list[tuple[int, float, float]], quantity: str, unit: str, column: str, notes: list[Note]
) -> CycleLog:
    times = _spread_equal([seconds for _, seconds, _ in rows])
    steps = [b - a for a, b in zip(times, times[1:], strict=False) if b > a]
    if not steps:
        raise CycleLogError(f"the time never moves on in the {len(rows)} rows of the log.")
    usual = median(steps)
    seconds = [0.0]
    breaks = []
    for position in range(1, len(rows)):
        line = rows[position][0]
        step = times[position] - times[position - 1]
        if step < 0:
            midnight = step + 86400
            if 0 < midnight <= GAP_TIMES * usual:
                step = midnight
            else:
                notes.append(
                    Note(line, "reset", f"the clock goes back by {-step:.0f} s: the logger was restarted.")
                )
                breaks.append(position)
                step = usual
        elif step > GAP_TIMES * usual:
            notes.append(Note(line, "gap", f"nothing was logged for {step:.0f} s."))
            breaks.append(position)
        seconds.append(seconds[-1] + step)
    if not math.isfinite(seconds[-1]):
        raise CycleLogError("the times of the log are beyond every range.")
    return CycleLog(
        quantity,
        unit,
        column,
        tuple(seconds),
        tuple(value for _, _, value in rows),
        tuple(breaks),
        usual,
        tuple(sorted(notes, key=lambda note: note.line)),
    )


def _spread_equal(times: list[float]) -> list[float]:
    """Rows of one and the same minute (a clock without seconds) are spread evenly up to the next one."""
    spread: list[float] = []
    start = 0
    last_step = 0.0  # all rows of one time only: nothing to spread over
    while start < len(times):
        end = start
        while end < len(times) and times[end] == times[start]:
            end += 1
        count = end - start
        if count > 1 and end < len(times) and times[end] > times[start]:
            last_step = (times[end] - times[start]) / count
        step = last_step if count > 1 else 0.0
        spread += [times[start] + step * place for place in range(count)]
        start = end
    return spread
