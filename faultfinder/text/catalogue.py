"""The one door to the sentences: a key and the values that go into it."""

from __future__ import annotations

from collections.abc import Mapping

from faultfinder.text.english import SENTENCES

_spoken: Mapping[str, str] = SENTENCES


def speak(sentences: Mapping[str, str]) -> None:
    """From now on these sentences are said; what is missing among them is said in English."""
    global _spoken
    _spoken = {**SENTENCES, **sentences}


def say(key: str, /, **values: object) -> str:
    """The sentence of that key with its values filled in. Raises KeyError for a key that no catalogue has."""
    return _spoken[key].format(**values)


def has(key: str) -> bool:
    """Whether there is a sentence of that key."""
    return key in _spoken
