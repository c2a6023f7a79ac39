"""The catalogue: each sentence is said somewhere, can be filled in, and stands once."""

from __future__ import annotations

import ast
import pkgutil
from importlib import import_module

import pytest
from text_keys import calls, is_said, trees

from faultfinder import text
from faultfinder.knowledge.model import Hazard
from faultfinder.safety.actions import RETURN_TESTS
from faultfinder.safety.gate import CLOSINGS
from faultfinder.text import english
from faultfinder.text.catalogue import fits, places, say
from faultfinder.text.english import SENTENCES

SAYING = {
    "say",
    "percent",
    "minutes_text",
    "format_quantity",
    "format_span",
    "access_words",
    "stop_text",
    "caution_text",
}
PLACES = [
    import_module(f"{english.__name__}.{each.name}").SENTENCES
    for each in pkgutil.iter_modules(english.__path__)
]


LANGUAGES = [
    each.name for each in pkgutil.iter_modules(text.__path__) if each.ispkg and each.name != "english"
]


def test_every_other_language_fits_the_english_one() -> None:
    for language in LANGUAGES:
        own = import_module(f"{text.__name__}.{language}").SENTENCES
        assert [key for key, sentence in own.items() if not fits(key, sentence)] == [], language


@pytest.mark.parametrize(
    ("key", "sentence", "fitting"),
    [
        ("job", "Arbeit {job}", True),
        ("job", "Arbeit", True),
        ("job", "{job}, {job}", True),
        ("job", "{job!r}", False),
        ("job", "{job:d}", False),
        ("bogus", "Arbeit", False),
        ("job", "{pfad}", False),
        ("job", "{}", False),
        ("job", "{0}", False),
        ("job", "{job.__class__}", False),
        ("job", "Arbeit {job", False),
    ],
)
def test_what_cannot_be_filled_in_is_no_translation(key: str, sentence: str, fitting: bool) -> None:
    assert fits(key, sentence) == fitting


def test_no_key_stands_in_two_places_and_every_place_is_taken_up() -> None:
    assert sum(len(place) for place in PLACES) == len(SENTENCES) > 600


def test_every_sentence_can_be_filled_in() -> None:
    for key, sentence in SENTENCES.items():
        told = say(key, **dict.fromkeys(places(sentence), "this"))
        assert told and "{this" not in told and told.strip() == told, key


def test_every_sentence_is_said_somewhere() -> None:
    assert [key for key in SENTENCES if not is_said(key)] == []


def test_every_sentence_that_is_said_stands_in_the_catalogue_and_gets_just_its_values() -> None:
    assert len(calls()) > 1000
    assert [(key, where) for key, _, where in calls() if key not in SENTENCES] == []
    assert [(key, where) for key, values, where in calls() if values != places(SENTENCES[key])] == []


@pytest.mark.parametrize(
    "key", ["bogus", "bogus_line", "help_bogus", "sign_bogus", "left_bogus", "about_bogus"]
)
def test_a_key_that_nothing_says_is_found(key: str) -> None:
    assert not is_said(key)


def test_every_state_test_and_hazard_of_a_report_has_its_words() -> None:
    for state in (*CLOSINGS, "open", "refused"):
        assert f"left_{state}" in SENTENCES
    for test in (*RETURN_TESTS, "passed", "failed", "skipped"):
        assert f"test_{test}" in SENTENCES
    for hazard in Hazard:
        assert hazard is Hazard.NONE or f"hazard_{hazard}" in SENTENCES
    for why in ("licensed", "left", "again", "advised"):
        assert f"undone_{why}" in SENTENCES


def test_nothing_is_said_while_a_module_is_imported() -> None:
    """The language is chosen after that: a table holds keys, and says them when it is asked."""
    early = []
    for path, tree in trees().items():
        late = {
            id(inner)
            for node in ast.walk(tree)
            if isinstance(node, ast.FunctionDef | ast.Lambda)
            for part in (node.body if isinstance(node.body, list) else [node.body])
            for inner in ast.walk(part)
        }
        early += [
            f"{path}:{node.lineno}"
            for node in ast.walk(tree)
            if isinstance(node, ast.Call) and ast.unparse(node.func) in SAYING and id(node) not in late
        ]
    assert early == []
