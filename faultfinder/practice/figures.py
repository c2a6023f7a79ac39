"""What the trials come to: shares found, minutes in pairs, how far claims can be trusted, where it fails.

Pure reckoning on `Trial`s (score.py); nothing here works a machine.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from faultfinder.knowledge.model import Pack
from faultfinder.practice.score import BINS, Claim, Trial


@dataclass(frozen=True, slots=True)
class Mean:
    """A mean with its 95 % interval (normal, from the spread between machines)."""

    value: float
    half_width: float
    count: int

    @property
    def low(self) -> float:
        return self.value - self.half_width

    @property
    def high(self) -> float:
        return self.value + self.half_width


@dataclass(frozen=True, slots=True)
class Bin:
    """Claims between two chances: how many, their mean chance, and how many were true."""

    low: float
    high: float
    count: int
    claimed: float
    came_true: float


@dataclass(frozen=True, slots=True)
class WaySummary:
    """The figures of one way. Shares are of the faults that count (silent ones apart) or of the machines."""

    way: str
    machines: int
    faults: int
    found: float
    found_complained_of: float
    """Of the faults that something of the complaint hangs on."""
    whole: float
    first_right: float
    first_done_right: float
    silent: int
    silent_found: int
    parts_for_nothing: Mean
    work_for_nothing: Mean
    minutes: Mean
    steps: Mean
    violations: int
    closed: Mapping[str, int]
    grave_left: int
    """Machines closed as fit for use with a grave fault still in them."""
    still_told: int
    """Machines left with something of the complaint still so."""


@dataclass(frozen=True, slots=True)
class CauseLine:
    """How one cause fared with the tool: machines with it, found, named wrongly elsewhere, put right for nothing."""

    cause: str
    there: int
    found: int
    for_nothing: int
    missed_seeds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Paired:
    """What the tool took less what another way took (minus: fewer), machine by machine."""

    minutes: Mean
    steps: Mean


@dataclass(frozen=True, slots=True)
class Summary:
    """Everything that `score` prints."""

    ways: Mapping[str, WaySummary]
    paired: Mapping[str, Paired]
    minutes_share: Mapping[str, float]
    """Way -> the tool's minutes as a share of that way's."""
    bins: tuple[Bin, ...]
    calibration_error: float
    """Mean distance between what was claimed and what came true, over the bins by their counts."""
    log_loss: float
    log_loss_before: float
    causes: tuple[CauseLine, ...] = field(default=())


def mean(values: Sequence[float]) -> Mean:
    """The mean and the half width of its 95 % interval."""
    n = len(values)
    if n == 0:
        return Mean(0.0, 0.0, 0)
    middle = math.fsum(values) / n
    if n == 1:
        return Mean(middle, math.inf, 1)
    variance = math.fsum((value - middle) ** 2 for value in values) / (n - 1)
    return Mean(middle, 1.96 * math.sqrt(variance / n), n)


def summary(done: Sequence[Trial], pack: Pack) -> Summary:
    """The figures of all trials."""
    by_way: dict[str, dict[str, Trial]] = {}
    for each in done:
        by_way.setdefault(each.way, {})[each.seed] = each
    ways = {way: _way_summary(way, list(rows.values()), pack) for way, rows in by_way.items()}
    tool = by_way.get("tool", {})
    paired, share = {}, {}
    for way, rows in by_way.items():
        both = [(tool[seed], rows[seed]) for seed in tool if seed in rows]
        if way == "tool" or not both:
            continue
        paired[way] = Paired(
            mean([one.minutes - other.minutes for one, other in both]),
            mean([float(one.steps - other.steps) for one, other in both]),
        )
        share[way] = sum(one.minutes for one, _ in both) / max(1e-9, sum(other.minutes for _, other in both))
    claims = [claim for each in tool.values() for claim in each.claims]
    bins = calibration(claims)
    total = sum(each.count for each in bins)
    error = sum(each.count * abs(each.claimed - each.came_true) for each in bins) / total if total else 0.0
    return Summary(
        MappingProxyType(ways),
        MappingProxyType(paired),
        MappingProxyType(share),
        bins,
        error,
        mean([each.log_loss for each in tool.values()]).value,
        mean([each.log_loss_before for each in tool.values()]).value,
        _cause_lines(list(tool.values())),
    )


def _way_summary(way: str, rows: Sequence[Trial], pack: Pack) -> WaySummary:
    counted = [(each, cause) for each in rows for cause in each.counted]
    silent = [(each, cause) for each in rows for cause in each.silent]
    closed = Counter(each.closed for each in rows)
    unsafe = [
        each
        for each in rows
        if each.closed == "fit_for_use" and any(pack.causes[cause].hazard.grave for cause in each.left)
    ]
    return WaySummary(
        way,
        len(rows),
        len(counted),
        _share(cause in each.found for each, cause in counted),
        _share(cause in each.found for each in rows for cause in each.complained_of),
        _share(all(cause in each.found for cause in each.counted) for each in rows),
        _share(each.first_right for each in rows),
        _share(each.first_done_right for each in rows),
        len(silent),
        sum(cause in each.found for each, cause in silent),
        mean([float(each.parts_for_nothing) for each in rows]),
        mean([float(len(each.for_nothing)) for each in rows]),
        mean([each.minutes for each in rows]),
        mean([float(each.steps) for each in rows]),
        sum(len(each.violations) for each in rows),
        MappingProxyType(closed),
        len(unsafe),
        sum(bool(each.still_told) for each in rows),
    )


def _share(held: Iterable[bool]) -> float:
    values = list(held)
    return sum(values) / len(values) if values else 0.0


def calibration(claims: Iterable[Claim]) -> tuple[Bin, ...]:
    """Claims by bins of their chance; empty bins are left out."""
    rows = list(claims)
    out = []
    for low, high in zip(BINS, BINS[1:], strict=False):
        inside = [claim for claim in rows if low <= claim.chance < high or (high == 1.0 == claim.chance)]
        if inside:
            claimed = sum(claim.chance for claim in inside) / len(inside)
            out.append(Bin(low, high, len(inside), claimed, _share(claim.true for claim in inside)))
    return tuple(out)


def _cause_lines(rows: Sequence[Trial]) -> tuple[CauseLine, ...]:
    nothing = Counter(cause for each in rows for cause in each.for_nothing)
    lines = []
    for cause in sorted({*nothing, *(cause for each in rows for cause in each.true)}):
        with_it = [each for each in rows if cause in each.true]
        missed = tuple(each.seed for each in with_it if cause not in each.found and cause not in each.silent)
        found = sum(cause in each.found for each in with_it)
        lines.append(CauseLine(cause, len(with_it), found, nothing[cause], missed))
    return tuple(sorted(lines, key=lambda line: (-len(line.missed_seeds), -line.for_nothing, line.cause)))
