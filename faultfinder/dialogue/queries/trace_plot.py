"""A logged cycle drawn in characters: heights over time, the levels named at the side, gaps marked.

A column of the drawing stands for a stretch of time. It is full up to the lowest value of that stretch and light up
to the highest, so that a heater that cycles faster than a column does not look like half a heater.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from faultfinder.text.catalogue import say
from faultfinder.text.format import format_quantity
from faultfinder.trade.cycle.csv_text import CycleLog
from faultfinder.trade.cycle.log import FLOOR, Level, Run

__all__ = ["ASCII", "BLOCKS", "Glyphs", "plot"]

LEAST_COLUMNS = 12


@dataclass(frozen=True, slots=True)
class Glyphs:
    """What the drawing is made of; every one is a single cell."""

    full: str
    light: str
    side: str
    floor: str
    corner: str
    gap: str = "x"
    on: str = "="
    mixed: str = "-"


BLOCKS = Glyphs("█", "░", "│", "─", "└")
ASCII = Glyphs("#", ":", "|", "-", "+")


@dataclass(slots=True)
class _Column:
    """One column: lowest and highest value in it (None: nothing logged), and whether a break lies in it."""

    low: float | None = None
    high: float | None = None
    broken: bool = False

    def take(self, value: float) -> None:
        self.low = value if self.low is None else min(self.low, value)
        self.high = value if self.high is None else max(self.high, value)


def plot(
    log: CycleLog,
    levels: Sequence[Level],
    runs: Sequence[Run],
    width: int,
    height: int = 8,
    glyphs: Glyphs = ASCII,
    second: CycleLog | None = None,
) -> list[str]:
    """Lines of at most `width` cells: the drawing, a row for the heat where some was seen, and the time. second:
    another channel over the same time, drawn as a line above, from its lowest value to its highest."""
    top = max([level.value for level in levels], default=0.0) or max(log.values) or 1.0
    labels = _labels(log, levels, top, height)
    ends = [(LINE_ROWS - 1, max(second.values)), (0, min(second.values))] if second is not None else []
    above = {row: format_quantity(value, second.unit) for row, value in ends} if second is not None else {}
    side = max([len(text) for text in (*labels.values(), *above.values(), "heat")])
    count = max(LEAST_COLUMNS, width - side - 2)
    columns = _columns(log, count)
    out = _line(second, above, side, count, log.seconds[-1], glyphs) if second is not None else []
    for row in range(height - 1, -1, -1):
        # Whatever runs at all shows in the lowest row, however little it is beside a heater.
        middle = (row + 0.5) / height * top if row else min(0.5 / height * top, FLOOR[log.quantity])
        cells = "".join(_cell(column, middle, glyphs) for column in columns)
        out.append(f"{labels.get(row, ''):>{side}} {glyphs.side}{cells}".rstrip())
    floor = "".join(glyphs.gap if column.broken else glyphs.floor for column in columns)
    out.append(f"{labels.get(-1, ''):>{side}} {glyphs.corner}{floor}")
    if any(run.on for run in runs):
        out.append(f"{'heat':>{side}}  {_heat(log, runs, count, glyphs)}".rstrip())
    out.append(" " * (side + 2) + _time_line(log.seconds[-1] / 60, count))
    return out


LINE_ROWS = 5
"""Rows of the second channel; chosen."""


def _line(
    log: CycleLog, labels: dict[int, str], side: int, count: int, whole: float, glyphs: Glyphs
) -> list[str]:
    """A channel as a line: in each column the rows that it passed through."""
    low, high = min(log.values), max(log.values)
    step = (high - low) / LINE_ROWS or 1.0
    out = []
    columns = _columns(log, count, whole)
    for row in range(LINE_ROWS - 1, -1, -1):
        # The highest value is in the top row, whatever the arithmetic made of its upper edge.
        bottom, top = low + row * step, low + (row + 1) * step if row < LINE_ROWS - 1 else math.inf
        passed = (
            each.low is not None and each.high is not None and each.low < top and each.high >= bottom
            for each in columns
        )
        cells = "".join("*" if each else " " for each in passed)
        out.append(f"{labels.get(row, ''):>{side}} {glyphs.side}{cells}".rstrip())
    return out


def _cell(column: _Column, middle: float, glyphs: Glyphs) -> str:
    if column.low is None or column.high is None:
        return " "
    if column.low >= middle:
        return glyphs.full
    return glyphs.light if column.high >= middle else " "


def _columns(log: CycleLog, count: int, whole: float | None = None) -> list[_Column]:
    """The log cut into `count` stretches of equal time; where the rows lie further apart than that, a value holds
    until the next row. whole: the seconds that the columns stand for; else the log's own."""
    whole = whole or log.seconds[-1]
    columns = [_Column() for _ in range(count)]
    places = [min(count - 1, int(seconds / whole * count)) for seconds in log.seconds]
    for number, (here, value) in enumerate(zip(places, log.values, strict=True)):
        columns[here].take(value)
        following = places[number + 1] if number + 1 < len(places) else here
        if number + 1 in log.breaks:
            for column in columns[here : following + 1]:
                column.broken = True
        else:
            for column in columns[here + 1 : following]:
                column.take(value)
    return columns


def _labels(log: CycleLog, levels: Sequence[Level], top: float, height: int) -> dict[int, str]:
    """Row -> the value of the level whose top is there (-1: the floor). Where two meet, the higher one stays."""
    labels: dict[int, str] = {}
    for level in sorted(levels, key=lambda each: -each.value):
        row = max(
            math.floor(level.value / top * height + 0.5) - 1, 0 if level.value > FLOOR[log.quantity] else -1
        )
        if row not in labels:
            labels[row] = format_quantity(level.value, log.unit)
    if not labels:
        labels[height - 1] = format_quantity(top, log.unit)
    return labels


def _heat(log: CycleLog, runs: Sequence[Run], count: int, glyphs: Glyphs) -> str:
    step = log.seconds[-1] / count
    cells = []
    for number in range(count):
        start, end = number * step, (number + 1) * step
        on = math.fsum(max(0.0, min(run.end, end) - max(run.start, start)) for run in runs if run.on)
        cells.append(glyphs.on if on > 0.9 * step else glyphs.mixed if on > 0.1 * step else " ")
    return "".join(cells)


def _time_line(minutes: float, count: int) -> str:
    """'0      20       40 min', as many round times as there is room for."""
    end = say("figure_minutes", count=f"{minutes:.0f}" if minutes >= 100 else f"{minutes:.3g}")
    line = [" "] * max(count, len(end))
    line[0] = "0"
    line[-len(end) :] = list(end)
    step = _round_step(minutes, max(1, count // 12))
    at = step
    while at < minutes:
        text = f"{at:g}"
        start = round(at / minutes * count) - len(text) // 2
        if start > 1 and start + len(text) < len(line) - len(end) - 1 and line[start - 1] == " ":
            line[start : start + len(text)] = list(text)
        at += step
    return "".join(line)


def _round_step(minutes: float, most: int) -> float:
    """A round number of minutes that fits at most `most` times."""
    scale = 10.0 ** math.floor(math.log10(max(minutes, 1e-6) / most))
    return next(n * scale for n in (1, 2, 5, 10, 20) if minutes / (n * scale) <= most + 0.5)
