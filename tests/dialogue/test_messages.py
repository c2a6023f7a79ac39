"""The tables of sentences: each is used, and each can be filled in."""

from __future__ import annotations

from string import Formatter

import pytest
from text_keys import said

from faultfinder.dialogue.messages import WORDS, say


@pytest.mark.parametrize("key", WORDS)
def test_every_sentence_can_be_filled_in(key: str) -> None:
    fields = {name for _, name, _, _ in Formatter().parse(WORDS[key]) if name}
    told = say(key, **dict.fromkeys(fields, "this"))
    assert told.strip() == told and told and "{" not in told


SAID = said("faultfinder.dialogue.messages")


@pytest.mark.parametrize("key", WORDS)
def test_every_sentence_is_said_somewhere(key: str) -> None:
    assert SAID.has(key)


def test_every_sentence_that_is_said_stands_in_the_table() -> None:
    assert len(SAID.named) > 200 and set(WORDS) >= SAID.named


@pytest.mark.parametrize("key", ["bogus", "bogus_line", "help_bogus", "sign_bogus", "no_such_word"])
def test_a_key_that_nothing_says_is_found(key: str) -> None:
    assert not SAID.has(key)
