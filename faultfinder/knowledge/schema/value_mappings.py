"""Shapes of values that are mappings: links, conditions, answers and bands. See value_types.py."""

from __future__ import annotations

import re
from collections.abc import Mapping
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
    from_ids,
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


def name_pairs(
    node: Node, what: str, wanted: str, sink: Sink, hint: str = ""
) -> list[tuple[Name, Node]] | None:
    """The pairs of a mapping whose keys are names; None and told where it is none, with a hint how to write it."""
    if not isinstance(node, MapNode):
        if isinstance(node, Scalar) and not node.text:
            hint = f"write {wanted}, or leave the key out"
            sink.error(node.mark, "missing-value", f"{what} has no value", hint)
        else:
            sink.error(node.mark, "wrong-shape", f"{what} must be {wanted}, not {kind_of(node)}", hint)
        return None
    pairs = []
    for key, value in node.pairs:
        empty = isinstance(value, Scalar) and not value.text
        name = check_name(key.text, key.mark, what, sink, pair_meant(key.text) if empty else "")
        if name is None and not empty and (plain := plain_name(key.text)):
            # What was meant stands in for it, so that nothing else is told of what names it.
            name = Name(plain, key.mark)
        if empty:
            sink.lost.add(name.text if name is not None else re.split(r"\W", key.text.strip())[0])
        if name is not None:
            pairs.append((name, value))
    return pairs


def _slipped(name: Name, fits: bool, what: str, sink: Sink) -> bool:
    """Told where a key of the rules stands among names and its value fits none: it slipped too far right."""
    if fits or name.text not in key_names():
        return False
    place = what.rpartition(": ")[2]
    message = f"{what}: {name.text} is a key, and stands under {place}"
    sink.error(name.mark, "key-not-here", message, f"line it up with {place}")
    sink.slipped.add(name.text)
    return True


class _FromNames:
    """A mapping from names: a tuple of (name, value), in the order of the file."""

    __slots__ = ()

    def wanted(self) -> str:
        """What must stand there, in words."""
        raise NotImplementedError

    def hint(self, node: Node) -> str:
        """How what stands there is written as such a mapping."""
        return ""

    def fits(self, value: Node) -> bool:
        """Whether something can be a value of it at all: else its name may be a key that slipped."""
        raise NotImplementedError

    def value(self, name: Name, value: Node, inner: str, sink: Sink) -> Any:
        """One value; None where it cannot be read, which is told."""
        raise NotImplementedError

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, Any], ...] | None:
        hint = "" if isinstance(node, MapNode) else self.hint(node)
        pairs = name_pairs(node, what, self.wanted(), sink, hint)
        if pairs is None:
            return None
        result = []
        for name, node_ in pairs:
            if not _slipped(name, self.fits(node_), what, sink):
                value = self.value(name, node_, f"{what}, {name.text}" if what else name.text, sink)
                if value is not None:
                    result.append((name, value))
        return tuple(result)


@dataclass(frozen=True, slots=True)
class MapTo(_FromNames):
    """A mapping from names to values of one shape."""

    of: str
    shape: Shape
    known: Mapping[str, object] | None = None
    """Names allowed, where they are fixed."""
    free_keys: bool = False
    """Whether keys are texts for people (a glossary) and no ids."""

    def wanted(self) -> str:
        return f"a mapping from {self.of}"

    def hint(self, node: Node) -> str:
        key = "" if not _fits(self.shape, node) else "yes" if "answer" in self.of else "name"
        return as_mapping_of(node, _sample(self.shape), key)

    def fits(self, value: Node) -> bool:
        return isinstance(value, Scalar) or (isinstance(value, ListNode) and isinstance(self.shape, Pair))

    def value(self, name: Name, value: Node, inner: str, sink: Sink) -> Any:
        if self.known is not None and name.text not in self.known:
            message = f"{inner.removesuffix(f', {name.text}')}: unknown word {quoted(name.text)}"
            sink.error(name.mark, "bad-word", message, did_you_mean(name.text, self.known))
            return None
        return self.shape.read(value, inner, sink)

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, Any], ...] | None:
        if not self.free_keys or not isinstance(node, MapNode):
            return _FromNames.read(self, node, what, sink)
        read = ((key, self.shape.read(value, f"{what}, {key.text}", sink)) for key, value in node.pairs)
        return tuple((Name(key.text, key.mark), value) for key, value in read if value is not None)

    def words(self) -> str:
        return f"mapping from {self.of} to {self.shape.words()}"

    def schema(self) -> Schema:
        if self.known is not None:
            properties = {key: self.shape.schema() for key in self.known}
            return {"type": "object", "properties": properties, "additionalProperties": False}
        if self.free_keys:
            return {"type": "object", "additionalProperties": self.shape.schema()}
        return from_ids(self.shape.schema())


@dataclass(frozen=True, slots=True)
class Condition(_FromNames):
    """A mapping from ids to a value or a list of values: all must hold, any value of a list will do."""

    of: str
    values: str

    def wanted(self) -> str:
        return f"a mapping from {self.of} to {self.values}"

    def hint(self, node: Node) -> str:
        return as_mapping_of(node, f"the {self.values}", f"the_{self.of}")

    def fits(self, value: Node) -> bool:
        return isinstance(value, Scalar | ListNode)

    def value(self, name: Name, value: Node, inner: str, sink: Sink) -> tuple[Name, ...] | None:
        if isinstance(value, ListNode):
            names = Names(self.values).read(value, inner, sink)
            if names == () and not value.items:
                sink.error(value.mark, "missing-value", f"{inner} has no value")
            return names or None
        if isinstance(value, Scalar) and value.text and not ID.fullmatch(value.text):
            # A number or a choice in words: told where it is known what it should be.
            return (Name(value.text, value.mark),)
        one = read_name(value, inner, sink)
        return (one,) if one is not None else None

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, Any], ...] | None:
        if isinstance(node, MapNode) and not node.pairs:
            hint = "name a condition, or leave the key out"
            sink.error(node.mark, "missing-value", f"{what} has no value", hint)
        return _FromNames.read(self, node, what, sink)

    def words(self) -> str:
        return f"mapping from {self.of} id to {self.values}, or to a list of them"

    def schema(self) -> Schema:
        one: Schema = {"type": "string", "pattern": ID_PATTERN}
        listed = {"type": "array", "items": one, "minItems": 1, "uniqueItems": True}
        return from_ids({"anyOf": [one, listed]})


@dataclass(frozen=True, slots=True)
class Shows(_FromNames):
    """Links: observation id -> strength, or answer id -> strength."""

    strength: Number

    def wanted(self) -> str:
        return "a mapping from observations (it may be {})"

    def hint(self, node: Node) -> str:
        return as_mapping_of(node, _sample(self.strength))

    def fits(self, value: Node) -> bool:
        return isinstance(value, MapNode) or _fits(self.strength, value)

    def value(self, name: Name, value: Node, inner: str, sink: Sink) -> Any:
        if isinstance(value, MapNode):
            answers = MapTo("answers", self.strength).read(value, inner, sink)
            return answers if answers or not value.pairs else None
        if isinstance(value, Scalar) and self._an_answer(value.text):
            known = ", ".join(self.strength.table)
            message = f"{inner}: {quoted(value.text)} is not a strength ({known})"
            sink.error(value.mark, "bad-word", message, self._meant(value.text))
            return None
        return self.strength.read(value, inner, sink)

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
        return from_ids({"anyOf": [*strength["anyOf"], from_ids(strength)]})


@dataclass(frozen=True, slots=True)
class Answers:
    """Answer id -> text, healthy first; or the word yes_no."""

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, str], ...] | None:
        if not (isinstance(node, Scalar) and node.text):
            return MapTo("answer ids", Text(200)).read(node, what, sink)
        if node.text != "yes_no":
            message = f"{what} must be a mapping or yes_no, not {quoted(node.text)}"
            sink.error(node.mark, "bad-word", message, word_meant(node.text, ["yes_no"]))
            return None
        return ((Name("no", node.mark), say("answer_no")), (Name("yes", node.mark), say("answer_yes")))

    def words(self) -> str:
        return "mapping from answer id to text, healthy first, the winner over all others last; or `yes_no`"

    def schema(self) -> Schema:
        return {"anyOf": [{"const": "yes_no"}, MapTo("", Text(200)).schema()]}


@dataclass(frozen=True, slots=True)
class Bands(_FromNames):
    """Band id -> [low, high], each an expression or OL."""

    def wanted(self) -> str:
        return "a mapping from band names to [low, high]"

    def hint(self, node: Node) -> str:
        return "such as {normal: [0, 5], high: [5, OL]}, the healthy band first"

    def fits(self, value: Node) -> bool:
        return isinstance(value, ListNode)

    def value(self, name: Name, value: Node, inner: str, sink: Sink) -> tuple[Name, Name] | None:
        if not isinstance(value, ListNode) or len(value.items) != 2:
            hint = comma_for_a_point(value) or "such as [0, 5], or [5, OL] for all that is more"
            sink.error(value.mark, "wrong-shape", f"{inner} must be two limits: [low, high]", hint)
            sink.lost.add(name.text)
            return None
        low, high = (Formula().read(item, inner, sink) for item in value.items)
        return (low, high) if low is not None and high is not None else None

    def words(self) -> str:
        return (
            "mapping from band name to `[low, high]`, healthy first, the winner last; limits are expressions, "
            "or `OL`"
        )

    def schema(self) -> Schema:
        return from_ids({"type": "array", "items": Formula().schema(), "minItems": 2, "maxItems": 2})
