"""Logged cycles made for tests: what a logger would have written of a machine that goes through stretches."""

from __future__ import annotations

from collections.abc import Sequence

MOTOR, LOW, HIGH = 200.0, 1400.0, 2450.0
CYCLE = (
    (1.0, 60.0),
    (MOTOR, 30.0),
    (HIGH, 1200.0),
    (MOTOR, 120.0),
    (HIGH, 300.0),
    (MOTOR, 600.0),
    (1.0, 120.0),
)
"""(watts, seconds): standby, drum, heat for 20 minutes, off, heat, cool-down, standby."""


def logged(
    pieces: Sequence[tuple[float, float]] = CYCLE, header: str = "time (s),power (W)", step: float = 10.0
) -> str:
    """The CSV text, a row in the middle of each step."""
    lines, start = [header], 0.0
    for value, seconds in pieces:
        lines += [f"{start + (number + 0.5) * step:g},{value:g}" for number in range(round(seconds / step))]
        start += seconds
    return "\n".join(lines) + "\n"


def with_gap(text: str, first: int, last: int) -> str:
    """The same without those rows (0 is the first after the header)."""
    lines = text.splitlines()
    return "\n".join(lines[: first + 1] + lines[last + 1 :]) + "\n"
