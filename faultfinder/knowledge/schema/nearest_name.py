"""The nearest known name for a misspelt one: offered, never silently applied."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from faultfinder.text.catalogue import say

# Chosen: finds every single slip in ids of four letters and more, silent for nonsense.
_CUTOFF = 0.72
_LIST_AT_MOST = 12


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name most like `name`, or None when nothing is near."""
    candidates = list(known)
    folded = name.strip().lower().replace("-", "_").replace(" ", "_")
    if folded in candidates:
        return folded
    held = [each for each in candidates if len(folded) > 2 and folded in each.split("_")]
    if len(held) == 1:
        return held[0]
    close = get_close_matches(folded[:100], candidates, n=1, cutoff=_CUTOFF)
    return close[0] if close else None


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """A hint: the nearest known name; else the whole list where it is short; else nothing."""
    candidates = list(known)
    near = nearest(name, candidates)
    if near is not None:
        return say("name_did_you_mean", near=near)
    if 0 < len(candidates) <= _LIST_AT_MOST:
        return say("name_known_here", names=", ".join(candidates))
    return ""
