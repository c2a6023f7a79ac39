"""Finding the columns of a logged cycle: the delimiter, the header's line, the time and the value with its unit.

The header is the first line that names a time and a power or a current; what stands above it is passed over. A unit
stands in brackets, after a slash, after an underscore or after a comma.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Container, Sequence
from dataclasses import dataclass

from faultfinder.errors import FaultFinderError
from faultfinder.trade.units import QUANTITIES, Unit, find_unit

__all__ = [
    "WANTED",
    "Column",
    "CycleLogError",
    "Note",
    "find_header",
    "split_row",
    "time_columns",
    "value_columns",
    "value_unit",
    "words_of",
]

_WANTED = {
    "power": ("power", "watt", "watts", "leistung", "puissance", "potencia", "w", "p"),
    "current": ("current", "amps", "amp", "ampere", "strom", "courant", "corriente", "a", "i"),
    "voltage": ("voltage", "volts", "volt", "spannung", "tension", "v", "u"),
}
WANTED = ("power", "current")
"""The quantities that a cycle may be logged in, the better one first."""
_UNITS = {"power": "W", "current": "A", "voltage": "V"}
_TIMES = frozenset(
    ("time", "timestamp", "datetime", "date", "elapsed", "seconds", "minutes", "zeit", "uhrzeit", "datum")
    + ("heure", "temps", "hora", "tiempo", "fecha", "t", "s", "min")
)
_DATES = frozenset({"date", "datum", "fecha"})
_OTHER = ("factor", "apparent", "reactive", "limit", "setpoint", "cost")
_BETTER_NOT = ("max", "min", "peak", "avg")
_UNIT_IN_NAME = re.compile(r"^(.*?)\s*(?:[\[(]\s*([^\])]*?)\s*[\])]|/\s*(\S+)|_([A-Za-z]+)|,\s*(\S+))\s*$")


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
    """A column: its place in the row, its name as it stands in the header, its unit or ''."""

    index: int
    name: str
    unit: str


def split_row(line: str, delimiter: str) -> list[str]:
    """The cells of one line, quotes taken off."""
    return [cell.strip() for cell in next(csv.reader(io.StringIO(line), delimiter=delimiter), [])]


def find_header(
    lines: list[str], column: str | None, quantities: Sequence[str] = WANTED
) -> tuple[str, int, list[str]]:
    """The delimiter, the header's line number (from 1) and its cells: the first line that has what is needed."""
    for number, line in enumerate(lines[:200], 1):
        for delimiter in sorted(";\t,|", key=lambda each: -line.count(each)):
            if delimiter not in line or len(line) > 2000:
                continue
            cells = split_row(line, delimiter)
            if time_columns(cells) and value_columns(cells, column, quantities):
                return delimiter, number, cells
    first = next((line for line in lines if line.strip()), "")
    wanted = f"'{column}'" if column else "power or current, such as 'Power (W)'"
    raise CycleLogError(
        f"no header with a time and {wanted} was found in the first 200 lines; the first line reads "
        f"'{''.join(char if char.isprintable() else ' ' for char in first[:60])}'."
    )


def words_of(name: str) -> list[str]:
    """The words of a column's name, in lower case."""
    return re.findall(r"[a-z]+", name.casefold())


def _speaks_of(name: str, wanted: Container[str]) -> bool:
    """Whether a column's name has one of the words; a single letter counts only where it is the whole name.

    A cell with a colon inside is no column but a line of the logger's own preamble ('Start time: 12:00').
    """
    words = words_of(name)
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
    return any(isinstance(find_unit(QUANTITIES[name], text), Unit) for name in ("power", "current", "time"))


def time_columns(cells: list[str]) -> list[Column]:
    """The column of the time, or the two of date and time of day; empty where there is none."""
    found = []
    for index, cell in enumerate(cells):
        name, unit = _named(cell)
        if _speaks_of(name, _TIMES):
            found.append(Column(index, cell, unit))
    # A date and a time of day beside it belong together; of several clocks the first one counts.
    dates = [each for each in found if len(words_of(each.name)) == 1 and words_of(each.name)[0] in _DATES]
    clocks = [each for each in found if each not in dates]
    return [*dates[:1], *clocks[:1]]


def value_columns(cells: list[str], column: str | None, quantities: Sequence[str] = WANTED) -> list[Column]:
    """The columns that may be meant, the best one first; of the quantities asked for in their order."""
    named = [Column(index, cell, _named(cell)[1]) for index, cell in enumerate(cells)]
    if column is not None:
        return [each for each in named if each.name.casefold() == column.strip().casefold()]
    found = []
    for quantity in quantities:
        matching = [
            each
            for each in named
            if _speaks_of(_named(each.name)[0], _WANTED[quantity])
            and (not each.unit or isinstance(find_unit(QUANTITIES[quantity], each.unit), Unit))
        ]
        found += sorted(matching, key=lambda each: any(word in _BETTER_NOT for word in words_of(each.name)))
    return found


def value_unit(value: Column, line: int) -> tuple[str, str, float, list[Note]]:
    """The quantity, the unit values are given in, the factor that leads there, and a note where none was named."""
    for quantity, unit in _UNITS.items():
        found = find_unit(QUANTITIES[quantity], value.unit) if value.unit else None
        if isinstance(found, Unit):
            return quantity, unit, found.factor, []
    words = words_of(_named(value.name)[0])
    named = (quantity for quantity, wanted in _WANTED.items() if any(word in wanted for word in words))
    quantity = next(named, "power")
    unit = _UNITS[quantity]
    told = f"column '{value.name}' names no unit; taken as {unit}."
    return quantity, unit, 1.0, [Note(line, "unit", told)]
