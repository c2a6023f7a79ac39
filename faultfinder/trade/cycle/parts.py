"""The cycles in a log that ran on for hours: where each begins and ends, and one of them cut out.

A plug-in meter left with a customer logs a day. What lies between two stretches of running longer than PARTED is
standby, so the run time or the share of heat of 'the log' would mean nothing: one cycle is looked at.
"""

from __future__ import annotations

from dataclasses import replace

from faultfinder.trade.cycle.csv_text import CycleLog

PARTED = 1200.0
"""Standby for longer (s) parts two cycles; chosen: stirring against creases comes more often."""
_LEAST = 180.0
"""Running for less (s) is no cycle; chosen: a door opened, a look at the lamp."""
_MARGIN = 180.0
"""Standby kept before and after a cycle (s), so that its beginning and end are seen; chosen."""


def cycles_of(log: CycleLog, floor: float) -> tuple[tuple[float, float], ...]:
    """From when to when (s) the machine ran, cycle by cycle, in order. `floor`: standby and noise are below.

    Time that was not logged is no standby: it parts nothing.
    """
    gaps = set(log.breaks)
    found: list[tuple[float, float]] = []
    start = last = None
    idle = 0.0
    for place, (at, value) in enumerate(zip(log.seconds, log.values, strict=True)):
        if place and place not in gaps:
            idle += at - log.seconds[place - 1]
        if value <= floor:
            continue
        if start is not None and last is not None and idle > PARTED:
            found.append((start, last))
            start = at
        start = at if start is None else start
        last, idle = at, 0.0
    if start is not None and last is not None:
        found.append((start, last))
    return tuple(each for each in found if each[1] - each[0] >= _LEAST)


def cut(log: CycleLog, start: float, end: float) -> CycleLog:
    """The log of one cycle with a little standby round it, its time beginning anew; three rows at least, else all."""
    keep = [place for place, at in enumerate(log.seconds) if start - _MARGIN <= at <= end + _MARGIN]
    if len(keep) < 3:
        return log
    first, last = keep[0], keep[-1]
    begun = log.seconds[first]
    return replace(
        log,
        seconds=tuple(at - begun for at in log.seconds[first : last + 1]),
        values=log.values[first : last + 1],
        breaks=tuple(place - first for place in log.breaks if first < place <= last),
    )
