"""What a logged cycle says: the levels it settles at, when the heater was on, the first cut-out, the cool-down.

A *plateau* is a stretch where the value stays within 4 % of its mean (or a floor that covers noise); plateaus of like
height make a *level*. The heater counts as on above a quarter of the way from the motor's level to the highest one,
so that low and high heat are both 'on'. All thresholds are chosen and stand beside their names.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from faultfinder.trade.cycle.csv_text import CycleLog

_PLATEAU_SHARE = 0.04
_LIKE_SHARE = 0.08
FLOOR = {"power": 15.0, "current": 0.08, "temperature": 0.0}
"""Noise and standby below this belong to one level."""
_HEATER_LEAST = {"power": 400.0, "current": 1.8}
"""Below it no level is a heater's: drum motor and fan take less."""
_LEVEL_LEAST_SECONDS = 20.0
_LEVEL_LEAST_SHARE = 0.01
_BLIP_SECONDS = 15.0
"""Shorter on or off stretches are a reversing motor or a stirring contact, no cut-out."""


@dataclass(frozen=True, slots=True)
class Level:
    """A height at which the log settles: mean value, seconds spent there, share of the time logged."""

    value: float
    seconds: float
    share: float


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch with the heater on or off; `cut_short` where the log or a gap ends it and not the machine."""

    on: bool
    start: float
    end: float
    mean: float
    cut_short: bool = False

    @property
    def seconds(self) -> float:
        """How long it lasted."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class CycleSummary:
    """The figures of a cycle; times in seconds, None where the log does not show it.

    first_cut_out: from the heater's first on to its first off. duty: on-time over the time logged from the first
    on to the last off. cool_down: from the last off to the end of the motor's running. energy_wh: None for a current.
    """

    levels: tuple[Level, ...]
    runs: tuple[Run, ...]
    logged: float
    heater_on: float
    heating_starts: int
    duty: float | None
    first_cut_out: float | None
    cool_down: float | None
    energy_wh: float | None


def widths_of(log: CycleLog) -> list[float]:
    """How long each sample stands for: half-way to both neighbours, at a break or an end only the usual half."""
    half = log.interval / 2
    breaks = set(log.breaks)
    widths = []
    for place in range(len(log.seconds)):
        before = half if place == 0 or place in breaks else (log.seconds[place] - log.seconds[place - 1]) / 2
        last = place + 1 == len(log.seconds)
        after = half if last or place + 1 in breaks else (log.seconds[place + 1] - log.seconds[place]) / 2
        widths.append(before + after)
    return widths


def levels_of(log: CycleLog) -> tuple[Level, ...]:
    """The levels the log settles at, the lowest first; empty where it never settles."""
    floor = FLOOR[log.quantity]
    widths = widths_of(log)
    breaks = set(log.breaks)
    plateaus: list[tuple[float, float]] = []
    total = weight = 0.0
    count = 0

    def close() -> None:
        if count >= 3 and weight >= min(_LEVEL_LEAST_SECONDS, 3 * log.interval):
            plateaus.append((total / weight, weight))

    for place, (value, width) in enumerate(zip(log.values, widths, strict=True)):
        mean = total / weight if weight else value
        if place in breaks or abs(value - mean) > max(_PLATEAU_SHARE * mean, floor):
            close()
            total = weight = 0.0
            count = 0
        total, weight, count = total + value * width, weight + width, count + 1
    close()
    return _merged(plateaus, floor, math.fsum(widths))


def _merged(plateaus: Sequence[tuple[float, float]], floor: float, whole: float) -> tuple[Level, ...]:
    """Plateaus of like height made into levels; what holds too short a time is left out."""
    groups: list[list[tuple[float, float]]] = []
    for mean, weight in sorted(plateaus):
        if groups:
            height = _mean(groups[-1])
            if mean - height <= max(_LIKE_SHARE * height, floor):
                groups[-1].append((mean, weight))
                continue
        groups.append([(mean, weight)])
    levels = []
    for group in groups:
        seconds = math.fsum(weight for _, weight in group)
        if seconds >= _LEVEL_LEAST_SECONDS and seconds >= _LEVEL_LEAST_SHARE * whole:
            levels.append(Level(_mean(group), seconds, seconds / whole))
    return tuple(levels)


def _mean(group: Sequence[tuple[float, float]]) -> float:
    return math.fsum(mean * weight for mean, weight in group) / math.fsum(weight for _, weight in group)


def heater_from(log: CycleLog, levels: Sequence[Level]) -> float:
    """Above which value the heater is on; infinite where no level is high enough for one."""
    top = max((level.value for level in levels), default=max(log.values))
    if top < _HEATER_LEAST[log.quantity]:
        return math.inf
    # What a heater cannot take is the motor's, however little the rest takes (the compressor of a heat pump).
    most = min(max(0.35 * top, _HEATER_LEAST[log.quantity]), 0.6 * top)
    motors = [level.value for level in levels if FLOOR[log.quantity] < level.value < most]
    motor = min(motors, default=0.0)
    return motor + 0.25 * (top - motor)


def heater_runs(log: CycleLog, levels: Sequence[Level] | None = None) -> tuple[Run, ...]:
    """When the heater was on and off, in order; gaps part runs; empty where no heater is seen.

    Stretches shorter than 15 s belong to what is around them.
    """
    threshold = heater_from(log, levels_of(log) if levels is None else levels)
    if math.isinf(threshold):
        return ()
    breaks = set(log.breaks)
    runs: list[Run] = []
    begin = 0
    for place in range(1, len(log.values) + 1):
        ended = place == len(log.values)
        if (
            not ended
            and place not in breaks
            and (log.values[place] > threshold) == (log.values[begin] > threshold)
        ):
            continue
        # A change lies half-way between the two samples that show it.
        cut = ended or place in breaks
        end = log.seconds[place - 1] if cut else (log.seconds[place - 1] + log.seconds[place]) / 2
        first = begin == 0 or begin in breaks
        start = log.seconds[begin] if first else (log.seconds[begin - 1] + log.seconds[begin]) / 2
        stretch = log.values[begin:place]
        runs.append(Run(stretch[0] > threshold, start, end, math.fsum(stretch) / len(stretch), cut))
        begin = place
    return tuple(_without_blips(runs))


def _without_blips(runs: Sequence[Run]) -> list[Run]:
    kept: list[Run] = []
    for run in runs:
        whole = kept and not kept[-1].cut_short
        if whole and (run.on == kept[-1].on or (run.seconds < _BLIP_SECONDS and not run.cut_short)):
            last = kept[-1]
            # The mean is that of the height named by `on`; a blip does not spoil it.
            mean = last.mean if run.on != last.on else _joined(last, run)
            kept[-1] = Run(last.on, last.start, run.end, mean, run.cut_short)
        else:
            kept.append(run)
    return kept


def _joined(one: Run, two: Run) -> float:
    together = one.seconds + two.seconds
    return (one.mean * one.seconds + two.mean * two.seconds) / together if together else one.mean


def cycle_summary(log: CycleLog) -> CycleSummary:
    """The figures of the cycle."""
    levels = levels_of(log)
    runs = heater_runs(log, levels)
    widths = widths_of(log)
    on = [run for run in runs if run.on]
    on_seconds = math.fsum(run.seconds for run in on)
    duty = first_cut_out = cool_down = None
    if on:
        # What was not logged was neither on nor off.
        span = math.fsum(run.seconds for run in runs if on[0].start <= run.start and run.end <= on[-1].end)
        duty = on_seconds / span if span > 0 else None
        if not on[0].cut_short:
            first_cut_out = on[0].seconds
        if not on[-1].cut_short:
            running = [
                seconds
                for seconds, value in zip(log.seconds, log.values, strict=True)
                if seconds >= on[-1].end and value > FLOOR[log.quantity]
            ]
            # Still running at the last row: the cool-down is longer than logged.
            over = bool(running) and running[-1] < log.seconds[-1]
            cool_down = running[-1] - on[-1].end if over else 0.0 if not running else None
    energy = None
    if log.quantity == "power":
        energy = math.fsum(value * width for value, width in zip(log.values, widths, strict=True)) / 3600
    return CycleSummary(
        levels, runs, math.fsum(widths), on_seconds, len(on), duty, first_cut_out, cool_down, energy
    )
