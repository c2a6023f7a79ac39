"""Shapes of values that are mappings: links, conditions, answers and bands. See value_types.py."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.nearest_name import did_you_mean, nearest
from faultfinder.knowledge.schema.strength_words import HOW_COMMON
from faultfinder.knowledge.schema.typo_hints import (
    ID,
    key_names,
    name_meant,
    pair_meant,
    plain_name,
    word_meant,
)
from faultfinder.knowledge.schema.value_lists import Names, Pair, comma_for_a_point
from faultfinder.knowledge.schema.value_types import (
    ID_PATTERN,
    Formula,
    Name,
    Number,
    Schema,
    Shape,
    Text,
    Word,
    check_name,
    kind_of,
    quoted,
    read_name,
)
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar
from faultfinder.text.catalogue import say


def as_mapping_of(node: Node, value: str, key: str = "") -> str:
    """How what stands there is written as a mapping: 'write {fan_stuck: often}', or nothing where that is not clear.

    value: a value that fits. key: the key to show where what stands there can only be a value.
    """
    names: list[str] = []
    told = re.fullmatch(r"([a-z][a-z0-9_]*) *= *(.+)", node.text) if isinstance(node, Scalar) else None
    if told is not None:
        return f"write {{{told[1]}: {told[2]}}}"
    if isinstance(node, Scalar) and node.plain:
        if key:
            return f"such as {{{key}: {node.text}}}"
        names = [node.text]
    elif isinstance(node, ListNode):
        pairs = [item.pairs for item in node.items if isinstance(item, MapNode)]
        if pairs and len(pairs) == len(node.items):
            listed = [
                (name.text, text.text) for each in pairs for name, text in each if isinstance(text, Scalar)
            ]
            return f"write {{{', '.join(f'{name}: {text}' for name, text in listed[:3])}}}" if listed else ""
        names = [item.text for item in node.items if isinstance(item, Scalar)]
    if value == "..." and isinstance(node, ListNode) and not all(ID.fullmatch(name) for name in names):
        texts = [(name_meant(name).removeprefix(", such as "), name) for name in names[:3]]
        return (
            f"write {{{', '.join(f'{name}: {text}' for name, text in texts if name)}}}"
            if all(t for t, _ in texts) and texts
            else ""
        )
    names = [name for name in names if ID.fullmatch(name)][:3]
    return f"write {{{', '.join(f'{name}: {value}' for name in names)}}}" if names else ""


def _fits(shape: Shape, node: Node) -> bool:
    """Whether a scalar could be a value of the mapping whose place it takes."""
    if not isinstance(node, Scalar):
        return False
    if isinstance(shape, Word):
        return node.text in shape.meanings
    return isinstance(shape, Number) and (
        node.text in shape.table or re.fullmatch(r"[0-9.]+", node.text) is not None
    )


def _sample(shape: Shape) -> str:
    """A value of a shape, to show how it is written."""
    if isinstance(shape, Number) and shape.table:
        return "often" if "often" in shape.table else next(iter(shape.table))
    return "..."


def name_pairs(node: Node, what: str, wanted: str, sink: Sink, hint: str = "") -> Iterable[tuple[Name, Node]]:
    """The pairs of a mapping whose keys are names; told where it is none, with a hint how to write it."""
    if not isinstance(node, MapNode):
        if isinstance(node, Scalar) and not node.text:
            sink.error(
                node.mark, "missing-value", f"{what} has no value", f"write {wanted}, or leave the key out"
            )
        else:
            sink.error(node.mark, "wrong-shape", f"{what} must be {wanted}, not {kind_of(node)}", hint)
        return
    for key, value in node.pairs:
        empty = isinstance(value, Scalar) and not value.text
        name = check_name(key.text, key.mark, what, sink, pair_meant(key.text) if empty else "")
        if name is None and not empty and (plain := plain_name(key.text)):
            # What was meant stands in for it, so that nothing else is told of what names it.
            name = Name(plain, key.mark)
        if name is not None:
            if empty:
                sink.lost.add(name.text)
            yield name, value
        elif empty:
            sink.lost.add(re.split(r"\W", key.text.strip())[0])


def slipped(name: Name, value: Node, fits: bool, what: str, sink: Sink) -> bool:
    """Told where a key of the rules stands among names and its value fits none: it slipped too far right."""
    if fits or name.text not in key_names():
        return False
    place = what.rpartition(": ")[2]
    message = f"{what}: {name.text} is a key, and stands under {place}"
    sink.error(name.mark, "key-not-here", message, f"line it up with {place}")
    sink.slipped.add(name.text)
    return True


@dataclass(frozen=True, slots=True)
class MapTo:
    """A mapping from names to values of one shape: a tuple of (name, value), in the order of the file."""

    of: str
    shape: Shape
    known: Mapping[str, object] | None = None
    """Names allowed, where they are fixed."""
    free_keys: bool = False
    """Whether keys are texts for people (a glossary) and no ids."""

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, Any], ...] | None:
        wanted = f"a mapping from {self.of}"
        if self.free_keys and isinstance(node, MapNode):
            pairs: Iterable[tuple[Name, Node]] = [
                (Name(key.text, key.mark), value) for key, value in node.pairs
            ]
        else:
            if not isinstance(node, MapNode):
                key = "" if not _fits(self.shape, node) else "yes" if "answer" in self.of else "name"
                hint = as_mapping_of(node, _sample(self.shape), key)
                list(name_pairs(node, what, wanted, sink, hint))
                return None
            pairs = name_pairs(node, what, wanted, sink)
        result = []
        for name, value_node in pairs:
            if self.known is not None and name.text not in self.known:
                sink.error(
                    name.mark,
                    "bad-word",
                    f"{what}: unknown word {quoted(name.text)}",
                    did_you_mean(name.text, self.known),
                )
                continue
            if slipped(
                name,
                value_node,
                isinstance(value_node, Scalar | ListNode if isinstance(self.shape, Pair) else Scalar),
                what,
                sink,
            ):
                continue
            value = self.shape.read(value_node, f"{what}, {name.text}" if what else name.text, sink)
            if value is not None:
                result.append((name, value))
        return tuple(result)

    def words(self) -> str:
        return f"mapping from {self.of} to {self.shape.words()}"

    def schema(self) -> Schema:
        if self.known is not None:
            properties = {key: self.shape.schema() for key in self.known}
            return {"type": "object", "properties": properties, "additionalProperties": False}
        if self.free_keys:
            return {"type": "object", "additionalProperties": self.shape.schema()}
        return {
            "type": "object",
            "patternProperties": {ID_PATTERN: self.shape.schema()},
            "additionalProperties": False,
        }


@dataclass(frozen=True, slots=True)
class Condition:
    """A mapping from ids to a value or a list of values: all must hold, any value of a list will do."""

    of: str
    values: str

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, tuple[Name, ...]], ...] | None:
        if not isinstance(node, MapNode):
            hint = as_mapping_of(node, f"the {self.values}", f"the_{self.of}")
            list(name_pairs(node, what, f"a mapping from {self.of} to {self.values}", sink, hint))
            return None
        result = []
        if not node.pairs:
            sink.error(
                node.mark, "missing-value", f"{what} has no value", "name a condition, or leave the key out"
            )
        for name, value in name_pairs(node, what, "", sink):
            inner = f"{what}, {name.text}"
            if slipped(name, value, isinstance(value, Scalar | ListNode), what, sink):
                continue
            if isinstance(value, ListNode):
                names = Names(self.values).read(value, inner, sink)
                if names == () and not value.items:
                    sink.error(value.mark, "missing-value", f"{inner} has no value")
            elif isinstance(value, Scalar) and value.text and not ID.fullmatch(value.text):
                # A number or a choice in words: told where it is known what it should be.
                names = (Name(value.text, value.mark),)
            else:
                one = read_name(value, inner, sink)
                names = (one,) if one is not None else None
            if names:
                result.append((name, names))
        return tuple(result)

    def words(self) -> str:
        return f"mapping from {self.of} id to {self.values}, or to a list of them"

    def schema(self) -> Schema:
        one: Schema = {"type": "string", "pattern": ID_PATTERN}
        value = {"anyOf": [one, {"type": "array", "items": one, "minItems": 1, "uniqueItems": True}]}
        return {"type": "object", "patternProperties": {ID_PATTERN: value}, "additionalProperties": False}


@dataclass(frozen=True, slots=True)
class Shows:
    """Links: observation id -> strength, or answer id -> strength."""

    strength: Number

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, Any], ...] | None:
        if not isinstance(node, MapNode):
            hint = as_mapping_of(node, _sample(self.strength))
            list(name_pairs(node, what, "a mapping from observations (it may be {})", sink, hint))
            return None
        result: list[tuple[Name, Any]] = []
        for name, value in name_pairs(node, what, "", sink):
            inner = f"{what}, {name.text}"
            if slipped(name, value, isinstance(value, MapNode) or _fits(self.strength, value), what, sink):
                continue
            if isinstance(value, MapNode):
                answers = MapTo("answers", self.strength).read(value, inner, sink)
                if answers or not value.pairs:
                    result.append((name, answers))
            elif isinstance(value, Scalar) and self._an_answer(value.text):
                known = ", ".join(self.strength.table)
                sink.error(
                    value.mark,
                    "bad-word",
                    f"{inner}: {quoted(value.text)} is no strength ({known})",
                    self._meant(value.text),
                )
            else:
                number = self.strength.read(value, inner, sink)
                if number is not None:
                    result.append((name, number))
        return tuple(result)

    def _meant(self, text: str) -> str:
        if text in HOW_COMMON:
            return f"{text} says how common a cause is; a link is strong or weak: write often or the like"
        return f"if it is an answer, write {{{text}: often}}"

    def _an_answer(self, text: str) -> bool:
        """Whether a word may be meant for an answer: a name that is not near any word of strength."""
        return ID.fullmatch(text) is not None and nearest(text, self.strength.table) is None

    def words(self) -> str:
        return (
            "mapping from observation id to strength (for its single abnormal answer), or to a mapping from "
            f"answer id to strength. Strength: {self.strength.words()}"
        )

    def schema(self) -> Schema:
        strength = self.strength.schema()
        by_answer = {
            "type": "object",
            "patternProperties": {ID_PATTERN: strength},
            "additionalProperties": False,
        }
        value = {"anyOf": [*strength["anyOf"], by_answer]}
        return {"type": "object", "patternProperties": {ID_PATTERN: value}, "additionalProperties": False}


@dataclass(frozen=True, slots=True)
class Answers:
    """Answer id -> text, healthy first; or the word yes_no."""

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, str], ...] | None:
        if isinstance(node, Scalar) and node.text:
            if node.text != "yes_no":
                hint = word_meant(node.text, ["yes_no"])
                sink.error(
                    node.mark,
                    "bad-word",
                    f"{what} must be a mapping or yes_no, not {quoted(node.text)}",
                    hint,
                )
                return None
            return ((Name("no", node.mark), say("answer_no")), (Name("yes", node.mark), say("answer_yes")))
        return MapTo("answer ids", Text(200)).read(node, what, sink)

    def words(self) -> str:
        return "mapping from answer id to text, healthy first, the winner over all others last; or `yes_no`"

    def schema(self) -> Schema:
        return {"anyOf": [{"const": "yes_no"}, MapTo("", Text(200)).schema()]}


@dataclass(frozen=True, slots=True)
class Bands:
    """Band id -> [low, high], each an expression or OL."""

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, tuple[Name, Name]], ...] | None:
        if not isinstance(node, MapNode):
            hint = "such as {normal: [0, 5], high: [5, OL]}, the healthy band first"
            list(name_pairs(node, what, "a mapping from band names to [low, high]", sink, hint))
            return None
        result = []
        for name, value in name_pairs(node, what, "", sink):
            inner = f"{what}, {name.text}"
            if slipped(name, value, isinstance(value, ListNode), what, sink):
                continue
            if not isinstance(value, ListNode) or len(value.items) != 2:
                hint = comma_for_a_point(value) or "such as [0, 5], or [5, OL] for all that is more"
                sink.error(value.mark, "wrong-shape", f"{inner} must be two limits: [low, high]", hint)
                sink.lost.add(name.text)
                continue
            low, high = (Formula().read(item, inner, sink) for item in value.items)
            if low is not None and high is not None:
                result.append((name, (low, high)))
        return tuple(result)

    def words(self) -> str:
        return (
            "mapping from band name to `[low, high]`, healthy first, the winner last; limits are expressions, "
            "or `OL`"
        )

    def schema(self) -> Schema:
        limit = Formula().schema()
        pair = {"type": "array", "items": limit, "minItems": 2, "maxItems": 2}
        return {"type": "object", "patternProperties": {ID_PATTERN: pair}, "additionalProperties": False}
