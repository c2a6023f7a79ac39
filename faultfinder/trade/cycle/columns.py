"""Finding the columns of a logged cycle: the delimiter, the header's line, the time and the value with its unit.

The header is the first line that names a power or a current and has a time; what stands above it is passed over. A
unit stands in brackets, after a slash, after an underscore or after a comma. Where no column is named for what it
holds ('Value', 'state', with the unit beside it or in the cells), the rows say it; so they do for a time that goes by
another name.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Container, Sequence
from dataclasses import dataclass, replace

from faultfinder.errors import FaultFinderError
from faultfinder.text.catalogue import say
from faultfinder.trade.cycle.times import looks_like_a_time
from faultfinder.trade.readings.units import QUANTITIES, Unit, find_unit

_WANTED = {
    "power": ("power", "watt", "watts", "leistung", "puissance", "potencia", "w", "kw", "p"),
    "current": (
        "current",
        "amps",
        "amp",
        "ampere",
        "amperes",
        "strom",
        "courant",
        "corriente",
        "a",
        "ma",
        "i",
    ),
    "voltage": ("voltage", "volts", "volt", "spannung", "tension", "v", "u"),
    "temperature": ("temperature", "temp", "temperatur", "temperatura", "exhaust", "outlet", "abluft", "c"),
}
WANTED = ("power", "current")
"""The quantities that a cycle may be logged in, the better one first."""
_UNITS = {"power": "W", "current": "A", "voltage": "V", "temperature": "C"}
_UNIT_WORDS = frozenset(
    ("w", "kw", "watt", "watts", "a", "ma", "amp", "amps", "ampere", "amperes", "v", "volt", "volts")
)
"""A name with one of these says its unit itself."""
_TIMES = frozenset(
    ("time", "timestamp", "datetime", "date", "elapsed", "seconds", "minutes", "zeit", "uhrzeit", "datum")
    + ("heure", "temps", "hora", "tiempo", "fecha", "t", "s", "min", "zeitstempel")
)
_DATES = frozenset({"date", "datum", "fecha"})
_GENERIC = frozenset(
    ("value", "reading", "state", "wert", "messwert", "measurement", "valeur", "valor", "mean")
)
"""Names that do not say what they hold."""
_UNIT_COLUMNS = frozenset(("unit", "units", "einheit", "unite", "unidad"))
_OTHER = ("factor", "apparent", "reactive", "limit", "setpoint", "cost")
_BETTER_NOT = ("max", "min", "peak", "avg")
_UNIT_IN_NAME = re.compile(r"^(.*?)\s*(?:[\[(]\s*([^\])]*?)\s*[\])]|/\s*(\S+)|_([A-Za-z]+)|,\s*(\S+))\s*$")
_UNIT_IN_CELL = re.compile(r"[+-]?[\d.,]+\s*([A-Za-z]+)")
_LOOKED_AT = 60
"""Rows below a header that may say what its columns hold; chosen: a log of several things names each in them."""


class CycleLogError(FaultFinderError):
    """A log that cannot be used at all; the message says what is missing and what was found."""


@dataclass(frozen=True, slots=True)
class Note:
    """Something odd in the log: its line (1 is the first), a word for its kind, and a sentence."""

    line: int
    kind: str
    words: str


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its place in the row, its name as it stands in the header, its unit or ''.

    unit_at: the place of a column with the unit of each row. told_by: place and words of the cell that says what the
    rows hold, where the log mixes several things.
    """

    index: int
    name: str
    unit: str
    unit_at: int | None = None
    told_by: tuple[int, str] | None = None


@dataclass(frozen=True, slots=True)
class Header:
    """The delimiter, the header's line number (from 1), the time's columns and the value's."""

    delimiter: str
    line: int
    times: tuple[Column, ...]
    value: Column


def split_row(line: str, delimiter: str) -> list[str]:
    """The cells of one line, quotes taken off."""
    return [cell.strip() for cell in next(csv.reader(io.StringIO(line), delimiter=delimiter), [])]


def find_header(lines: Sequence[str], column: str | None, quantities: Sequence[str] = WANTED) -> Header:
    """The first line that has what is needed. Raises CycleLogError, saying what would be, where there is none."""
    for number, line in enumerate(lines[:200], 1):
        for delimiter in sorted(";\t,|", key=lambda each: -line.count(each)):
            if delimiter not in line or len(line) > 2000:
                continue
            cells = split_row(line, delimiter)
            rows = [
                split_row(each, delimiter)
                for each in lines[number : number + _LOOKED_AT]
                if each.strip() and len(each) < 2000
            ]
            rows = [row for row in rows if len(row) >= len(cells)]
            times = _time_columns(cells, rows)
            value = _value_column(cells, rows, column, quantities) if times else None
            if value is not None:
                return Header(delimiter, number, tuple(times), value)
    first = next((line for line in lines if line.strip()), "")
    wanted = f"'{column}'" if column else say("columns_power_or_current")
    raise CycleLogError(
        say(
            "columns_no_header_with_time",
            wanted=wanted,
            names="".join(char if char.isprintable() else " " for char in first[:60]),
        )
    )


def _words_of(name: str) -> list[str]:
    """The words of a column's name, in lower case."""
    return re.findall(r"[a-z]+", name.casefold())


def _speaks_of(name: str, wanted: Container[str]) -> bool:
    """Whether a column's name has one of the words; a single letter counts only where it is the whole name.

    A cell with a colon inside is no column but a line of the logger's own preamble ('Start time: 12:00').
    """
    words = _words_of(name)
    if ":" in name.rstrip(": "):
        return False
    return any(word in wanted for word in words if len(word) > 1 or len(words) == 1) and not any(
        word in _OTHER for word in words
    )


def _named(cell: str) -> tuple[str, str]:
    """A header cell parted into the name and its unit: 'Power (W)', 'P/W', 'power_w', 'Current, mA'."""
    found = _UNIT_IN_NAME.match(cell)
    if not found:
        return cell, ""
    unit = next((part for part in found.groups()[1:] if part), "")
    if found[2] is None and not _is_unit(unit):
        return cell, ""
    return found[1], unit


def _is_unit(text: str) -> bool:
    return any(
        isinstance(find_unit(QUANTITIES[name], text), Unit)
        for name in ("power", "current", "voltage", "temperature", "time")
    )


def _time_columns(cells: Sequence[str], rows: Sequence[Sequence[str]]) -> list[Column]:
    """The column of the time, or the two of date and time of day; empty where there is none."""
    found = []
    for index, cell in enumerate(cells):
        name, unit = _named(cell)
        if _speaks_of(name, _TIMES):
            found.append(Column(index, cell, unit))
    # A date and a time of day beside it belong together; of several clocks the first one counts.
    dates = [each for each in found if len(_words_of(each.name)) == 1 and _words_of(each.name)[0] in _DATES]
    clocks = [each for each in found if each not in dates]
    if found:
        return [*dates[:1], *clocks[:1]]
    if len(rows) < 2:
        return []
    clocked = [
        index
        for index in range(len(cells))
        if cells[index] and all(looks_like_a_time(row[index]) for row in rows)
    ]
    return [Column(index, cells[index], "") for index in clocked[:1]]


def _value_column(
    cells: Sequence[str], rows: Sequence[Sequence[str]], column: str | None, quantities: Sequence[str]
) -> Column | None:
    """The column that is meant; of the quantities asked for in their order."""
    named = [Column(index, cell, _named(cell)[1]) for index, cell in enumerate(cells)]
    beside = next((each.index for each in named if set(_words_of(each.name)) & _UNIT_COLUMNS), None)
    if column is not None:
        wanted = [each for each in named if each.name.casefold() == column.strip().casefold()]
        return replace(wanted[0], unit_at=beside) if wanted else None
    for quantity in quantities:
        matching = [
            each
            for each in named
            if _speaks_of(_named(each.name)[0], _WANTED[quantity])
            and (not each.unit or isinstance(find_unit(QUANTITIES[quantity], each.unit), Unit))
        ]
        if matching:
            return min(matching, key=lambda each: any(word in _BETTER_NOT for word in _words_of(each.name)))
    generic = [each for each in named if each.index != beside and set(_words_of(each.name)) & _GENERIC]
    for quantity in quantities:
        for each in generic:
            found = _told_by_rows(each, rows, beside, quantity)
            if found is not None:
                return found
    return None


def _told_by_rows(
    column: Column, rows: Sequence[Sequence[str]], beside: int | None, quantity: str
) -> Column | None:
    """The column when its rows hold that quantity: by the unit beside it, in its cells, or a name in the row."""
    for row in rows:
        unit = row[beside] if beside is not None else unit_in_cell(row[column.index])
        if unit:
            if isinstance(find_unit(QUANTITIES[quantity], unit), Unit):
                return replace(column, unit=unit, unit_at=beside)
            continue
        for place, cell in enumerate(row):
            words = _words_of(cell)
            if place != column.index and len(words) > 1 and any(word in _WANTED[quantity] for word in words):
                return replace(column, told_by=(place, cell))
    return None


def unit_in_cell(cell: str) -> str:
    """The unit that stands behind a number in its cell, or ''."""
    found = _UNIT_IN_CELL.fullmatch(cell.strip())
    return found[1] if found else ""


def value_unit(value: Column, line: int) -> tuple[str, str, float, list[Note]]:
    """The quantity, the unit values are given in, the factor that leads there, and a note where none was named."""
    for quantity, unit in _UNITS.items():
        found = find_unit(QUANTITIES[quantity], value.unit) if value.unit else None
        if isinstance(found, Unit):
            # Degrees of another scale are converted by whoever reads temperatures: no factor leads there.
            return quantity, unit, 1.0 if quantity == "temperature" else found.factor, []
    told = value.told_by[1] if value.told_by else _named(value.name)[0]
    words = _words_of(told)
    named = (quantity for quantity, wanted in _WANTED.items() if any(word in wanted for word in words))
    quantity = next(named, "power")
    unit = _UNITS[quantity]
    if quantity == "temperature" and words[-1:] in (["c"], ["f"]):
        return quantity, unit, 1.0, []
    own = find_unit(QUANTITIES[quantity], next((word for word in words if word in _UNIT_WORDS), ""))
    if isinstance(own, Unit):
        return quantity, unit, own.factor, []
    return (
        quantity,
        unit,
        1.0,
        [Note(line, "unit", say("columns_column_names_no_unit", name=value.name, unit=unit))],
    )
