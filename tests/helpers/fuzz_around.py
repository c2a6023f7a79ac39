"""Hostile surroundings by lot: what lies in the jobs folder, what a command is pointed at, and its streams."""

from __future__ import annotations

import io
import os
import random
import shutil
import sys
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

from talking import SMALL

from faultfinder.cli import main
from faultfinder.terminal.console.printed import shown

GOOD = Path(__file__).parents[1] / "report" / "records" / "isolated.yaml"


def _text(data: bytes) -> Callable[[Path], object]:
    return lambda path: path.write_bytes(data)


def _sparse(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(4 << 30)


def _year(path: Path) -> None:
    path.write_text(
        '- {opened: small_pack, at: "0001-01-01T00:00:00+14:00"}\n- {complaint: x, at: "9999-12-31T23:59:59-14:00"}\n'
        '- {closed: left_isolated, at: "0001-01-01"}\n'
    )


def _two(path: Path) -> None:
    path.write_bytes(GOOD.read_bytes() * 2)


def _shorter(path: Path) -> None:
    rows = GOOD.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(rows[:5] + rows[6:]))


THINGS: dict[str, Callable[[Path], object]] = {
    "good": lambda path: shutil.copy(GOOD, path),
    "good again": lambda path: shutil.copy(GOOD, path),
    "fifo": os.mkfifo,
    "zero": lambda path: path.symlink_to("/dev/zero"),
    "full": lambda path: path.symlink_to("/dev/full"),
    "nowhere": lambda path: path.symlink_to("nowhere"),
    "round": lambda path: path.symlink_to(path.name),
    "link": lambda path: path.symlink_to(GOOD),
    "folder": lambda path: path.mkdir(),
    "sparse": _sparse,
    "empty": _text(b""),
    "noise": _text(bytes(range(256)) * 8),
    "zeros": _text(bytes(9_000)),
    "json": _text(b'{"a": [1, 2, {"b": "c"}]}'),
    "log": _text(b"time (s),power (W)\n" + b"".join(b"%d,%d\n" % (n * 5, 100 + n) for n in range(40))),
    "pack of nowhere": _text(b'- {opened: "/dev/zero"}\n- {note: x}\n'),
    "pack with a long name": _text(b"- {opened: " + b"x" * 300 + b"}\n"),
    "pack with a zero": _text(b'- {opened: "a\\0b/../.."}\n'),
    "year": _year,
    "two": _two,
    "shorter": _shorter,
    "half": lambda path: path.write_bytes(GOOD.read_bytes()[:-70]),
    "nothing": lambda path: None,
}
LONG = "x" * 300
COMMANDS = (
    "jobs", "jobs --json", "jobs open", "history", "history --json", "history --export {}",
    "history --export {} --replace", "history --import {}", "report {}", "report {} --pack SMALL",
    "report {} --json --pack SMALL", "report other --pack SMALL --html {}",
    "report other --pack SMALL --html {} --replace",
    "resume {}", "resume {} --pack SMALL", "replay {}", "trace {}", "trace log --job {} --take all --pack SMALL",
    "trace log --job {} --take none", "--pack SMALL --jobs {}", "jobs --jobs {}", "assess --pack SMALL volts=230",
    "--pack SMALL", "--pack {}",
)  # fmt: skip
ENCODINGS = ("utf-8", "utf-8", "ascii", "latin-1", "utf-16", "shift_jis")
INPUTS = (b"", b"stop\n", b"stays cold\n1\nnone\n1\n", b"\xff\xfe\x00\x1b[2J\n" * 3, b"x" * 30_000)


@dataclass(frozen=True)
class Around:
    """A surrounding: the thing, by what name, the command and its streams."""

    thing: str
    name: str
    words: str
    encoding: str
    typed: bytes
    closed: tuple[str, ...]
    no_locks: bool


def draw(choose: random.Random) -> Around:
    return Around(
        choose.choice(list(THINGS)),
        choose.choice(("job.yaml", "job.yaml", "job.yaml", ".history.sqlite3", "other_vans.history", LONG)),
        choose.choice(COMMANDS),
        choose.choice(ENCODINGS),
        choose.choice(INPUTS),
        tuple(name for name in ("stdin", "stdout", "stderr") if choose.random() < 0.06),
        choose.random() < 0.1,
    )


def state_of(folder: Path) -> dict[str, tuple[int, int]]:
    return {path.name: (path.lstat().st_mode, path.lstat().st_size) for path in folder.iterdir()}


def no_locks(handle: int, what: int) -> None:
    raise OSError(37, "No locks available")


def run(around: Around, place: Path, expect: Callable[[bool, str], None]) -> int:
    """Run the command there; its status. What it says must be clear, and nothing changed that is not its own."""
    folder = place / "around"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    shutil.copy(GOOD, folder / "other.yaml")
    (folder / "log").write_bytes(b"time (s),power (W)\n" + b"".join(b"%d,%d\n" % (n, n) for n in range(30)))
    target = folder / around.name
    if len(around.name) < 255:
        THINGS[around.thing](target)
    words = [
        {"{}": str(target), "SMALL": str(SMALL), "log": str(folder / "log")}.get(word, word)
        for word in around.words.split()
    ]
    before = state_of(folder)
    streams = {
        "stdin": io.TextIOWrapper(io.BytesIO(around.typed), encoding=around.encoding),
        "stdout": io.TextIOWrapper(io.BytesIO(), encoding=around.encoding, write_through=True),
        "stderr": io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True),
    }
    given = {name: None if name in around.closed else stream for name, stream in streams.items()}
    environment = {**os.environ, "FAULTFINDER_JOBS": str(folder), "FAULTFINDER_METER": "", "TERM": "dumb"}
    with (
        patch.dict(os.environ, environment, clear=True),
        patch.object(sys, "stdin", given["stdin"]),
        redirect_stdout(given["stdout"]),
        redirect_stderr(given["stderr"]),
        patch("fcntl.flock", no_locks) if around.no_locks else patch("os.sep", os.sep),
    ):
        try:
            status = main(words)
        except SystemExit as left:
            status = left.code if isinstance(left.code, int) else 1
        for name in around.closed:
            # What was put in the place of a closed stream.
            if (stream := getattr(sys, name)) is not None:
                stream.close()
    told = streams["stderr"].buffer.getvalue().decode("utf-8")
    out = streams["stdout"].buffer.getvalue().decode(around.encoding, "replace")
    expect(status in (0, 1, 2), f"status {status}: {told[:300]}")
    for text in (told, out):
        expect("internal error" not in text and "Traceback" not in text, text[:300])
        expect(all(c.isprintable() or c in "\n" for c in text), f"could drive a terminal: {text[:200]!r}")
    if status == 2 and "stderr" not in around.closed:
        expect(bool(shown(told).strip()), "refused, and not said why")
    _nothing_lost(around, folder, before, expect)
    return status


OWN = (".history.sqlite3", "other_vans.history")


def _nothing_lost(
    around: Around, folder: Path, before: dict[str, tuple[int, int]], expect: Callable[[bool, str], None]
) -> None:
    after = state_of(folder)
    expect(not any(name.endswith(".part") for name in after), "half a file is left behind")
    for name, was in before.items():
        if name in OWN or (name == around.name and "--replace" in around.words):
            continue
        expect(name in after, f"{name} is gone")
        kept = name != around.name or around.thing not in (
            "good",
            "good again",
            "half",
            "two",
            "shorter",
            "year",
        )
        if kept and name != "other.yaml" and not (around.thing.startswith("pack") and name == around.name):
            expect(after[name] == was, f"{name} was changed: {was} {after[name]}")
        expect(after[name][1] >= was[1] - 200, f"{name} lost more than an unfinished line")
