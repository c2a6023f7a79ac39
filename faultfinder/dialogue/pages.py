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


def paged(texts: Sequence[str], others: int, lines: int = LINES) -> list[tuple[int, int]]:
    """The pages of a list as (first, end): all on one where they fit beside `others` lines of a screen of so many
    `lines`, else with a line more on each that leads on."""
    sizes = [lines_of(text, OPTION) for text in texts]
    room = lines - BESIDE - others
    if sum(sizes) <= room or not sizes:
        return [(0, len(sizes))]
    pages = []
    first, used = 0, 0
    for place, size in enumerate(sizes):
        if used + size > room - 1 and place > first:
            pages.append((first, place))
            first, used = place, 0
        used += size
    return [*pages, (first, len(sizes))]


def page_at(pages: Sequence[tuple[int, int]], first: int) -> tuple[int, int]:
    """The page that begins there, or the first one."""
    return next((page for page in pages if page[0] == first), pages[0])
