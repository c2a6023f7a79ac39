"""Other words for keys and words: each leads to one that the rules have, and none takes the place of one."""

from __future__ import annotations

from faultfinder.knowledge.schema.keys import TABLES
from faultfinder.knowledge.schema.strength_words import WORDS
from faultfinder.knowledge.schema.typo_hints import _synonyms, key_meant, key_names, word_meant

KNOWN = {word for words in WORDS.values() for word in words}


def test_every_other_word_for_a_key_means_keys_that_there_are() -> None:
    meant = {key for keys in _synonyms("keys").values() for key in keys.split()}
    assert meant <= key_names()
    assert {table.name: key_meant("repair", table.names, ()) for table in TABLES}["causes"] == "remedy"


def test_a_key_that_is_there_already_is_not_offered_again() -> None:
    assert key_meant("Label", ["title", "ask"], ()) == "title"
    assert key_meant("Label", ["title", "ask"], ["title"]) == "ask"
    assert key_meant("label", ["minutes"], ()) is None


def test_another_word_is_offered_only_where_its_meaning_is_known() -> None:
    assert {"reading", "isolated", "moving_parts", "licensed"} <= KNOWN
    assert word_meant("Measured", ["look", "reading"]) == "write reading"
    assert word_meant("plug-out", ["isolated"]) == "write isolated"
    assert "write" not in word_meant("measured", ["isolated"])
