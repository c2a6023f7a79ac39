"""Kill a process that writes a record, again and again at random moments, and count what was lost.

The writer says `begin n` before it appends turn n and `kept n` once that returned; every turn said to be kept must be
in the record afterwards, in order, and every turn that is there whole: turn n has 1 + n % TURN events. A kill between
the two landed in the middle of a write. The long run:

    python tests/helpers/kill_record.py 500
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import faultfinder
from faultfinder.job.events import Event, Noted, Opened
from faultfinder.job.record.event_codec import to_line
from faultfinder.job.record.record import Record, read_record

HOME = str(Path(faultfinder.__file__).parent.parent)
FILL = "x" * 19_000
"""Long lines keep the writer inside its writes for most of the time."""
TURN = 5


def turn(number: int) -> list[Noted]:
    """The events of turn n."""
    return [Noted(f"{number} {part} {FILL}") for part in range(1 + number % TURN)]


def write_for_ever(path: str) -> None:
    """The victim: open or begin the record, then append numbered notes until it is killed."""
    record = Record.open(path) if os.path.exists(path) else Record.create(path, Opened("pack"))
    number = last_turn(record.contents.events) + 1
    while True:
        os.write(1, b"begin %d\n" % number)
        record.append(*turn(number))
        os.write(1, b"kept %d\n" % number)
        number += 1


def write_line_by_line(path: str) -> None:
    """The same with care for every line and none for the turn. The counting must find it out."""
    record = Record.open(path) if os.path.exists(path) else Record.create(path, Opened("pack"))
    number = last_turn(record.contents.events) + 1
    while True:
        os.write(1, b"begin %d\n" % number)
        for event in turn(number):
            record.append(event)
        os.write(1, b"kept %d\n" % number)
        number += 1


def write_carelessly(path: str) -> None:
    """The same without the record's care: buffered, and said to be kept at once. The counting must find it out."""
    number = last_turn(read_record(path).events) + 1 if os.path.exists(path) else 1
    with open(path, "a", encoding="utf-8", buffering=1 << 20) as file:
        if number == 1:
            file.write(to_line(Opened("pack")) + "\n")
        while True:
            os.write(1, b"begin %d\n" % number)
            for event in turn(number):
                file.write(to_line(event) + "\n")
            os.write(1, b"kept %d\n" % number)
            number += 1


def last_turn(events: Sequence[Event]) -> int:
    """The number of the last turn there; AssertionError where one is there in part or out of order."""
    notes = [event for event in events if isinstance(event, Noted)]
    number = 0
    while notes:
        number += 1
        whole = turn(number)
        assert notes[: len(whole)] == whole, (number, len(notes))
        notes = notes[len(whole) :]
    return number


@dataclass
class Kills:
    kills: int = 0
    in_a_write: int = 0
    """Killed after `begin n` and before `kept n`; of these:"""
    not_there: int = 0
    there: int = 0
    torn: int = 0
    kept: int = 0


def kill_again_and_again(folder: Path, kills: int, seed: int, victim_is: str = "victim") -> Kills:
    """Raises AssertionError when anything said to be kept is not there."""
    choose = random.Random(seed)
    counted = Kills()
    last = 0
    round_ = 0
    while counted.kills < kills:
        # A record of its own every twenty kills, so that reading it does not come to take most of the time.
        path = folder / f"job-{round_ // 20}.yaml"
        last = 0 if round_ % 20 == 0 else last
        round_ += 1
        command = [sys.executable, __file__, victim_is, str(path)]
        victim = subprocess.Popen(command, stdout=subprocess.PIPE, env={**os.environ, "PYTHONPATH": HOME})
        assert victim.stdout is not None
        victim.stdout.readline()
        time.sleep(choose.uniform(0.0, 0.02))
        victim.kill()
        said = b"begin 0\n" + victim.communicate()[0]
        assert victim.returncode == -9, victim.returncode
        counted.kills += 1
        whole = said[: said.rfind(b"\n") + 1].decode().split("\n")[:-1]
        counted.in_a_write += whole[-1].startswith("begin")
        last = max([last, *(int(line.split()[1]) for line in whole if line.startswith("kept"))])
        contents = read_record(path)
        if whole[-1].startswith("begin"):
            counted.torn += contents.torn > 0
            counted.there += last_turn(contents.events) >= int(whole[-1].split()[1])
            counted.not_there = counted.in_a_write - counted.there - counted.torn
        assert not contents.damaged, contents.problems
        there = last_turn(contents.events)
        assert there >= last, (there, last)
        counted.kept = max(counted.kept, there)
    return counted


if __name__ == "__main__":
    if sys.argv[1:2] == ["victim"]:
        write_for_ever(sys.argv[2])
    if sys.argv[1:2] == ["line by line"]:
        write_line_by_line(sys.argv[2])
    if sys.argv[1:2] == ["careless"]:
        write_carelessly(sys.argv[2])
    with tempfile.TemporaryDirectory() as place:
        done = kill_again_and_again(Path(place), int(sys.argv[1]) if len(sys.argv) > 1 else 500, seed=1)
    print(
        f"{done.kills} kills, {done.in_a_write} of them between the beginning of an append and its acknowledgement;"
    )
    print(
        f"of these {done.not_there} turns not there, {done.torn} torn, {done.there} there; nothing acknowledged lost"
    )
