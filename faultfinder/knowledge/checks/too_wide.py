"""Texts and drawings that do not fit a screen of 40 columns."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.value_types import quoted


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if observation.probes is not None:
            yield from _drawing(view, observation.id, observation.probes.drawing)
    for said in view.said():
        longest = max(said.text.split(), key=width, default="")
        if width(longest) > COLUMNS:
            message = f"{said.item}: the word {quoted(longest)} has {width(longest)} columns; {COLUMNS} fit"
            yield Objection(said.mark, message, "split it")
            continue
        most = LINES.get(said.key)
        lines = len(textwrap.wrap(" ".join(said.text.split()), COLUMNS)) if most is not None else 0
        if most is not None and lines > most:
            message = f"{said.item}: {said.key} takes {lines} lines of {COLUMNS} columns; {most} at most"
            yield Objection(said.mark, message, "shorten it; the rest can go under how or why")


COLUMNS = 38
"""Columns of text on a screen of 40. Chosen: one free on either side."""
LINES = {"ask": 3, "answers": 2, "title": 2, "remedy": 2, "choices": 2}
"""Most lines of a text by its key. Chosen."""


def width(text: str) -> int:
    """Columns a text takes on a terminal: wide letters two, marks that stand on others none."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(letter) else 2 if unicodedata.east_asian_width(letter) in "WF" else 1
        for letter in text
    )


def _drawing(view: View, item: str, drawing: str) -> Iterator[Objection]:
    widest = max(drawing.split("\n"), key=width, default="")
    if width(widest) > COLUMNS:
        mark = view.mark(item, "probes", "drawing")
        message = f"{item}: the drawing is {width(widest)} columns wide; {COLUMNS} fit"
        yield Objection(mark, message, "draw it narrower")
