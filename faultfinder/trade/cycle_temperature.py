"""A logged temperature: how far it rose, at which temperature the heat went off and came on again, how long it took.

A turning point counts once the temperature has gone back by SWING: less is draught and noise. A peak that another
rise follows is the heat going off by its own control; the last one may be the end of the programme.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from statistics import median

from faultfinder.trade.cycle.columns import CycleLogError
from faultfinder.trade.cycle.csv_text import CycleLog, read_cycle_log
from faultfinder.trade.cycle.figures import Figure, figure
from faultfinder.trade.readings.units import convert

SWING = 3.0
"""Kelvin; chosen: a thermostat of a machine opens and closes some 5 to 15 K apart."""
COLD = 10.0
"""A log that rises by less never warmed up, and one that ends less far down never cooled; kelvin, chosen."""


@dataclass(frozen=True, slots=True)
class Warmth:
    """What a logged temperature shows. first, highest: in C; peaks, troughs: (seconds, C) between which the heat went
    off and on; warm: from when to when in seconds, None where the log does not show both ends."""

    first: float
    highest: float
    peaks: tuple[tuple[float, float], ...]
    troughs: tuple[tuple[float, float], ...]
    warm: tuple[float, float] | None


def read_temperature(text: str, column: str | None = None) -> CycleLog | None:
    """The temperature in a log, in C; None where it has none that can be read."""
    try:
        log = read_cycle_log(text, column, quantities=("temperature",))
    except CycleLogError:
        return None
    unit = "F" if log.column.rstrip(" ])").upper().endswith("F") else "C"
    if unit == "C":
        return log
    values = tuple(convert(value, "temperature", "F", "C") for value in log.values)
    return replace(log, values=values)


def warmth_of(log: CycleLog) -> Warmth:
    """Rise, turning points and the time it was warm."""
    turns = _turns(log)
    peaks = tuple((at, value) for at, value, up in turns if up)
    troughs = tuple((at, value) for at, value, up in turns if not up)
    followed = tuple(peak for peak in peaks if any(at > peak[0] for at, _ in troughs))
    between = tuple(each for each in troughs if followed and each[0] > followed[0][0])
    return Warmth(log.values[0], max(log.values), followed, between, _warm(log, peaks))


def _turns(log: CycleLog) -> list[tuple[float, float, bool]]:
    """(seconds, C, whether it is a peak) of every turning point that SWING confirms, in order; a trough before the
    first rise is none."""
    found: list[tuple[float, float, bool]] = []
    best_at, best = log.seconds[0], log.values[0]
    rising: bool | None = None
    for at, value in zip(log.seconds, log.values, strict=True):
        if rising is None:
            if abs(value - best) >= SWING:
                rising = value > best
                best_at, best = at, value
            continue
        if (value > best) == rising and value != best:
            best_at, best = at, value
        elif abs(value - best) >= SWING:
            found.append((best_at, best, rising))
            rising = not rising
            best_at, best = at, value
    return found


def _warm(log: CycleLog, peaks: tuple[tuple[float, float], ...]) -> tuple[float, float] | None:
    """From the first rise to the last peak, where it began and ended cold and nothing is missing."""
    if not peaks or log.breaks or max(log.values) - log.values[0] < COLD:
        return None
    if peaks[-1][1] - log.values[-1] < COLD or log.values[0] - log.values[-1] > COLD:
        return None
    begun = next(
        at for at, value in zip(log.seconds, log.values, strict=True) if value - log.values[0] >= SWING
    )
    return begun, peaks[-1][0]


def temperature_figures(log: CycleLog) -> tuple[Figure, ...]:
    """What a rule file may ask for of a logged temperature."""
    warmth = warmth_of(log)
    found = []
    if warmth.highest - warmth.first >= COLD:
        found.append(figure("temperature_rise", warmth.highest - warmth.first, "K"))
    if warmth.peaks:
        found.append(figure("opening_temperature", median(value for _, value in warmth.peaks), "C"))
    if warmth.peaks and warmth.troughs:
        swing = median(value for _, value in warmth.peaks) - median(value for _, value in warmth.troughs)
        found.append(figure("temperature_swing", swing, "K"))
    if warmth.warm is not None:
        found.append(figure("run_time", (warmth.warm[1] - warmth.warm[0]) / 60, "min"))
    return tuple(found)
