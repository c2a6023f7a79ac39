"""The one door to the sentences: a key and the values that go into it."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module

from faultfinder.errors import UnknownName
from faultfinder.text.english import SENTENCES

_spoken: Mapping[str, str] = SENTENCES


def speak(language: str = "english") -> None:
    """From now on that language is said: a folder beside `english/`, or any package `faultfinder.text.LANGUAGE` with
    SENTENCES of its own. What is missing in it is said in English. Raises UnknownName where there is none."""
    global _spoken
    try:
        own: Mapping[str, str] = import_module(f"faultfinder.text.{language}").SENTENCES
    except (ImportError, AttributeError, ValueError):
        raise UnknownName(say("no_such_language", language=language)) from None
    _spoken = {**SENTENCES, **own}


def say(key: str, /, **values: object) -> str:
    """The sentence of that key with its values filled in. Raises KeyError for a key that no catalogue has."""
    return _spoken[key].format(**values)


def has(key: str) -> bool:
    """Whether there is a sentence of that key."""
    return key in _spoken
