"""The three standard streams, whatever the program was started with: closed, of another encoding, or full."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import TextIO

NAMES = ("stdin", "stdout", "stderr")


def make_ready() -> frozenset[str]:
    """Make every standard stream usable; which of them (stdin, stdout, stderr) were closed.

    A closed one is put on the null device, so that no record is ever opened under its number. What an encoding has
    no character for is shown as '?', and what is no text in a pipe is read so.
    """
    closed = frozenset(name for name in NAMES if getattr(sys, name) is None)
    # The null device is opened until the numbers 0, 1 and 2 are all taken.
    while closed and (handle := os.open(os.devnull, os.O_RDWR)) <= 2:
        pass
    if closed:
        os.close(handle)
    for name in NAMES:
        if name in closed:
            mode = "r" if name == "stdin" else "w"
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))
        elif name != "stderr":
            # What is no stream of the system's own: whoever put it there knows what it takes.
            with suppress(AttributeError, OSError, ValueError):
                getattr(sys, name).reconfigure(errors="replace")
    return closed


def tell(text: str) -> None:
    """A line on standard error, if it can be written at all."""
    try:
        print(text, file=sys.stderr, flush=True)
    except (OSError, ValueError):
        let_go(sys.stderr)


def let_go(stream: TextIO) -> None:
    """Put a stream that can take no more on the null device, so that leaving does not fail on it once again."""
    with suppress(OSError, ValueError):
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, stream.fileno())
        os.close(null)
