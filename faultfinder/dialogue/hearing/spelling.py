"""A misspelt piece put right, to be offered and never applied by itself: 'curent hgih 7.4' -> 'current high 7.4'."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches

__all__ = ["respelled"]

_LEAST = 4
"""Letters that a word has at the least to be put right; chosen: shorter ones are near to everything."""
_CUTOFF = 0.72
"""Chosen: one slip in four letters and up."""


def respelled(piece: str, words: Iterable[str], fits: Callable[[str], bool]) -> str:
    """The piece with its misspelt words replaced by the nearest known ones; empty where that does not fit either.

    words: all that may be typed for a name or an answer. fits: whether a text is understood.
    """
    known = sorted(set(words))
    changed = False
    tokens = []
    for token in piece.split():
        word = token.casefold()
        if len(word) >= _LEAST and word.isalpha() and not any(each.startswith(word) for each in known):
            near = get_close_matches(
                word, [each for each in known if len(each) >= _LEAST], n=1, cutoff=_CUTOFF
            )
            if not near:
                return ""
            token, changed = near[0], True
        tokens.append(token)
    text = " ".join(tokens)
    return text if changed and re.search(r"\S", text) and fits(text) else ""
