"""The command as a person runs it: a process of its own, through a pipe or a real pseudo-terminal; or inside this
process, where only the words and the status are asked about."""

from __future__ import annotations

import io
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from fcntl import ioctl
from pathlib import Path
from unittest.mock import patch

from talking import SMALL

from faultfinder.cli import main

TOP = Path(__file__).parents[2]


def environment(jobs: Path, **more: str) -> dict[str, str]:
    kept = {
        key: value for key, value in os.environ.items() if not key.startswith(("FAULTFINDER", "NO_COLOR"))
    }
    return {
        **kept,
        "PYTHONPATH": str(TOP),
        "FAULTFINDER_JOBS": str(jobs),
        "FAULTFINDER_METER": "",
        "PYTHONIOENCODING": "utf-8",
        **more,
    }


def command(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "faultfinder", *arguments]


def run(
    jobs: Path, *arguments: str, lines: Sequence[str] = (), env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """Run the command with these lines on standard input."""
    return subprocess.run(
        command(*arguments),
        input="".join(line + "\n" for line in lines),
        capture_output=True,
        text=True,
        encoding="utf-8",
        errors="surrogateescape",
        env={**environment(jobs), **(env or {})},
        timeout=120,
        check=False,
    )


def run_here(
    jobs: Path, *arguments: str, lines: Sequence[str] = (), env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """The same without a process of its own: for what is told and the status."""
    typed = "".join(line + "\n" for line in lines).encode()
    streams = [
        io.TextIOWrapper(io.BytesIO(data), encoding="utf-8", write_through=True) for data in (typed, b"", b"")
    ]
    nothing, out, err = streams
    with (
        patch.dict(os.environ, {**environment(jobs), **(env or {})}, clear=True),
        patch.object(sys, "stdin", nothing),
        redirect_stdout(out),
        redirect_stderr(err),
    ):
        try:
            status = main(arguments)
        except SystemExit as left:
            status = left.code if isinstance(left.code, int) else 1
    told, wrong = (each.buffer.getvalue().decode("utf-8") for each in (out, err))
    return subprocess.CompletedProcess(arguments, status, told, wrong)


def converse(jobs: Path, *lines: str) -> subprocess.CompletedProcess[str]:
    return run(jobs, "--pack", str(SMALL), lines=lines)


class Terminal:
    """A conversation in a pseudo-terminal of a given size; answers the cursor query that a real one answers."""

    def __init__(self, jobs: Path, columns: int = 40, rows: int = 30, arguments: Sequence[str] = ()) -> None:
        self.seen = ""
        pid, self.handle = pty.fork()
        if pid == 0:
            env = environment(jobs, TERM="xterm-256color")
            os.execvpe(sys.executable, command("--pack", str(SMALL), *arguments), env)
        self.pid = pid
        ioctl(self.handle, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def wait_for(self, text: str, seconds: float = 60.0) -> str:
        """Read until the text was seen, since the last call; returns what was read, without control codes."""
        heard = ""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            ready, _, _ = select.select([self.handle], [], [], 0.2)
            if ready:
                try:
                    data = os.read(self.handle, 65536)
                except OSError:
                    break
                raw = data.decode("utf-8", "replace")
                if "\x1b[6n" in raw:
                    os.write(self.handle, b"\x1b[1;1R")
                heard += raw
                self.seen += raw
            if text in plain(heard):
                return plain(heard)
        raise AssertionError(f"'{text}' was not seen in:\n{plain(heard)}")

    def type(self, text: str) -> None:
        os.write(self.handle, text.encode())

    def end(self) -> int:
        """The exit status, once the process has ended."""
        try:
            while os.read(self.handle, 65536):
                pass
        except OSError:
            pass
        _, status = os.waitpid(self.pid, 0)
        os.close(self.handle)
        return os.waitstatus_to_exitcode(status)


def plain(text: str) -> str:
    """Terminal output without its control codes."""
    text = re.sub(r"\x1b\[[0-9;?]*[ -/]*[@-~]", "", text)
    return re.sub(r"\x1b[()=>].?|[\x00-\x08\x0b-\x1f]", "", text)
