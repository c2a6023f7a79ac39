"""How the value of a key is read: one class a shape, used by the loader, the guide and the editor schema.

A shape answers three questions: `read` (node -> value, telling what is wrong), `words` (how the guide
describes it) and `schema` (JSON Schema, draft 07). A value that cannot be read is None and told.
Names of other things (causes, answers, facts) stay `Name`s with their place; they are resolved once all files
are read.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.typo_hints import (
    ID,
    YAML_CONSTANTS,
    name_meant,
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


def from_ids(value: Schema) -> Schema:
    """The schema of a mapping from ids to such values."""
    return {"type": "object", "patternProperties": {ID_PATTERN: value}, "additionalProperties": False}


@dataclass(frozen=True, slots=True)
class Name:
    """A word of a rule file with its place."""

    text: str
    mark: Mark


class Shape(Protocol):
    def read(self, node: Node, what: str, sink: Sink) -> Any: ...
    def words(self) -> str: ...
    def schema(self) -> Schema: ...


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


def scalar_text(node: Node, what: str, wanted: str, sink: Sink) -> str | None:
    """The text of a scalar that is there; otherwise the problem is told."""
    if isinstance(node, Scalar):
        if node.text.strip() and not (node.plain and node.text.strip() in ("~", "null", "Null", "NULL")):
            return node.text
        sink.error(
            node.mark, "missing-value", f"{what} has no value", f"write {wanted}, or leave the key out"
        )
        return None
    sink.error(node.mark, "wrong-shape", f"{what} must be {wanted}, not {kind_of(node)}")
    return None


def read_number(node: Scalar, what: str, sink: Sink, *, wanted: str = "a number") -> float | None:
    """The number a scalar spells: decimal, finite, of a sane size."""
    text = node.text.strip()
    if not node.plain:
        sink.error(
            node.mark,
            "bad-number",
            f"{what} must be {wanted}, not the text {quoted(text)}",
            "leave out the quotes",
        )
        return None
    if _NUMBER.fullmatch(text) is None:
        sink.error(
            node.mark, "bad-number", f"{what} must be {wanted}, not {quoted(text)}", number_meant(text)
        )
        return None
    value = float(text)
    if abs(value) > HUGE:
        sink.error(node.mark, "number-out-of-range", f"{what} is {quoted(text)}, beyond any sane size")
        return None
    return value


def read_name(node: Node, what: str, sink: Sink) -> Name | None:
    """A snake_case id; which ones exist is looked at later."""
    text = scalar_text(node, what, "a name", sink)
    if text is None:
        return None
    return check_name(text, node.mark, what, sink)


def check_name(text: str, mark: Mark, what: str, sink: Sink, as_pair: str = "") -> Name | None:
    """The name, or None and told. as_pair: what to write where a key and its value were glued together."""
    if ID.fullmatch(text) is None:
        hint = f"use small letters, digits and _, beginning with a letter, at most 60{name_meant(text)}"
        sink.error(mark, "bad-name", f"{what}: {quoted(text)} is not a name", as_pair or hint)
        sink.lost.add(plain_name(text))
        return None
    if text in YAML_CONSTANTS:
        sink.error(
            mark,
            "bad-name",
            f"{what}: {quoted(text)} is not a name",
            "editors read it as a value; take another",
        )
        return None
    return Name(text, mark)


@dataclass(frozen=True, slots=True)
class Text:
    """Words for people: one line, or several with `|`."""

    longest: int = 4000

    def read(self, node: Node, what: str, sink: Sink) -> str | None:
        text = scalar_text(node, what, "a text", sink)
        if text is None:
            return None
        if len(text) > self.longest:
            sink.error(
                node.mark, "too-long", f"{what} has {len(text)} letters; at most {self.longest} are shown"
            )
            return None
        return text.rstrip()

    def words(self) -> str:
        return "text" if self.longest == 4000 else f"text of at most {self.longest} letters"

    def schema(self) -> Schema:
        # Editors read a bare 1.0 or 230 as a number; for us it is the text that stands there.
        return {"type": ["string", "number", "boolean"], "minLength": 1, "maxLength": self.longest}


@dataclass(frozen=True, slots=True)
class Drawing:
    """A text drawing, kept line by line."""

    def read(self, node: Node, what: str, sink: Sink) -> str | None:
        if isinstance(node, Scalar) and node.text.strip():
            return node.text.rstrip().strip("\n")
        scalar_text(node, what, "a drawing after '|'", sink)
        return None

    def words(self) -> str:
        return "drawing after `|`, at most 38 columns wide"

    def schema(self) -> Schema:
        return {"type": "string", "minLength": 1}


@dataclass(frozen=True, slots=True)
class Number:
    """A number within limits; or a word from a table of numbers."""

    low: float = 0.0
    high: float = HUGE
    table: Mapping[str, float] = field(default_factory=dict)
    unit: str = ""
    inside: bool = False
    """Whether the limits themselves are refused."""

    def read(self, node: Node, what: str, sink: Sink) -> float | None:
        wanted = "a number or a word" if self.table else "a number"
        text = scalar_text(node, what, wanted, sink)
        if text is None:
            return None
        assert isinstance(node, Scalar)
        if self.table and re.match(r"[A-Za-z_]", text):
            if text in self.table:
                return self.table[text]
            sink.error(
                node.mark, "bad-word", f"{what}: unknown word {quoted(text)}", word_meant(text, self.table)
            )
            return None
        value = read_number(node, what, sink, wanted=wanted)
        if value is None:
            return None
        outside = not self.low <= value <= self.high
        if outside or (self.inside and value in (self.low, self.high)):
            hundred = self.table and self.high == 1.0 and 2.0 <= value <= 100.0
            hint = f"{text} in a hundred is {value / 100:g}" if hundred else ""
            sink.error(
                node.mark, "number-out-of-range", f"{what} is {text}, but must be {self._limits()}", hint
            )
            return None
        return value

    def _limits(self) -> str:
        if self.high >= HUGE:
            return f"over {self.low:g}" if self.inside else f"{self.low:g} or more"
        if self.inside:
            return f"over {self.low:g} and under {self.high:g}"
        return f"{self.low:g} to {self.high:g}"

    def words(self) -> str:
        unit = f" ({self.unit})" if self.unit else ""
        limits = f"number, {self._limits()}{unit}"
        if not self.table:
            return limits
        listed = ", ".join(f"`{word}` ({value:g})" for word, value in self.table.items())
        return f"{limits}; or a word: {listed}"

    def schema(self) -> Schema:
        low, high = ("exclusiveMinimum", "exclusiveMaximum") if self.inside else ("minimum", "maximum")
        number: Schema = {"type": "number", low: self.low}
        if self.high < HUGE:
            number[high] = self.high
        return {"anyOf": [{"enum": list(self.table)}, number]} if self.table else number


@dataclass(frozen=True, slots=True)
class Word:
    """One of a fixed set of words, each with what it means.

    refused: words that somebody may well write, with the code and the reason why they are refused.
    """

    meanings: Mapping[str, str]
    refused: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    def read(self, node: Node, what: str, sink: Sink) -> str | None:
        text = scalar_text(node, what, "a word", sink)
        if text is None:
            return None
        if text in self.refused:
            code, reason = self.refused[text]
            sink.error(node.mark, code, f"{what}: {reason}", "known here: " + ", ".join(self.meanings))
            return None
        if text not in self.meanings:
            sink.error(
                node.mark,
                "bad-word",
                f"{what}: unknown word {quoted(text)}",
                word_meant(text, self.meanings),
            )
            return None
        return text

    def words(self) -> str:
        return "one of " + ", ".join(
            f"`{word}`" + (f" ({text})" if text else "") for word, text in self.meanings.items()
        )

    def schema(self) -> Schema:
        return {"enum": list(self.meanings)}


@dataclass(frozen=True, slots=True)
class YesNo:
    def read(self, node: Node, what: str, sink: Sink) -> bool | None:
        text = scalar_text(node, what, "yes or no", sink)
        if text is None:
            return None
        if text not in ("yes", "no"):
            wrong = f"{what} must be yes or no, not {quoted(text)}"
            sink.error(node.mark, "bad-word", wrong, yes_or_no_meant(text))
            return None
        return text == "yes"

    def words(self) -> str:
        return "`yes` or `no`"

    def schema(self) -> Schema:
        return {"enum": ["yes", "no"]}


@dataclass(frozen=True, slots=True)
class OneName:
    """The id of something."""

    of: str = "name"

    def read(self, node: Node, what: str, sink: Sink) -> Name | None:
        return read_name(node, what, sink)

    def words(self) -> str:
        return f"{self.of} id" if self.of != "name" else "a name"

    def schema(self) -> Schema:
        return {"type": "string", "pattern": ID_PATTERN}


@dataclass(frozen=True, slots=True)
class Formula:
    """An expression on facts; kept as text with its place, parsed when all facts are known."""

    of: str = "expression on facts"

    def read(self, node: Node, what: str, sink: Sink) -> Name | None:
        text = scalar_text(node, what, "an expression", sink)
        return Name(text.strip(), node.mark) if text is not None else None

    def words(self) -> str:
        return self.of

    def schema(self) -> Schema:
        return {"type": ["string", "number"], "minLength": 1}
