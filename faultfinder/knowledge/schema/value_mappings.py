"""Shapes of values that are mappings: links, conditions, answers and bands. See value_types.py."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from typing import Any

from faultfinder.knowledge.problem import Sink, Unfit
from faultfinder.knowledge.schema.nearest_name import nearest
from faultfinder.knowledge.schema.strength_words import HOW_COMMON, STRENGTH
from faultfinder.knowledge.schema.typo_hints import ID, key_names, pair_meant, plain_name, word_meant
from faultfinder.knowledge.schema.value_lists import comma_for_a_point, ids
from faultfinder.knowledge.schema.value_types import (
    AN_ID,
    Name,
    Shape,
    Sort,
    attempt,
    attempts,
    check_name,
    expression,
    from_ids,
    no_value,
    quoted,
    read_name,
    text,
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


def _blank(node: Node) -> bool:
    return isinstance(node, Scalar) and not node.text


@dataclass(frozen=True, slots=True)
class _FromNames:
    """How a mapping from names is read: to a tuple of (name, value), in the order of the file.

    wanted: what must stand there, in words. hint: how what stands there is written as such a mapping.
    fits: whether something can be a value of it at all; else its name may be a key that slipped.
    value: one value, by its name; None where it is left out.
    """

    wanted: str
    hint: Callable[[Node], str]
    fits: Callable[[Node], bool]
    value: Callable[[Name, Node, str, Sink], Any]

    def read(self, node: Node, what: str, sink: Sink) -> tuple[tuple[Name, Any], ...]:
        if _blank(node):
            raise no_value(node, what, self.wanted)
        if not isinstance(node, MapNode):
            raise wrong_shape(node, what, self.wanted, self.hint(node))
        result = []
        for key, there in node.pairs:
            name = _name(key, there, what, sink)
            if name is None or _slipped(name, self.fits(there), what, sink):
                continue
            try:
                value = self.value(name, there, f"{what}, {name.text}" if what else name.text, sink)
            except Unfit as unfit:
                sink.take(unfit)
                continue
            if value is not None:
                result.append((name, value))
        return tuple(result)


def _name(key: Scalar, value: Node, what: str, sink: Sink) -> Name | None:
    """The name in front of a value. Where it is none, what was meant stands in for it, so that nothing else is told
    of what names it."""
    empty = _blank(value)
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


def _can_be(value: Shape, node: Node) -> bool:
    """Whether a scalar could be a value of the mapping whose place it takes."""
    return isinstance(node, Scalar) and value.fits(node.text)


def map_to(
    of: str,
    value: Shape,
    known: Collection[str] | None = None,
    meant: Callable[[str, Collection[str]], str] = word_meant,
) -> Shape:
    """A mapping from names to values of one shape. known: the names allowed, where they are fixed; meant: the hint
    for another one."""

    def hint(node: Node) -> str:
        key = "" if not _can_be(value, node) else "yes" if "answer" in of else "name"
        return as_mapping_of(node, value.sample, key)

    def fits(node: Node) -> bool:
        return isinstance(node, Scalar) or (isinstance(node, ListNode) and value.sort is Sort.PAIR)

    def one(name: Name, node: Node, inner: str, sink: Sink) -> Any:
        if known is not None and name.text not in known:
            wrong = f"{inner.removesuffix(f', {name.text}')}: unknown word {quoted(name.text)}"
            raise Unfit(name.mark, "bad-word", wrong, meant(name.text, known))
        return value.read(node, inner, sink)

    schema = from_ids(value.schema)
    if known is not None:
        properties = dict.fromkeys(map(str, known), value.schema)
        schema = {"type": "object", "properties": properties, "additionalProperties": False}
    read = _FromNames(f"a mapping from {of}", hint, fits, one).read
    return Shape(read, f"mapping from {of} to {value.words}", schema, of=of.removesuffix(" ids"))


def glossary() -> Shape:
    """A mapping from words for people to texts."""
    meaning = text()
    by_id = map_to("words", meaning)

    def read(node: Node, what: str, sink: Sink) -> Any:
        if not isinstance(node, MapNode):
            return by_id.read(node, what, sink)
        read = ((key, attempt(meaning.read, there, f"{what}, {key.text}", sink)) for key, there in node.pairs)
        return tuple((Name(key.text, key.mark), told) for key, told in read if told is not None)

    return Shape(read, by_id.words, {"type": "object", "additionalProperties": meaning.schema})


def conditions(of: str, inner: str) -> Shape:
    """A mapping from ids to a value or a list of values: all must hold, any value of a list will do."""
    several = ids(inner)

    def one(name: Name, node: Node, what: str, sink: Sink) -> tuple[Name, ...] | None:
        if isinstance(node, ListNode):
            if not node.items:
                raise Unfit(node.mark, "missing-value", f"{what} has no value")
            return several.read(node, what, sink) or None
        if isinstance(node, Scalar) and node.text and not ID.fullmatch(node.text):
            # A number or a choice in words: told where it is known what it should be.
            return (Name(node.text, node.mark),)
        return (read_name(node, what, sink),)

    def read(node: Node, what: str, sink: Sink) -> tuple[tuple[Name, Any], ...]:
        if isinstance(node, MapNode) and not node.pairs:
            hint = "name a condition, or leave the key out"
            sink.error(node.mark, "missing-value", f"{what} has no value", hint)
        return from_names.read(node, what, sink)

    from_names = _FromNames(
        f"a mapping from {of} to {inner}",
        lambda node: as_mapping_of(node, f"the {inner}", f"the_{of}"),
        lambda node: isinstance(node, Scalar | ListNode),
        one,
    )
    words = f"mapping from {of} id to {inner}, or to a list of them"
    listed = {"type": "array", "items": AN_ID, "minItems": 1, "uniqueItems": True}
    return Shape(read, words, from_ids({"anyOf": [AN_ID, listed]}), Sort.CONDITIONS, of, inner)


def links(strength: Shape) -> Shape:
    """Observation id -> strength, or answer id -> strength."""
    by_answer = map_to("answers", strength)

    def one(name: Name, node: Node, inner: str, sink: Sink) -> Any:
        if isinstance(node, MapNode):
            answers = by_answer.read(node, inner, sink)
            return answers if answers or not node.pairs else None
        # A word may be meant for an answer: a name that is not near any word of strength.
        if isinstance(node, Scalar) and ID.fullmatch(node.text) and nearest(node.text, STRENGTH) is None:
            wrong = f"{inner}: {quoted(node.text)} is not a strength ({', '.join(STRENGTH)})"
            hint = f"if it is an answer, write {{{node.text}: often}}"
            if node.text in HOW_COMMON:
                says = f"{node.text} says how common a cause is"
                hint = f"{says}; a link is strong or weak: write often or the like"
            raise Unfit(node.mark, "bad-word", wrong, hint)
        return strength.read(node, inner, sink)

    from_names = _FromNames(
        "a mapping from observations (it may be {})",
        lambda node: as_mapping_of(node, strength.sample),
        lambda node: isinstance(node, MapNode) or _can_be(strength, node),
        one,
    )
    words = (
        "mapping from observation id to strength (for its single abnormal answer), or to a mapping from "
        f"answer id to strength. Strength: {strength.words}"
    )
    schema = from_ids({"anyOf": [*strength.schema["anyOf"], from_ids(strength.schema)]})
    return Shape(from_names.read, words, schema, of="observation")


def answers() -> Shape:
    """Answer id -> text, healthy first; or the word yes_no."""
    written = map_to("answer ids", text(200))

    def read(node: Node, what: str, sink: Sink) -> tuple[tuple[Name, str], ...]:
        if not (isinstance(node, Scalar) and node.text):
            read: tuple[tuple[Name, str], ...] = written.read(node, what, sink)
            return read
        if node.text != "yes_no":
            wrong = f"{what} must be a mapping or yes_no, not {quoted(node.text)}"
            raise Unfit(node.mark, "bad-word", wrong, word_meant(node.text, ["yes_no"]))
        return ((Name("no", node.mark), say("answer_no")), (Name("yes", node.mark), say("answer_yes")))

    words = "mapping from answer id to text, healthy first, the winner over all others last; or `yes_no`"
    return Shape(read, words, {"anyOf": [{"const": "yes_no"}, written.schema]})


def bands() -> Shape:
    """Band id -> [low, high], each an expression or OL."""
    limit = expression()

    def one(name: Name, node: Node, inner: str, sink: Sink) -> tuple[Name, ...] | None:
        if not isinstance(node, ListNode) or len(node.items) != 2:
            hint = comma_for_a_point(node) or "such as [0, 5], or [5, OL] for all that is more"
            wrong = f"{inner} must be two limits: [low, high]"
            raise Unfit(node.mark, "wrong-shape", wrong, hint, lost=name.text)
        limits = attempts(limit.read, ((item, inner) for item in node.items), sink)
        return limits if len(limits) == 2 else None

    from_names = _FromNames(
        "a mapping from band names to [low, high]",
        lambda node: "such as {normal: [0, 5], high: [5, OL]}, the healthy band first",
        lambda node: isinstance(node, ListNode),
        one,
    )
    words = "mapping from band name to `[low, high]`, healthy first, the winner last; limits are expressions, or `OL`"
    schema = from_ids({"type": "array", "items": limit.schema, "minItems": 2, "maxItems": 2})
    return Shape(from_names.read, words, schema)
