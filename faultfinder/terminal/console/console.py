"""What a conversation needs of a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from faultfinder.dialogue.say import Ask, Said


class Face(Protocol):
    """Where a person reads and types; `ask` raises EOFError at the end and KeyboardInterrupt at Ctrl-C."""

    def show(self, said: Sequence[Said]) -> None: ...

    def ask(self, ask: Ask) -> str: ...
