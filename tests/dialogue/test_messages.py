"""The tables of sentences: each is used, and each can be filled in."""

from __future__ import annotations

import re
from pathlib import Path
from string import Formatter

import pytest

import faultfinder
from faultfinder.dialogue.messages import WORDS, say
from faultfinder.dialogue.reading_messages import READINGS

SOURCE = "\n".join(
    path.read_text(encoding="utf-8")
    for path in Path(faultfinder.__file__).parent.rglob("*.py")
    if path.name not in ("messages.py", "reading_messages.py")
)
LITERALS = set(re.findall(r'"([a-z_]+)"', SOURCE))


@pytest.mark.parametrize("key", WORDS)
def test_every_sentence_can_be_filled_in(key: str) -> None:
    fields = {name for _, name, _, _ in Formatter().parse(WORDS[key]) if name}
    told = say(key, **dict.fromkeys(fields, "this"))
    assert told.strip() == told and told and "{" not in told


@pytest.mark.parametrize("key", READINGS)
def test_every_sentence_about_readings_is_said_somewhere(key: str) -> None:
    assert key in LITERALS
