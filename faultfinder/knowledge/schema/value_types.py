"""How the value of a key is read: one class a shape, used by the loader, the guide and the editor schema.

A shape answers three questions: `read` (node -> value), `words` (how the guide describes it) and `schema` (JSON
Schema, draft 07). What cannot be read raises Unfit; of a list or a mapping the good parts are kept, and what is wrong
with the others goes to the sink. Names of other things (causes, answers, facts) stay `Name`s with their place; they
are resolved once all files are read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol, TypeVar

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink, Unfit
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
Value = TypeVar("Value")


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
        hint = f"use small letters, digits and _, beginning with a letter, at most 60{name_meant(text)}"
        raise Unfit(mark, "bad-name", wrong, as_pair or hint, lost=plain_name(text))
    if text in YAML_CONSTANTS:
        raise Unfit(mark, "bad-name", wrong, "editors read it as a value; take another")
    return Name(text, mark)


@dataclass(frozen=True, slots=True)
class Text:
    """Words for people: one line, or several with `|`."""

    longest: int = 4000

    def read(self, node: Node, what: str, sink: Sink) -> str:
        text = scalar_text(node, what, "a text")
        if len(text) > self.longest:
            wrong = f"{what} has {len(text)} letters; at most {self.longest} are shown"
            raise Unfit(node.mark, "too-long", wrong)
        return text.rstrip()

    def words(self) -> str:
        return "text" if self.longest == 4000 else f"text of at most {self.longest} letters"

    def schema(self) -> Schema:
        # Editors read a bare 1.0 or 230 as a number; for us it is the text that stands there.
        return {"type": ["string", "number", "boolean"], "minLength": 1, "maxLength": self.longest}


@dataclass(frozen=True, slots=True)
class Drawing:
    """A text drawing, kept line by line."""

    def read(self, node: Node, what: str, sink: Sink) -> str:
        return scalar_text(node, what, "a drawing after '|'").rstrip().strip("\n")

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

    def read(self, node: Node, what: str, sink: Sink) -> float:
        wanted = "a number or a word" if self.table else "a number"
        text = scalar_text(node, what, wanted)
        if self.table and re.match(r"[A-Za-z_]", text):
            if text not in self.table:
                wrong = f"{what}: unknown word {quoted(text)}"
                raise Unfit(node.mark, "bad-word", wrong, word_meant(text, self.table))
            return self.table[text]
        value = self._spelt(node, what, wanted, text.strip())
        outside = not self.low <= value <= self.high
        if outside or (self.inside and value in (self.low, self.high)):
            hundred = self.table and self.high == 1.0 and 2.0 <= value <= 100.0
            hint = f"{text} in a hundred is {value / 100:g}" if hundred else ""
            wrong = f"{what} is {text}, but must be {self._limits()}"
            raise Unfit(node.mark, "number-out-of-range", wrong, hint)
        return value

    @staticmethod
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

    def read(self, node: Node, what: str, sink: Sink) -> str:
        text = scalar_text(node, what, "a word")
        if text in self.refused:
            code, reason = self.refused[text]
            raise Unfit(node.mark, code, f"{what}: {reason}", "known here: " + ", ".join(self.meanings))
        if text not in self.meanings:
            wrong = f"{what}: unknown word {quoted(text)}"
            raise Unfit(node.mark, "bad-word", wrong, word_meant(text, self.meanings))
        return text

    def words(self) -> str:
        return "one of " + ", ".join(
            f"`{word}`" + (f" ({text})" if text else "") for word, text in self.meanings.items()
        )

    def schema(self) -> Schema:
        return {"enum": list(self.meanings)}


@dataclass(frozen=True, slots=True)
class YesNo:
    def read(self, node: Node, what: str, sink: Sink) -> bool:
        text = scalar_text(node, what, "yes or no")
        if text not in ("yes", "no"):
            wrong = f"{what} must be yes or no, not {quoted(text)}"
            raise Unfit(node.mark, "bad-word", wrong, yes_or_no_meant(text))
        return text == "yes"

    def words(self) -> str:
        return "`yes` or `no`"

    def schema(self) -> Schema:
        return {"enum": ["yes", "no"]}


@dataclass(frozen=True, slots=True)
class OneName:
    """The id of something."""

    of: str

    def read(self, node: Node, what: str, sink: Sink) -> Name:
        return read_name(node, what, sink)

    def words(self) -> str:
        return f"{self.of} id"

    def schema(self) -> Schema:
        return {"type": "string", "pattern": ID_PATTERN}


@dataclass(frozen=True, slots=True)
class Formula:
    """An expression on facts; kept as text with its place, parsed when all facts are known."""

    of: str = "expression on facts"

    def read(self, node: Node, what: str, sink: Sink) -> Name:
        return Name(scalar_text(node, what, "an expression").strip(), node.mark)

    def words(self) -> str:
        return self.of

    def schema(self) -> Schema:
        return {"type": ["string", "number"], "minLength": 1}
