"""The one door to the sentences: a key and the values that go into it."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from string import Formatter

from faultfinder.errors import UnknownName
from faultfinder.text.english import SENTENCES

_spoken: Mapping[str, str] = SENTENCES


def speak(language: str = "english") -> None:
    """From now on that language is said: a folder beside `english/`, or any package `faultfinder.text.LANGUAGE` with
    SENTENCES of its own. What is missing in it, or cannot be filled in, is said in English. Raises UnknownName where
    there is none."""
    global _spoken
    try:
        own: Mapping[str, str] = import_module(f"faultfinder.text.{language}").SENTENCES
    except (ImportError, AttributeError, ValueError):
        raise UnknownName(say("no_such_language", language=language)) from None
    _spoken = {**SENTENCES, **{key: text for key, text in own.items() if fits(key, text)}}


def fits(key: str, text: str) -> bool:
    """Whether a translation of that sentence can be filled in: English has the key, and each place in braces."""
    try:
        return key in SENTENCES and places(text) <= places(SENTENCES[key])
    except ValueError:  # a brace that is not closed
        return False


def places(text: str) -> frozenset[str]:
    """What stands in braces: names, with how they are to be shown where that is said. Raises ValueError where a brace
    is not closed."""
    parts = [part for part in Formatter().parse(text) if part[1] is not None]
    return frozenset(
        f"{name}{':' if spec or kind else ''}{spec}{kind or ''}" for _, name, spec, kind in parts
    )


def say(key: str, /, **values: object) -> str:
    """The sentence of that key with its values filled in. Raises KeyError for a key that no catalogue has."""
    return _spoken[key].format(**values)


def has(key: str) -> bool:
    """Whether there is a sentence of that key."""
    return key in _spoken
