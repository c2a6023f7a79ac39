"""What commands print without a face: text that cannot drive a terminal, and JSON.

It imports nothing that is heavy, so that a command that only prints begins at once."""

from __future__ import annotations

import json
import sys
import unicodedata
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from faultfinder.text.catalogue import say


def tell(key: str, indent: int = 0, /, **values: object) -> None:
    """A sentence as a line of its own on standard output, behind so many blanks."""
    print(shown(" " * indent + say(key, **values)))


def aside(text: object) -> None:
    """A line on standard error: what is wrong, beside what was asked for."""
    print(shown(str(text)), file=sys.stderr)


def shown(text: str) -> str:
    """The text without anything that could drive the terminal or read differently from what it says: whatever
    Unicode does not call printable (controls, direction and private marks, halves of characters) becomes '?',
    odd spaces become plain ones."""
    text = text.replace("\t", "    ")
    return text if text.isascii() and text.isprintable() else "".join(map(_harmless, text))


def _harmless(character: str) -> str:
    if character.isprintable() or character == "\n":
        return character
    return " " if unicodedata.category(character) == "Zs" else "?"


def print_json(value: Any) -> None:
    """One JSON document on standard output: frozen values by their fields, infinities as text, so that every reader
    can read it. What could drive a terminal or read differently from what it says stands as an escape."""
    text = json.dumps(_plain(value), indent=1, ensure_ascii=False, allow_nan=False)
    if not text.isascii() or "\x7f" in text:
        text = "".join(c if c.isprintable() or c == "\n" else _escaped(c) for c in text)
    sys.stdout.write(text + "\n")


def _escaped(character: str) -> str:
    return "\\u007f" if character == "\x7f" else json.dumps(character)[1:-1]


def _plain(value: Any) -> Any:
    if isinstance(value, float) and value in (float("inf"), float("-inf")):
        return "OL" if value > 0 else "-OL"
    if is_dataclass(value):
        return {each.name: _plain(getattr(value, each.name)) for each in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value
