"""Long lists in pages, so that a question and its answers fit a phone with the keyboard up."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

COLUMNS, LINES = 40, 15
"""The screen of a phone with its keyboard up."""
QUESTION = len("Question: ")
OPTION = 5
"""Cells before an option's text."""
BESIDE = 2
"""Lines beside the question and its options: the status line, and where is typed."""


def lines_of(text: str, indent: int = 0) -> int:
    """Lines that a text takes on such a screen, its first and its other lines indented alike."""
    if not text:
        return 0
    return sum(max(1, len(textwrap.wrap(part, COLUMNS - indent))) for part in text.split("\n"))


def question_lines(text: str) -> int:
    """Lines of a question with its label."""
    return lines_of("x" * (QUESTION - 1) + " " + text)


def page_from(texts: Sequence[str], first: int, others: int, lines: int = LINES) -> int:
    """Where the page of a list that begins at `first` ends: all that is left where it fits beside `others` lines of a
    screen of so many `lines`, else as much as leaves a line that leads on; one text at the least."""
    sizes = [lines_of(text, OPTION) for text in texts[first:]]
    room = lines - BESIDE - others
    if sum(sizes) <= room:
        return len(texts)
    used, end = 0, first
    for size in sizes:
        if used + size > room - 1 and end > first:
            break
        used, end = used + size, end + 1
    return end
