"""A cut-out or fuse that nothing brings on."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        if not cause.brought_on_by and (_opened(cause.title) or _opened(cause.id.replace("_", " "))):
            hint = "add brought_on_by: with what makes it open"
            mark = view.mark(cause.id)
            yield Objection(mark, f"{cause.id}: nothing brings it on, but it opens for a reason", hint)


_DEVICE = re.compile(
    r"\b(cut-?\s?out|thermal (?:link|fuse)|fuse|limiter|over-?heat \w+|"
    r"(?:motor|compressor) (?:overload|protector))\b",
    re.IGNORECASE,
)
_OPENED = re.compile(r"\b(open|opened|blown|tripped|gone|operated)\b", re.IGNORECASE)


def _opened(text: str) -> bool:
    return _DEVICE.search(text) is not None and _OPENED.search(text) is not None
