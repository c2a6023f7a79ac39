"""A logged cycle as its logger wrote it: CSV text in, times and values out, and what was odd about it told.

Loggers agree on nothing. So: lines before the header are passed over; the delimiter is the one that parts the header
best; columns are found by name, else by what their rows hold; times and decimal marks are read as the whole column
wants them. Only differences of time count. A log that has a row only where the value changed is filled up: a value
holds until the next row. Nothing is dropped in silence: a row that cannot be read, a time that goes back and a gap
are each told with their line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from faultfinder.text.catalogue import say
from faultfinder.text.format import choices
from faultfinder.trade.cycle.columns import (
    WANTED,
    Column,
    CycleLogError,
    Header,
    Note,
    find_header,
    split_row,
    unit_in_cell,
    value_unit,
)
from faultfinder.trade.cycle.times import seconds_of, spread_equal
from faultfinder.trade.cycle.values import decimal_mark, value_of
from faultfinder.trade.readings.units import QUANTITIES, Unit, find_unit

MOST_CHARACTERS = 20_000_000
MOST_ROWS = 400_000
"""Chosen: a day at five rows a second."""

GAP_TIMES = 5.0
"""An interval this many times the usual one is a gap (chosen: a logger that skips two or three rows is no gap)."""
_CHANGES_GAPS = 0.03
_CHANGES_STEADY = 0.6
"""More long intervals than the one and fewer of the usual length than the other: a row a change; chosen."""
_FILLED_WITH = 20
"""Rows put at the most between two of a log of changes; chosen."""


_LOGGED = ("power", "current", "voltage", "energy", "apparent_power", "temperature", "humidity", "frequency")


@dataclass(frozen=True, slots=True)
class CycleLog:
    """The samples of one column over time.

    seconds: from the first sample on, rising. values: in `unit` ('W' or 'A'), aligned with seconds.
    breaks: positions i where the time between sample i-1 and i is unknown or a gap. notes: in order of line.
    unread: how many of `rows` (those below the header that are not blank) could not be read.
    """

    quantity: str
    unit: str
    column: str
    seconds: tuple[float, ...]
    values: tuple[float, ...]
    breaks: tuple[int, ...]
    interval: float
    notes: tuple[Note, ...]
    rows: int = 0
    unread: int = 0


def read_cycle_log(text: str, column: str | None = None, quantities: Sequence[str] = WANTED) -> CycleLog:
    """The log in a CSV text; `column` names the column to take instead of the one that would be found.

    Of several columns the one of the first quantity in `quantities` is taken: power before current. Raises
    CycleLogError where there is no header with a time and such a column, where fewer than three rows can be read, or
    where the text is beyond MOST_CHARACTERS or MOST_ROWS.
    """
    if len(text) > MOST_CHARACTERS:
        raise CycleLogError(say("csv_text_log_has_characters_at", count=len(text), most=MOST_CHARACTERS))
    text = text.lstrip("\ufeff").replace("\x00", "")
    lines = text.splitlines()
    header = find_header(lines, column, quantities)
    quantity, unit, factor, notes = value_unit(header.value, header.line)
    if quantity not in quantities:
        wanted = choices(QUANTITIES[name].title for name in quantities)
        raise CycleLogError(
            say(
                "csv_text_column_asked_for",
                name=header.value.name,
                title=QUANTITIES[quantity].title,
                wanted=wanted,
            )
        )
    rows, more, whole = _rows(lines, header, quantity, factor)
    notes += more
    if len(rows) < 3:
        raise CycleLogError(
            say("csv_text_only_rows_column_can", count=len(rows), name=header.value.name)
            + "".join((" " + say("csv_text_line", line=note.line, words=note.words)) for note in more[:1])
        )
    return _assemble(rows, quantity, unit, header.value.name, notes, whole)


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
    lines: Sequence[str], header: Header, quantity: str, factor: float
) -> tuple[list[tuple[int, float, float]], list[Note], int]:
    """(line, seconds, value) of each row that can be read, notes on the others, and how many rows there were."""
    notes: list[Note] = []
    value, name = header.value, header.value.name
    found: list[tuple[int, list[str]]] = []
    others = short = 0
    for number, line in enumerate(lines[header.line :], header.line + 1):
        if not line.strip():
            continue
        if len(found) >= MOST_ROWS:
            raise CycleLogError(say("csv_text_log_has_more_than", most=MOST_ROWS))
        cells = split_row(line, header.delimiter) if len(line) < 10_000 else []
        if max(value.index, value.unit_at or 0, *(each.index for each in header.times)) >= len(cells):
            short += 1
            notes.append(Note(number, "row", say("csv_text_row_shorter_than_header")))
        elif not _is_of(cells, value, quantity):
            others += 1
        else:
            found.append((number, cells))
    if others:
        notes.append(
            Note(
                header.line,
                "other",
                say("csv_text_rows_hold_something_else", others=others, quantity=quantity),
            )
        )
    times = seconds_of(
        [[cells[each.index] for each in header.times] for _, cells in found],
        header.times[-1].unit or header.times[-1].name,
        header.delimiter in ";\t|",
    )
    mark = decimal_mark(cells[value.index] for _, cells in found)
    rows: list[tuple[int, float, float]] = []
    missing = 0
    for (number, cells), seconds in zip(found, times, strict=True):
        if seconds is None:
            shown = " ".join(cells[each.index] for each in header.times)[:30]
            notes.append(Note(number, "row", say("csv_text_no_time_row_left", cell=shown)))
            continue
        amount = value_of(cells[value.index], quantity, _factor(cells, value, quantity, factor), mark)
        if amount is None:
            missing += 1
            if missing <= 3:
                notes.append(
                    Note(number, "row", say("csv_text_no_number_row_left", cell=cells[value.index][:30]))
                )
            continue
        rows.append((number, seconds, amount))
    if missing > 3:
        notes.append(Note(header.line, "row", say("csv_text_rows_in_all_have", missing=missing, name=name)))
    return rows, notes, len(found) + short


def _is_of(cells: Sequence[str], value: Column, quantity: str) -> bool:
    """Whether a row is of the quantity, where rows say what they hold."""
    if value.told_by is not None:
        place, words = value.told_by
        return place < len(cells) and cells[place] == words
    unit = cells[value.unit_at] if value.unit_at is not None else ""
    unit = unit or (unit_in_cell(cells[value.index]) if value.unit else "")
    return not unit or isinstance(find_unit(QUANTITIES[quantity], unit), Unit) or not _known(unit)


def _known(unit: str) -> bool:
    """Whether a word is a unit of anything that a logger writes; a row with another word cannot be read."""
    return any(isinstance(find_unit(QUANTITIES[name], unit), Unit) for name in _LOGGED)


def _factor(cells: Sequence[str], value: Column, quantity: str, factor: float) -> float:
    """What leads from a row's number to W, A or V: by the unit beside it where a meter ranges."""
    if value.unit_at is None:
        return factor
    own = find_unit(QUANTITIES[quantity], cells[value.unit_at])
    return own.factor if isinstance(own, Unit) else factor


# Putting them together.


def _assemble(
    rows: Sequence[tuple[int, float, float]],
    quantity: str,
    unit: str,
    column: str,
    notes: list[Note],
    whole: int,
) -> CycleLog:
    times = spread_equal([seconds for _, seconds, _ in rows])
    steps = [b - a for a, b in zip(times, times[1:], strict=False) if b > a]
    if not steps:
        raise CycleLogError(say("csv_text_time_never_moves_on", count=len(rows)))
    usual = median(steps)
    changes = _only_changes(steps, usual)
    if changes:
        notes.append(Note(rows[0][0] - 1, "changes", say("csv_text_row_stands_where_value")))
    seconds, values = [0.0], [rows[0][2]]
    breaks = []
    for position in range(1, len(rows)):
        line, _, value = rows[position]
        step = times[position] - times[position - 1]
        if step < 0:
            midnight = step + 86400
            if 0 < midnight <= GAP_TIMES * usual:
                step = midnight
            else:
                notes.append(Note(line, "reset", say("csv_text_clock_goes_back_by", what=f"{-step:.0f}")))
                breaks.append(len(values))
                step = usual
        elif step > GAP_TIMES * usual and not changes:
            notes.append(Note(line, "gap", say("csv_text_nothing_logged_for_s", step=f"{step:.0f}")))
            breaks.append(len(values))
        before, held = seconds[-1], values[-1]
        if changes and step > 2 * usual:
            count = min(_FILLED_WITH, int(step / usual) - 1)
            width = (step - usual) / count
            seconds += [before + width * place for place in range(1, count + 1)]
            values += [held] * count
        seconds.append(before + step)
        values.append(value)
    if not math.isfinite(seconds[-1]):
        raise CycleLogError(say("csv_text_times_log_beyond_every"))
    return CycleLog(
        quantity,
        unit,
        column,
        tuple(seconds),
        tuple(values),
        tuple(breaks),
        usual,
        tuple(sorted(notes, key=lambda note: note.line)),
        whole,
        whole - len(rows),
    )


def _only_changes(steps: Sequence[float], usual: float) -> bool:
    """Whether the log has a row a change: many long intervals, and few of the usual length."""
    long = sum(1 for step in steps if step > GAP_TIMES * usual)
    steady = sum(1 for step in steps if 0.8 * usual <= step <= 1.2 * usual)
    return long > max(2, _CHANGES_GAPS * len(steps)) and steady < _CHANGES_STEADY * len(steps)
