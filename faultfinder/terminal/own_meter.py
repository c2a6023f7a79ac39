"""The person's own meter: a small file that says how far each of its ranges can be trusted.

Found where FAULTFINDER_METER says, else as `meter.txt` in the user's folder of settings; no file is no fault. A
line a range, as on the last page of the meter's papers (what one digit is stands there as the resolution):

    # my meter
    resistance up to 200 ohm: 0.8 % + 3 digits of 0.1 ohm
    current 10 A: ±(1.5 % rdg + 5 dgt) 0.01 A
"""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from pathlib import Path

from faultfinder.job.record.filesystem import Disk
from faultfinder.text.catalogue import say
from faultfinder.trade.readings.meter import Meter, MeterError, meter_from_text, range_lines

__all__ = ["OwnMeter", "own_meter", "settings_folder"]

VARIABLE = "FAULTFINDER_METER"
FILE = "meter.txt"
MOST_BYTES = 100_000
"""A meter has some twenty ranges; chosen."""


@dataclass(frozen=True, slots=True)
class OwnMeter:
    """A meter with the lines that say so, and the file they came from."""

    meter: Meter
    ranges: tuple[str, ...]
    path: Path


def settings_folder() -> Path:
    """The user's folder of settings for this program; it need not be there."""
    if sys.platform == "win32" and os.environ.get("APPDATA"):
        return Path(os.environ["APPDATA"]) / "faultfinder"
    return Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "faultfinder"


def own_meter() -> OwnMeter | None:
    """The user's meter, or None where no file tells of one. Raises MeterError, naming the file, for a bad one and
    for a named one that is not there; FAULTFINDER_METER set to nothing means an ordinary meter."""
    named = os.environ.get(VARIABLE)
    if named == "":
        return None
    try:
        path = Path(named) if named else settings_folder() / FILE
    except RuntimeError:  # nobody's home, and so nobody's settings
        return None
    try:
        data = Disk().read(path)
    except FileNotFoundError:
        if named:
            raise MeterError(say("own_meter_names_there_no_such", variable=VARIABLE, path=path)) from None
        return None
    except OSError as problem:
        raise MeterError(
            say("own_meter_meters_file_cannot_read", path=path, what=problem.strerror or problem)
        ) from None
    if len(data) > MOST_BYTES:
        raise MeterError(say("own_meter_meters_file_has_more", path=path, most=f"{MOST_BYTES:,}"))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise MeterError(say("own_meter_meters_file_no_utf", path=path)) from None
    try:
        meter = meter_from_text(text)
    except MeterError as problem:
        raise MeterError(f"{path}, {problem}") from None
    if not meter.ranges:
        raise MeterError(say("own_meter_names_no_range_write", path=path))
    return OwnMeter(meter, tuple(line for _, line in range_lines(text)), path)
