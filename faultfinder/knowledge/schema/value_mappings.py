"""Shapes of values that are mappings: links, conditions, answers and bands. See value_types.py."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from faultfinder.knowledge.problem import Sink, Unfit
from faultfinder.knowledge.schema.nearest_name import did_you_mean, nearest
from faultfinder.knowledge.schema.strength_words import HOW_COMMON
from faultfinder.knowledge.schema.typo_hints import (
    ID,
    key_names,
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
    attempt,
    attempts,
    check_name,
    from_ids,
    no_value,
    quoted,
    read_name,
    wrong_shape,
)
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar
from faultfinder.text.catalogue import say


def as_mapping_of(node: Node, value: str, key: str = "") -> str:
    """How what stands there is written as a mapping: 'write {fan_stuck: often}', or nothing where that is not clear.

    value: a value that fits. key: the key to show where what stands there can only be a value.
    """
    pairs: list[tuple[str, str]] = []
    if isinstance(node, Scalar):
        told = re.fullmatch(r"([a-z][a-z0-9_]*) *= *(.+)", node.text)
        if told is not None:
            pairs = [(told[1], told[2])]
        elif node.plain and key:
            return f"such as {{{key}: {node.text}}}"
        elif node.plain and ID.fullmatch(node.text):
            pairs = [(node.text, value)]
    elif isinstance(node, ListNode):
        pairs = list(_listed_pairs(node, value))
    return f"write {{{', '.join(f'{name}: {text}' for name, text in pairs[:3])}}}" if pairs else ""


def _listed_pairs(node: ListNode, value: str) -> Iterator[tuple[str, str]]:
    """The pairs that a list was meant to be: of mappings, of names, or of texts whose names are made from them."""
    if node.items and all(isinstance(item, MapNode) and item.pairs for item in node.items):
        for item in node.items:
            for name, text in item.pairs if isinstance(item, MapNode) else ():
                if isinstance(text, Scalar):
                    yield name.text, text.text
        return
    texts = [item.text for item in node.items if isinstance(item, Scalar)]
    if value == "..." and not all(map(ID.fullmatch, texts)):
        named = [(plain_name(text), text) for text in texts[:3]]
        yield from named if all(name for name, _ in named) else ()
    else:
        yield from ((text, value) for text in texts if ID.fullmatch(text))


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


class _FromNames:
    """A mapping from names: a tuple of (name, value), in the order of the file."""

    __slots__ = ()

    def wanted(self) -> str:
        """What must stand there, in words."""
        raise NotImplementedError

    def hint(self, node: Node) -> str:
        """How what stands there is written as such a mapping."""
        raise NotImplementedError

    def fits(self, value: Node) -> bool:
        """Whether something can be a value of it at all: else its name may be a key that slipped."""
        raise NotImplementedError

    def value(self, name: Name, value: Node, inner: str, sink: Sink) -> Any:
        """One value; None where it is left out."""
        raise NotImplementedError

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, Any], ...]:
        if isinstance(node, Scalar) and not node.text:
            raise no_value(node, what, self.wanted())
        if not isinstance(node, MapNode):
            raise wrong_shape(node, what, self.wanted(), self.hint(node))
        result = []
        for key, node_ in node.pairs:
            name = _name(key, node_, what, sink)
            if name is None or _slipped(name, self.fits(node_), what, sink):
                continue
            try:
                value = self.value(name, node_, f"{what}, {name.text}" if what else name.text, sink)
            except Unfit as unfit:
                sink.take(unfit)
                continue
            if value is not None:
                result.append((name, value))
        return tuple(result)


def _name(key: Scalar, value: Node, what: str, sink: Sink) -> Name | None:
    """The name in front of a value. Where it is none, what was meant stands in for it, so that nothing else is told
    of what names it."""
    empty = isinstance(value, Scalar) and not value.text
    name: Name | None = None
    try:
        name = check_name(key.text, key.mark, what, pair_meant(key.text) if empty else "")
    except Unfit as unfit:
        sink.take(unfit)
        if not empty and (plain := plain_name(key.text)):
            name = Name(plain, key.mark)
    if empty:
        sink.lost.add(name.text if name is not None else re.split(r"\W", key.text.strip())[0])
    return name


def _slipped(name: Name, fits: bool, what: str, sink: Sink) -> bool:
    """Told where a key of the rules stands among names and its value fits none: it slipped too far right."""
    if fits or name.text not in key_names():
        return False
    place = what.rpartition(": ")[2]
    message = f"{what}: {name.text} is a key, and stands under {place}"
    sink.error(name.mark, "key-not-here", message, f"line it up with {place}")
    sink.slipped.add(name.text)
    return True


@dataclass(frozen=True, slots=True)
class MapTo(_FromNames):
    """A mapping from names to values of one shape."""

    of: str
    shape: Shape
    known: Mapping[str, object] | None = None
    """Names allowed, where they are fixed."""

    def wanted(self) -> str:
        return f"a mapping from {self.of}"

    def hint(self, node: Node) -> str:
        key = "" if not _fits(self.shape, node) else "yes" if "answer" in self.of else "name"
        return as_mapping_of(node, _sample(self.shape), key)

    def fits(self, value: Node) -> bool:
        return isinstance(value, Scalar) or (isinstance(value, ListNode) and isinstance(self.shape, Pair))

    def value(self, name: Name, value: Node, inner: str, sink: Sink) -> Any:
        if self.known is not None and name.text not in self.known:
            wrong = f"{inner.removesuffix(f', {name.text}')}: unknown word {quoted(name.text)}"
            raise Unfit(name.mark, "bad-word", wrong, did_you_mean(name.text, self.known))
        return self.shape.read(value, inner, sink)

    def words(self) -> str:
        return f"mapping from {self.of} to {self.shape.words()}"

    def schema(self) -> Schema:
        if self.known is not None:
            properties = {key: self.shape.schema() for key in self.known}
            return {"type": "object", "properties": properties, "additionalProperties": False}
        return from_ids(self.shape.schema())


@dataclass(frozen=True, slots=True)
class Glossary:
    """A mapping from words for people to texts."""

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, str], ...]:
        if not isinstance(node, MapNode):
            return MapTo("words", Text()).read(node, what, sink)
        read = ((key, attempt(Text().read, value, f"{what}, {key.text}", sink)) for key, value in node.pairs)
        return tuple((Name(key.text, key.mark), text) for key, text in read if text is not None)

    def words(self) -> str:
        return "mapping from words to text"

    def schema(self) -> Schema:
        return {"type": "object", "additionalProperties": Text().schema()}


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
            if not value.items:
                raise Unfit(value.mark, "missing-value", f"{inner} has no value")
            return Names(self.values).read(value, inner, sink) or None
        if isinstance(value, Scalar) and value.text and not ID.fullmatch(value.text):
            # A number or a choice in words: told where it is known what it should be.
            return (Name(value.text, value.mark),)
        return (read_name(value, inner, sink),)

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, Any], ...]:
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
    of = "observation"

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
            wrong = f"{inner}: {quoted(value.text)} is not a strength ({', '.join(self.strength.table)})"
            hint = f"if it is an answer, write {{{value.text}: often}}"
            if value.text in HOW_COMMON:
                hint = f"{value.text} says how common a cause is; a link is strong or weak: write often or the like"
            raise Unfit(value.mark, "bad-word", wrong, hint)
        return self.strength.read(value, inner, sink)

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

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, str], ...]:
        if not (isinstance(node, Scalar) and node.text):
            return MapTo("answer ids", Text(200)).read(node, what, sink)
        if node.text != "yes_no":
            wrong = f"{what} must be a mapping or yes_no, not {quoted(node.text)}"
            raise Unfit(node.mark, "bad-word", wrong, word_meant(node.text, ["yes_no"]))
        return ((Name("no", node.mark), say("answer_no")), (Name("yes", node.mark), say("answer_yes")))

    def words(self) -> str:
        return "mapping from answer id to text, healthy first, the winner over all others last; or `yes_no`"

    def schema(self) -> Schema:
        return {"anyOf": [{"const": "yes_no"}, from_ids(Text(200).schema())]}


@dataclass(frozen=True, slots=True)
class Bands(_FromNames):
    """Band id -> [low, high], each an expression or OL."""

    def wanted(self) -> str:
        return "a mapping from band names to [low, high]"

    def hint(self, node: Node) -> str:
        return "such as {normal: [0, 5], high: [5, OL]}, the healthy band first"

    def fits(self, value: Node) -> bool:
        return isinstance(value, ListNode)

    def value(self, name: Name, value: Node, inner: str, sink: Sink) -> tuple[Name, ...] | None:
        if not isinstance(value, ListNode) or len(value.items) != 2:
            hint = comma_for_a_point(value) or "such as [0, 5], or [5, OL] for all that is more"
            wrong = f"{inner} must be two limits: [low, high]"
            raise Unfit(value.mark, "wrong-shape", wrong, hint, lost=name.text)
        limits = attempts(Formula().read, ((item, inner) for item in value.items), sink)
        return limits if len(limits) == 2 else None

    def words(self) -> str:
        return (
            "mapping from band name to `[low, high]`, healthy first, the winner last; limits are expressions, "
            "or `OL`"
        )

    def schema(self) -> Schema:
        return from_ids({"type": "array", "items": Formula().schema(), "minItems": 2, "maxItems": 2})
