"""What the worked cases of a pack expect, read from their files."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from faultfinder.job.events import Event, Expect
from faultfinder.job.record.record import read_record


@cache
def events_of(path: Path) -> tuple[Event, ...]:
    contents = read_record(path)
    assert not contents.damaged and not contents.problems
    return tuple(contents.events)


def likely_in(path: Path) -> set[str]:
    return {name for event in events_of(path) if isinstance(event, Expect) for name, _ in event.likely}


def unlikely_in(path: Path) -> dict[str, float]:
    return {
        name: most for event in events_of(path) if isinstance(event, Expect) for name, most in event.unlikely
    }
