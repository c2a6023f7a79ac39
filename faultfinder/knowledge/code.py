"""A kind of problem: stable code, level, and the page that `check --about CODE` shows."""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.knowledge.problem import ERROR


@dataclass(frozen=True, slots=True)
class Code:
    """id: stable for ever. bad, good: snippets of a rule file, each a whole file that stands beside others.

    alone: the snippets are whole packs. bad is empty where no text of a file can show it; then `such_as` tells.
    """

    id: str
    level: str
    title: str
    reason: str
    bad: str = ""
    good: str = ""
    alone: bool = False
    such_as: str = ""

    def page(self) -> str:
        """The page about this code, for people."""
        consequence = "the pack does not load" if self.level == ERROR else "the pack loads"
        parts = [f"{self.id}: {self.title}", f"{self.level} ({consequence})", self.reason]
        if self.such_as:
            parts.append(f"Such as: {self.such_as}")
        if self.bad:
            parts.append("Not so:\n\n" + _indented(self.bad))
        if self.good:
            parts.append("But so:\n\n" + _indented(self.good))
        return "\n\n".join(parts) + "\n"


def _indented(text: str) -> str:
    return "\n".join("    " + line if line else "" for line in text.strip("\n").split("\n"))
