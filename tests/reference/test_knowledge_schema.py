"""The editor schema against a general JSON Schema library: clean packs pass, mistakes it can express do not.

The files are read here as editors read them, by the core schema of YAML 1.2 (yaml.org/spec/1.2.2, 10.3).
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from rule_files import BASE, KNOWLEDGE_TESTS

from faultfinder.knowledge.authoring.editor_schema import editor_schema
from faultfinder.knowledge.load import shipped_packs
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.syntax.nodes import ListNode, Node, Scalar, read_nodes

MISTAKES = sorted((KNOWLEDGE_TESTS / "mistakes").glob("*.yaml"))
CLEAN = [BASE, *(file for folder in shipped_packs().values() for file in sorted(folder.glob("*.yaml")))]
VALIDATOR = jsonschema.Draft7Validator(editor_schema())

EXPRESSED = {
    "unknown-act",
    "unknown-key",
    "missing-key",
    "missing-value",
    "wrong-shape",
    "bad-number",
    "duplicate-key",
    "number-out-of-range",
    "bad-word",
    "bad-name",
    "too-long",
    "remedy-in-use",
    "open-live",
    "key-not-here",
}
"""Codes that a schema of one file can express."""

BEYOND = {
    "fact_range_turned": "compares two numbers",
    "class_value_outside_range": "compares two values",
    "returns_without_a_bringer": "hangs on another key being there",
    "closes_with_no_symptom": "hangs on another key being there",
    "not_a_number_nan": "JSON has no such number to compare",
}
"""Mistakes of such a code that lie beyond it all the same, and why."""


def core_value(scalar: Scalar) -> Any:
    """What a scalar is by the core schema of YAML 1.2: null, a boolean, a number or a text."""
    text = scalar.text
    if not scalar.plain:
        return text
    if text in ("", "~", "null", "Null", "NULL"):
        return None
    if text.lower() in ("true", "false") and text in (text.lower(), text.upper(), text.title()):
        return text.lower() == "true"
    if re.fullmatch(r"[-+]?[0-9]+", text):
        return int(text)
    if re.fullmatch(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", text):
        return float(text)
    if re.fullmatch(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)", text):
        return float(text.lower().replace(".", ""))
    return text


def as_an_editor_reads(path: Path) -> Any:
    """The file's data, keys as texts, as an editor hands it to the schema; None where it cannot be read."""

    def value(node: Node) -> Any:
        if isinstance(node, Scalar):
            return core_value(node)
        if isinstance(node, ListNode):
            return [value(item) for item in node.items]
        return {key.text: value(inner) for key, inner in node.pairs}

    sink = Sink()
    node = read_nodes(path.read_bytes(), path.name, sink)
    return None if node is None or sink.problems else value(node)


def codes_of(path: Path) -> set[str]:
    lines = [line for line in path.read_text(encoding="utf-8").split("\n") if line.startswith("# expect ")]
    return {line.rsplit("[", 1)[1].rstrip("]") for line in lines}


def test_the_schema_is_a_schema_of_draft_07() -> None:
    jsonschema.Draft7Validator.check_schema(editor_schema())
    assert json.loads(json.dumps(editor_schema())) == editor_schema()


@pytest.mark.slow
@pytest.mark.parametrize("path", CLEAN, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_clean_rule_files_pass(path: Path) -> None:
    assert [error.message for error in VALIDATOR.iter_errors(as_an_editor_reads(path))] == []


@pytest.mark.parametrize("path", [p for p in MISTAKES if codes_of(p) & EXPRESSED], ids=lambda path: path.stem)
def test_a_mistake_that_a_schema_can_express_is_refused(path: Path) -> None:
    valid = VALIDATOR.is_valid(as_an_editor_reads(path))
    assert valid == (path.stem in BEYOND), BEYOND.get(path.stem)


@pytest.mark.slow
@pytest.mark.parametrize(
    "path", [p for p in MISTAKES if not codes_of(p) & EXPRESSED], ids=lambda path: path.stem
)
def test_no_other_mistake_raises_a_false_alarm(path: Path) -> None:
    data = as_an_editor_reads(path)
    if data is not None:
        assert [error.message for error in VALIDATOR.iter_errors(data)] == []
