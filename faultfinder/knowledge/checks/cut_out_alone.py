"""A cut-out or fuse that nothing brings on."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "cut-out-alone",
    WARNING,
    "nothing brings on an opened cut-out",
    "A cut-out, thermal fuse or fuse opens because something else is wrong. Without brought_on_by "
    "somebody replaces it and leaves the blocked vent that blew it.",
    """
causes:
  fuse_blown:
    title: Fuse blown
    how_common: rare
    hazard: none
    remedy: Replace the fuse
    minutes: 5
    if_missed: 60
    shows: {stays_cold: always}
""",
    """
causes:
  fuse_blown:
    title: Fuse blown
    how_common: rare
    hazard: none
    remedy: Replace the fuse
    minutes: 5
    if_missed: 60
    brought_on_by: {flex_damaged: sometimes}
    shows: {stays_cold: always}
""",
)


def check(view: View) -> Iterator[Problem]:
    for cause in view.pack.causes.values():
        if not cause.brought_on_by and (_opened(cause.title) or _opened(cause.id.replace("_", " "))):
            hint = "add brought_on_by: with what makes it open"
            mark = view.mark(cause.id)
            yield view.problem(
                CODE, mark, f"{cause.id}: nothing brings it on, but it opens for a reason", hint
            )


_DEVICE = re.compile(
    r"\b(cut-?\s?out|thermal (?:link|fuse)|fuse|limiter|over-?heat \w+|"
    r"(?:motor|compressor) (?:overload|protector))\b",
    re.IGNORECASE,
)
_OPENED = re.compile(r"\b(open|opened|blown|tripped|gone|operated)\b", re.IGNORECASE)


def _opened(text: str) -> bool:
    return _DEVICE.search(text) is not None and _OPENED.search(text) is not None
