"""The plain face: lines in, lines out; for pipes, dumb terminals and screen readers. Nothing is redrawn."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Sequence
from typing import TextIO

from faultfinder.dialogue.say import Ask, Said
from faultfinder.errors import BadAnswer
from faultfinder.terminal.console.printed import shown
from faultfinder.terminal.console.render import WIDEST, carried, lines
from faultfinder.text.catalogue import say


class PlainFace:
    """Appends text only. `columns` is the width to wrap at; `echo` repeats what was read, so that a transcript
    made from a pipe shows both sides."""

    def __init__(self, source: TextIO, sink: TextIO, columns: int = 76, *, echo: bool = False) -> None:
        self._source = source
        self._sink = sink
        self._columns = columns
        self._echo = echo
        self._status = ""

    def show(self, said: Sequence[Said]) -> None:
        for _, line in lines(said, self._columns, bars=False):
            self._write(f"{line}\n")
        self._sink.flush()

    def ask(self, ask: Ask) -> str:
        """The next line. Raises EOFError at the end of input, BadAnswer for what is no text at all."""
        if ask.status != self._status:
            # Where nothing stays at the bottom, it is told when it changes.
            self._status = ask.status
            if ask.status:
                self._write(f"[{ask.status}]\n")
        self._write(f"{ask.label}> ")
        self._sink.flush()
        line = self._read()
        if not line:
            self._sink.write("\n")
            self._sink.flush()
            raise EOFError
        while len(line) >= 10_000 and not line.endswith("\n"):
            # The rest of a line that nobody types is thrown away, so that it is not taken for answers.
            more = self._read()
            if not more or more.endswith("\n"):
                break
        line = line.rstrip("\r\n")
        if self._echo:
            self._write(f"{shown(line)}\n")
            self._sink.flush()
        return line

    def _write(self, text: str) -> None:
        self._sink.write(carried(text, getattr(self._sink, "encoding", None) or "utf-8"))

    def _read(self) -> str:
        try:
            return self._source.readline(10_000)
        except UnicodeError as problem:  # some encodings cannot go on behind what is none of theirs
            raise BadAnswer(
                say("plain_what_comes_in_no", encoding=self._source.encoding, problem=problem)
            ) from problem


def plain_face(*, echo: bool = False) -> PlainFace:
    """The plain face on the standard streams, as wide as the screen."""
    return PlainFace(sys.stdin, sys.stdout, shutil.get_terminal_size((WIDEST, 24)).columns, echo=echo)
