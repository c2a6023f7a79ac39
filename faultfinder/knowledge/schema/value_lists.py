"""Shapes of values that are lists: names, texts, pairs of numbers, steps of an instruction. See value_types.py."""

from __future__ import annotations

import re
from dataclasses import dataclass

from faultfinder.knowledge.instructions.acts import ACTS
from faultfinder.knowledge.instructions.words import WORK
from faultfinder.knowledge.model import Step
from faultfinder.knowledge.problem import Sink, Unfit
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.typo_hints import ID
from faultfinder.knowledge.schema.value_types import (
    HUGE,
    ID_PATTERN,
    Name,
    Number,
    Schema,
    Text,
    attempts,
    no_value,
    quoted,
    read_name,
    wrong_shape,
)
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar

LONGEST_STEP = 300
"""Letters of one step; what is longer is more than one thing to do. Chosen."""


def _items(node: Node, what: str) -> tuple[Node, ...]:
    """What stands in a list; where it is none, told with how it is written as one, if that is clear."""
    if isinstance(node, ListNode):
        return node.items
    if isinstance(node, Scalar):
        inside = node.text.strip().removeprefix("(").removesuffix(")").strip()
    else:
        inside = ", ".join([name.text for name, _ in node.pairs][:4])
    raise wrong_shape(node, what, "a list", f"write [{inside}]" if inside else "")


def comma_for_a_point(node: Node) -> str:
    """What to do where a list has a number too many: mostly a decimal comma."""
    items = node.items if isinstance(node, ListNode) else ()
    texts = [item.text for item in items if isinstance(item, Scalar)]
    parted = any(
        re.fullmatch(r"\d+", one) and other[:1].isdigit()
        for one, other in zip(texts, texts[1:], strict=False)
    )
    return "use a point for decimals" if len(texts) > 2 and parted else ""


@dataclass(frozen=True, slots=True)
class Names:
    """A list of ids, each once."""

    of: str

    def read(self, node: Node, what: str, sink: Sink) -> tuple[Name, ...]:
        names: dict[str, Name] = {}
        for name in attempts(_one_name, ((item, what) for item in _items(node, what)), sink):
            if name.text in names:
                sink.error(name.mark, "duplicate-key", f"{what} names {quoted(name.text)} twice")
            names.setdefault(name.text, name)
        return tuple(names.values())

    def words(self) -> str:
        return f"list of {self.of} ids"

    def schema(self) -> Schema:
        return {"type": "array", "items": {"type": "string", "pattern": ID_PATTERN}, "uniqueItems": True}


def _one_name(node: Node, what: str, sink: Sink) -> Name:
    several = node.text.split() if isinstance(node, Scalar) else []
    if isinstance(node, Scalar) and len(several) > 1 and all(map(ID.fullmatch, several)):
        wrong = f"{what}: {quoted(node.text)} is not a name"
        raise Unfit(node.mark, "bad-name", wrong, f"write {', '.join(several)}")
    return read_name(node, what, sink)


@dataclass(frozen=True, slots=True)
class Texts:
    """A list of short texts."""

    longest: int = 120

    def read(self, node: Node, what: str, sink: Sink) -> tuple[str, ...]:
        return attempts(Text(self.longest).read, ((item, what) for item in _items(node, what)), sink)

    def words(self) -> str:
        return "list of texts"

    def schema(self) -> Schema:
        return {"type": "array", "items": Text(self.longest).schema()}


@dataclass(frozen=True, slots=True)
class Pair:
    """Two numbers, [low, high] or the like."""

    first: str
    second: str
    ordered: bool = False

    def read(self, node: Node, what: str, sink: Sink) -> tuple[float, float] | None:
        if not isinstance(node, ListNode) or len(node.items) != 2:
            wrong = f"{what} must be two numbers: [{self.first}, {self.second}]"
            raise Unfit(node.mark, "wrong-shape", wrong, comma_for_a_point(node))
        names = (f"{what}, {self.first},", f"{what}, {self.second},")
        numbers = attempts(Number(-HUGE).read, zip(node.items, names, strict=True), sink)
        if len(numbers) != 2:
            return None
        if self.ordered and numbers[0] >= numbers[1]:
            wrong = f"{what}: {self.first} must be less than {self.second}"
            raise Unfit(node.mark, "number-out-of-range", wrong)
        return numbers[0], numbers[1]

    def words(self) -> str:
        return f"two numbers `[{self.first}, {self.second}]`"

    def schema(self) -> Schema:
        return {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}


@dataclass(frozen=True, slots=True)
class Steps:
    """`- look: Look along the whole hose`, one act a step. A plain text is a step of no act; see placing.py."""

    def read(self, node: Node, what: str, sink: Sink) -> tuple[Step, ...]:
        wanted = "steps ('- look: ...')"
        if isinstance(node, Scalar):
            if not node.text.strip():
                raise no_value(node, what, wanted)
            return (_plain(node, what, sink),)
        if not isinstance(node, ListNode):
            raise wrong_shape(node, what, f"a list of {wanted}")
        rows = ((item, f"{what}, step {number}") for number, item in enumerate(node.items, 1))
        return attempts(_step, rows, sink)

    def words(self) -> str:
        steps = "list of steps, each one act with its wording (`- look: Look along the hose`, see Acts)"
        return f"{steps}; or a plain text, which is placed sentence by sentence"

    def schema(self) -> Schema:
        wording = Text(LONGEST_STEP).schema()
        step = {
            "type": "object",
            "minProperties": 1,
            "maxProperties": 1,
            "additionalProperties": False,
            "properties": {name: {**wording, "description": act.says} for name, act in ACTS.items()},
        }
        return {"anyOf": [{"type": "array", "items": {"anyOf": [step, wording]}}, Text().schema()]}


def _plain(node: Scalar, what: str, sink: Sink) -> Step:
    return Step("", Text().read(node, what, sink), node.mark)


def _step(node: Node, what: str, sink: Sink) -> Step:
    if isinstance(node, Scalar) and node.text.strip():
        return _plain(node, what, sink)
    if not isinstance(node, MapNode):
        raise wrong_shape(node, what, "an act with its wording")
    if len(node.pairs) != 1:
        mark = node.pairs[1][0].mark if node.pairs else node.mark
        raise Unfit(mark, "wrong-shape", f"{what}: one act a step", "begin each with '- '")
    act, value = node.pairs[0]
    if act.text not in ACTS:
        can_be = ", ".join(each for each in ACTS if each in WORK.get(act.text, ()))
        hint = f"{act.text} can be: {can_be}" if can_be else did_you_mean(act.text, ACTS)
        raise Unfit(act.mark, "unknown-act", f"{what}: {quoted(act.text)} is not an act", hint)
    return Step(act.text, Text(LONGEST_STEP).read(value, what, sink), value.mark)
