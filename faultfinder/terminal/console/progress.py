"""A line that says that something goes on, for whatever takes longer than a second; on standard error only.

At a terminal it is written over and gone at the end; elsewhere one line is written, once.
"""

from __future__ import annotations

import sys
import threading
from shutil import get_terminal_size
from time import monotonic
from types import TracebackType

from faultfinder.terminal.console.printed import shown
from faultfinder.terminal.console.render import carried

AFTER_S = 1.0
"""What is done sooner says nothing."""
EVERY_S = 0.5
WIDTH = 60


class Progress:
    """`with Progress("Writing it up") as progress: ...`: tells, and `progress.at(text)` what is at hand.

    It tells by itself, from a thread of its own: what takes long need not know that it is watched. `terminal_only`:
    elsewhere nothing is written at all.
    """

    def __init__(self, what: str, *, terminal_only: bool = False) -> None:
        self._what = what
        self._text = ""
        self._done = threading.Event()
        self._thread = threading.Thread(target=self._tell, daemon=True)
        self._live = sys.stderr is not None and sys.stderr.isatty()
        self._silent = terminal_only and not self._live

    def at(self, text: str) -> None:
        """What is being worked on now."""
        self._text = text

    def _tell(self) -> None:
        if self._silent or self._done.wait(AFTER_S):
            return
        width = min(WIDTH, get_terminal_size().columns - 1)
        begun = monotonic() - AFTER_S
        if not self._live:
            self._write(f"{self._what} ...\n")
            return
        while True:
            line = shown(f"{self._what} ... {monotonic() - begun:.0f} s {self._text}")[:width]
            self._write(f"\r{line:<{width}}")
            if self._done.wait(EVERY_S):
                self._write(f"\r{'':<{width}}\r")
                return

    def _write(self, text: str) -> None:
        try:
            sys.stderr.write(carried(text, getattr(sys.stderr, "encoding", None) or "utf-8"))
            sys.stderr.flush()
        except (OSError, ValueError):
            self._done.set()

    def __enter__(self) -> Progress:
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, where: TracebackType | None
    ) -> None:
        self._done.set()
        self._thread.join()
