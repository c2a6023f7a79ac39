"""What a person said before it was asked: kept, and given as the answer once the question comes."""

from __future__ import annotations

from collections.abc import Sequence

from faultfinder.dialogue.say import Ask, Said, note
from faultfinder.terminal.console.console import Face


class SaidAhead:
    """A face whose person has said the answer to one prompt already."""

    def __init__(self, face: Face, label: str, line: str) -> None:
        self._face, self._label, self._line = face, label, line

    def __getattr__(self, name: str) -> object:
        # What only some faces can do (pass events on, wait at the end) is looked for on the real one.
        return getattr(self._face, name)

    def show(self, said: Sequence[Said]) -> None:
        self._face.show(said)

    def ask(self, ask: Ask) -> str:
        """The line said ahead, shown, at the first prompt of its label; every other is asked."""
        if self._line and ask.label == self._label:
            line, self._line = self._line, ""
            self._face.show([note(f"{ask.label}> {line}")])
            return line
        return self._face.ask(ask)
