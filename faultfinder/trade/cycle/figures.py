"""What a logged cycle yields, under names that a rule file may ask for (`logged: highest_level`).

A figure says what the log shows and no more: the highest level is the current on high heat only if that programme was
run, which the person has to say. What the log does not show is not there: no run time where it begins in the middle,
no share of heat from less than ten minutes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from types import MappingProxyType

from faultfinder.trade.cycle.csv_text import CycleLog
from faultfinder.trade.cycle.log import FLOOR, CycleSummary, Level, cycle_summary, heater_from, widths_of

_WET_SECONDS = 1200.0
"""A full wet load takes heat without a break for this long at least; chosen (rule files ask for 20 minutes)."""
_WET_LEAST = 600.0
"""Less than this says nothing of a share; chosen."""
_AFTER = (1080.0, 1500.0)
"""From 18 to 25 minutes after the start counts as 'after 20 minutes'; chosen."""
_STEADY = 60.0
"""A level of heat held for less, all told, is no setting; chosen."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One figure that a rule file may name: what it says, and the quantities it may be of."""

    says: str
    quantities: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure as one log gives it: name, words, value in `unit` of `quantity`."""

    name: str
    says: str
    value: float
    quantity: str
    unit: str


_FLOW = ("current", "power")
FIGURES: Mapping[str, Kind] = MappingProxyType(
    {
        "highest_level": Kind("The highest level it settles at", _FLOW),
        "lower_heat_level": Kind("The lower of two levels of heat", _FLOW),
        "lower_by_higher": Kind("The lower level of heat as a share of the higher", ("ratio",)),
        "heat_share": Kind("Share of the first 20 minutes that the heat was on", ("ratio",)),
        "after_20_minutes": Kind("What it takes 20 minutes after the start", _FLOW),
        "run_time": Kind("From start to end", ("time",)),
        "first_cut_out": Kind("Heat on until it first goes off", ("time",)),
        "cool_down": Kind("From the last heat to the end", ("time",)),
        "energy": Kind("Energy of the cycle", ("energy",)),
        "volts_heating": Kind("Supply voltage while it heats", ("voltage",)),
        "temperature_rise": Kind("From the first temperature to the highest", ("temperature_difference",)),
        "opening_temperature": Kind("Temperature at which the heat goes off by itself", ("temperature",)),
        "temperature_swing": Kind("From the heat going off to its coming on", ("temperature_difference",)),
        "volts_drop": Kind("Fall of the supply voltage when the heat comes on", ("voltage",)),
    }
)


class LevelKind:
    """What a level is likely to be."""

    STANDBY = "standby"
    MOTOR = "motor"
    HEAT = "heat"


def kind_of(level: Level, log: CycleLog, levels: Sequence[Level]) -> str:
    """Standby, motor (or whatever runs without the heat) or heat."""
    if level.value <= FLOOR[log.quantity]:
        return LevelKind.STANDBY
    return LevelKind.HEAT if level.value > heater_from(log, levels) else LevelKind.MOTOR


def run_of(log: CycleLog) -> tuple[float, float] | None:
    """From when to when the machine ran, in seconds of the log; None where it never did."""
    floor = FLOOR[log.quantity]
    running = [at for at, value in zip(log.seconds, log.values, strict=True) if value > floor]
    return (running[0], running[-1]) if running else None


def figures(
    logs: Iterable[CycleLog], volts: CycleLog | None = None, summary: CycleSummary | None = None
) -> tuple[Figure, ...]:
    """All that the logs of one cycle yield; `volts` is the supply voltage over the same time.

    The first log says what does not depend on the column (times, shares); every log gives its own levels. `summary`
    is the first log's, where it is at hand.
    """
    every = list(logs)
    if not every:
        return ()
    first = every[0]
    told = cycle_summary(first) if summary is None else summary
    found: list[Figure] = []
    for number, log in enumerate(every):
        levels = told.levels if number == 0 else cycle_summary(log).levels
        found += _levels(log, levels)
    found += _shares(first, told)
    found += _times(first, told)
    if told.energy_wh is not None:
        found.append(figure("energy", told.energy_wh / 1000, "kWh"))
    if volts is not None:
        found += _volts(first, told, volts)
    return tuple(found)


def figure(name: str, value: float, unit: str, quantity: str = "") -> Figure:
    """The figure of that name; of the first of its quantities where none is said."""
    kind = FIGURES[name]
    return Figure(name, kind.says, value, quantity or kind.quantities[0], unit)


def _levels(log: CycleLog, levels: Sequence[Level]) -> list[Figure]:
    running = [level for level in levels if kind_of(level, log, levels) != LevelKind.STANDBY]
    if not running:
        return []
    found = [figure("highest_level", running[-1].value, log.unit, log.quantity)]
    heats = [
        level
        for level in running
        if kind_of(level, log, levels) == LevelKind.HEAT and level.seconds >= _STEADY
    ]
    # Three heights are no two settings; nobody knows which is which.
    if len(heats) == 2:
        low, high = heats
        found.append(figure("lower_heat_level", low.value, log.unit, log.quantity))
        found.append(figure("lower_by_higher", low.value / high.value, "1"))
    span = run_of(log)
    if span is not None and span[1] - span[0] >= _AFTER[1] and _begins_off(log):
        steady = _steady_between(log, span[0] + _AFTER[0], span[0] + _AFTER[1])
        if steady is not None:
            found.append(figure("after_20_minutes", steady, log.unit, log.quantity))
    return found


def _steady_between(log: CycleLog, start: float, end: float) -> float | None:
    """The value that most of the time between holds; None where it goes up and down, or too little was logged."""
    since = [
        (value, width)
        for at, value, width in zip(log.seconds, log.values, widths_of(log), strict=True)
        if start <= at <= end
    ]
    if math.fsum(width for _, width in since) < 0.5 * (end - start):
        return None
    middle = median(value for value, _ in since)
    near = [pair for pair in since if abs(pair[0] - middle) <= max(0.1 * middle, FLOOR[log.quantity])]
    held = math.fsum(width for _, width in near)
    if held < 0.8 * math.fsum(width for _, width in since):
        return None
    return math.fsum(value * width for value, width in near) / held


def _begins_off(log: CycleLog) -> bool:
    return log.values[0] <= FLOOR[log.quantity]


def _shares(log: CycleLog, told: CycleSummary) -> list[Figure]:
    """The share of the first 20 minutes from the first heat on; 0 where it ran as long and never heated."""
    on = [run for run in told.runs if run.on]
    if not on:
        span = run_of(log)
        ran = span is not None and span[1] - span[0] >= _WET_LEAST
        return [figure("heat_share", 0.0, "1")] if ran else []
    start = on[0].start
    end = min(start + _WET_SECONDS, log.seconds[-1])
    known = math.fsum(max(0.0, min(run.end, end) - max(run.start, start)) for run in told.runs)
    heated = math.fsum(max(0.0, min(run.end, end) - max(run.start, start)) for run in on)
    # What was not logged is no heat off: a long gap leaves too little to tell.
    return [figure("heat_share", heated / known, "1")] if known >= _WET_LEAST else []


def _times(log: CycleLog, told: CycleSummary) -> list[Figure]:
    found = []
    span = run_of(log)
    whole = _begins_off(log) and log.values[-1] <= FLOOR[log.quantity]
    if span is not None and whole and not log.breaks and span[1] > span[0]:
        found.append(figure("run_time", (span[1] - span[0] + log.interval) / 60, "min"))
    for name, seconds in (("first_cut_out", told.first_cut_out), ("cool_down", told.cool_down)):
        if seconds is not None:
            found.append(figure(name, seconds / 60, "min"))
    return found


def _volts(log: CycleLog, told: CycleSummary, volts: CycleLog) -> list[Figure]:
    """The voltage with the heat on, and how far it falls from what it is when the machine runs without."""
    if abs(volts.seconds[-1] - log.seconds[-1]) > 2 * log.interval:
        return []  # rows are missing in one of them: the times do not go together
    hot: list[float] = []
    cold: list[float] = []
    runs = [run for run in told.runs if run.seconds >= _STEADY]
    for at, value in zip(volts.seconds, volts.values, strict=True):
        for run in runs:
            # The change itself is left out: a logger averages over it.
            if run.start + 2 * log.interval <= at <= run.end - 2 * log.interval:
                (hot if run.on else cold).append(value)
    if not hot:
        return []
    heating = math.fsum(hot) / len(hot)
    found = [figure("volts_heating", heating, "V")]
    if cold:
        found.append(figure("volts_drop", max(0.0, math.fsum(cold) / len(cold) - heating), "V"))
    return found
