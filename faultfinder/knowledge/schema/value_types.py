"""How the value of a key is read: one function a shape, used by the loader, the guide and the editor schema.

What cannot be read raises Unfit; of a list or a mapping the good parts are kept, and what is wrong with the others
goes to the sink. Names of other things (causes, answers, facts) stay `Name`s with their place; they are resolved once
all files are read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from enum import Enum, auto
from typing import Any, TypeVar

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink, Unfit
from faultfinder.knowledge.schema.typo_hints import (
    ID,
    YAML_CONSTANTS,
    number_meant,
    plain_name,
    word_meant,
    yes_or_no_meant,
)
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar

_NUMBER = re.compile(r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?")
ID_PATTERN = "^(?!(?:true|false|null)$)[a-z][a-z0-9_]{0,59}$"
"""What an id looks like, as the editor schema says it."""
HUGE = 1e12
"""Numbers beyond this size are slips of the key. Chosen."""

Schema = dict[str, Any]
Value = TypeVar("Value")
AN_ID: Schema = {"type": "string", "pattern": ID_PATTERN}


class Sort(Enum):
    """What a value holds, where others must know."""

    WORDS = auto()
    """Texts for people."""
    ID = auto()
    IDS = auto()
    CONDITIONS = auto()
    PAIR = auto()
    OTHER = auto()


@dataclass(frozen=True, slots=True)
class Shape:
    """What can be the value of a key.

    read: node, name for messages, sink -> the value. words: how the guide describes it. schema: JSON Schema, draft 7.
    of: the things whose ids it holds. inner: of conditions, what their values are.
    sample: a value, to show how it is written. fits: whether a bare word could be such a value.
    """

    read: Callable[[Node, str, Sink], Any]
    words: str
    schema: Schema
    sort: Sort = Sort.OTHER
    of: str = ""
    inner: str = ""
    sample: str = "..."
    fits: Callable[[str], bool] = lambda text: False


@dataclass(frozen=True, slots=True)
class Name:
    """A word of a rule file with its place."""

    text: str
    mark: Mark


def from_ids(value: Schema) -> Schema:
    """The schema of a mapping from ids to such values."""
    return {"type": "object", "patternProperties": {ID_PATTERN: value}, "additionalProperties": False}


def attempt(read: Callable[[Node, str, Sink], Value], node: Node, what: str, sink: Sink) -> Value | None:
    """What can be read there; None where nothing can, which is told."""
    try:
        return read(node, what, sink)
    except Unfit as unfit:
        sink.take(unfit)
        return None


def attempts(
    read: Callable[[Node, str, Sink], Value], rows: Iterable[tuple[Node, str]], sink: Sink
) -> tuple[Value, ...]:
    """What can be read of several, each with its name for messages; what is wrong with the others is told."""
    found = (attempt(read, node, what, sink) for node, what in rows)
    return tuple(value for value in found if value is not None)


def quoted(text: str) -> str:
    """The offending text as shown in a message: one line, at most 40 letters, in double quotes."""
    flat = " ".join(text.split())
    return f'"{flat[:37]}..."' if len(flat) > 40 else f'"{flat}"'


def kind_of(node: Node) -> str:
    if isinstance(node, ListNode):
        return "a list"
    if isinstance(node, MapNode):
        return "a mapping"
    return quoted(node.text) if node.text else "nothing"


def wrong_shape(node: Node, what: str, wanted: str, hint: str = "") -> Unfit:
    return Unfit(node.mark, "wrong-shape", f"{what} must be {wanted}, not {kind_of(node)}", hint)


def no_value(node: Node, what: str, wanted: str) -> Unfit:
    hint = f"write {wanted}, or leave the key out"
    return Unfit(node.mark, "missing-value", f"{what} has no value", hint)


def scalar_text(node: Node, what: str, wanted: str) -> str:
    """The text of a scalar that is there."""
    if not isinstance(node, Scalar):
        raise wrong_shape(node, what, wanted)
    text = node.text.strip()
    if not text or (node.plain and text in ("~", "null", "Null", "NULL")):
        raise no_value(node, what, wanted)
    return node.text


def read_name(node: Node, what: str, sink: Sink) -> Name:
    """A snake_case id; which ones exist is looked at later."""
    return check_name(scalar_text(node, what, "a name"), node.mark, what)


def check_name(text: str, mark: Mark, what: str, as_pair: str = "") -> Name:
    """The name. as_pair: what to write where a key and its value were glued together."""
    wrong = f"{what}: {quoted(text)} is not a name"
    if ID.fullmatch(text) is None:
        plain = plain_name(text)
        such_as = f", such as {plain}" if plain else ""
        hint = f"use small letters, digits and _, beginning with a letter, at most 60{such_as}"
        raise Unfit(mark, "bad-name", wrong, as_pair or hint, lost=plain)
    if text in YAML_CONSTANTS:
        meant = yes_or_no_meant(text)
        hint = (
            f"editors read it as a value; {meant}, or choose another"
            if meant
            else "editors read it as a value; choose another"
        )
        raise Unfit(mark, "bad-name", wrong, hint)
    return Name(text, mark)


def text(longest: int = 4000) -> Shape:
    """Words for people: one line, or several with `|`."""

    def read(node: Node, what: str, sink: Sink) -> str:
        found = scalar_text(node, what, "a text")
        if len(found) > longest:
            wrong = f"{what} has {len(found)} letters; at most {longest} are shown"
            raise Unfit(node.mark, "too-long", wrong)
        return found.rstrip()

    words = "text" if longest == 4000 else f"text of at most {longest} letters"
    # Editors read a bare 1.0 or 230 as a number; for us it is the text that stands there.
    schema = {"type": ["string", "number", "boolean"], "minLength": 1, "maxLength": longest}
    return Shape(read, words, schema, Sort.WORDS)


def drawing() -> Shape:
    """A text drawing, kept line by line."""

    def read(node: Node, what: str, sink: Sink) -> str:
        return scalar_text(node, what, "a drawing after '|'").rstrip().strip("\n")

    words = "drawing after `|`, at most 38 columns wide"
    return Shape(read, words, {"type": "string", "minLength": 1}, Sort.WORDS)


def _spelt(node: Node, what: str, wanted: str, text: str) -> float:
    """The number that a text spells: decimal, finite, of a sane size."""
    if isinstance(node, Scalar) and not node.plain:
        wrong = f"{what} must be {wanted}, not the text {quoted(text)}"
        raise Unfit(node.mark, "bad-number", wrong, "leave out the quotes")
    if _NUMBER.fullmatch(text) is None:
        wrong = f"{what} must be {wanted}, not {quoted(text)}"
        raise Unfit(node.mark, "bad-number", wrong, number_meant(text))
    if abs(value := float(text)) > HUGE:
        raise Unfit(node.mark, "number-out-of-range", f"{what} is {quoted(text)}, beyond any sane size")
    return value


def number(
    low: float = 0.0,
    high: float = HUGE,
    table: Mapping[str, float] | None = None,
    unit: str = "",
    *,
    inside: bool = False,
) -> Shape:
    """A number within limits; or a word from a table of numbers. inside: the limits themselves are refused."""
    known = table or {}
    limits = f"{low:g} to {high:g}"
    if high >= HUGE:
        limits = f"over {low:g}" if inside else f"{low:g} or more"
    elif inside:
        limits = f"over {low:g} and under {high:g}"

    def read(node: Node, what: str, sink: Sink) -> float:
        wanted = "a number or a word" if known else "a number"
        told = scalar_text(node, what, wanted)
        if known and re.match(r"[A-Za-z_]", told):
            if told not in known:
                raise Unfit(
                    node.mark, "bad-word", f"{what}: unknown word {quoted(told)}", word_meant(told, known)
                )
            return known[told]
        value = _spelt(node, what, wanted, told.strip())
        if not low <= value <= high or (inside and value in (low, high)):
            hundred = high in (1.0, 2.0) and high < value <= 100.0 and value >= 2.0
            hint = f"{told} in a hundred is {value / 100:g}" if hundred else ""
            raise Unfit(node.mark, "number-out-of-range", f"{what} is {told}, but must be {limits}", hint)
        return value

    words = f"number, {limits}" + (f" ({unit})" if unit else "")
    least, most = ("exclusiveMinimum", "exclusiveMaximum") if inside else ("minimum", "maximum")
    schema: Schema = {"type": "number", least: low} | ({most: high} if high < HUGE else {})
    if known:
        listed = ", ".join(f"`{word}` ({value:g})" for word, value in known.items())
        words, schema = f"{words}; or a word: {listed}", {"anyOf": [{"enum": list(known)}, schema]}
    sample = next((word for word in ("often", *known) if word in known), "...")
    return Shape(
        read,
        words,
        schema,
        sample=sample,
        fits=lambda text: text in known or re.fullmatch(r"[0-9.]+", text) is not None,
    )


def word(meanings: Mapping[str, str], refused: Mapping[str, tuple[str, str]] | None = None) -> Shape:
    """One of a fixed set of words, each with what it means.

    refused: words that somebody may well write, with the code and the reason why they are refused.
    """

    def read(node: Node, what: str, sink: Sink) -> str:
        told = scalar_text(node, what, "a word")
        if told in (refused or {}):
            code, reason = (refused or {})[told]
            raise Unfit(node.mark, code, f"{what}: {reason}", "known here: " + ", ".join(meanings))
        if told not in meanings:
            wrong = f"{what}: unknown word {quoted(told)}"
            raise Unfit(node.mark, "bad-word", wrong, word_meant(told, meanings))
        return told

    listed = (f"`{word}`" + (f" ({meaning})" if meaning else "") for word, meaning in meanings.items())
    return Shape(read, "one of " + ", ".join(listed), {"enum": list(meanings)}, fits=meanings.__contains__)


def yes_or_no() -> Shape:
    def read(node: Node, what: str, sink: Sink) -> bool:
        told = scalar_text(node, what, "yes or no")
        if told not in ("yes", "no"):
            wrong = f"{what} must be yes or no, not {quoted(told)}"
            raise Unfit(node.mark, "bad-word", wrong, yes_or_no_meant(told))
        return told == "yes"

    return Shape(read, "`yes` or `no`", {"enum": ["yes", "no"]})


def expression(words: str = "expression on facts") -> Shape:
    """An expression on facts; kept as text with its place, parsed when all facts are known."""

    def read(node: Node, what: str, sink: Sink) -> Name:
        wanted = "an expression" if words.startswith("expression") else "a number, a choice or an expression"
        return Name(scalar_text(node, what, wanted).strip(), node.mark)

    return Shape(read, words, {"type": ["string", "number"], "minLength": 1})
