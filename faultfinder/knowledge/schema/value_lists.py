"""Shapes of values that are lists: names, texts, and pairs of numbers. See value_types.py."""

from __future__ import annotations

import re
from dataclasses import dataclass

from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.typo_hints import ID
from faultfinder.knowledge.schema.value_types import (
    ID_PATTERN,
    Name,
    Schema,
    Text,
    kind_of,
    quoted,
    read_name,
    read_number,
    scalar_text,
)
from faultfinder.knowledge.syntax.nodes import ListNode, Node, Scalar


def _items(node: Node, what: str, sink: Sink) -> tuple[Node, ...] | None:
    """What stands in a list; None and told where it is none, with how it is written as one where that is clear."""
    if isinstance(node, ListNode):
        return node.items
    if isinstance(node, Scalar):
        inside = node.text.strip().removeprefix("(").removesuffix(")").strip()
    else:
        inside = ", ".join([name.text for name, _ in node.pairs][:4])
    hint = f"write [{inside}]" if inside else ""
    sink.error(node.mark, "wrong-shape", f"{what} must be a list, not {kind_of(node)}", hint)
    return None


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

    def read(self, node: Node, what: str, sink: Sink) -> tuple[Name, ...] | None:
        items = _items(node, what, sink)
        if items is None:
            return None
        names: dict[str, Name] = {}
        for item in items:
            if (
                isinstance(item, Scalar)
                and len(several := item.text.split()) > 1
                and all(map(ID.fullmatch, several))
            ):
                message = f"{what}: {quoted(item.text)} is not a name"
                sink.error(item.mark, "bad-name", message, f"write {', '.join(several)}")
                continue
            name = read_name(item, what, sink)
            if name is None:
                continue
            if name.text in names:
                sink.error(name.mark, "duplicate-key", f"{what} names {quoted(name.text)} twice")
            else:
                names[name.text] = name
        return tuple(names.values())

    def words(self) -> str:
        return f"list of {self.of} ids"

    def schema(self) -> Schema:
        return {"type": "array", "items": {"type": "string", "pattern": ID_PATTERN}, "uniqueItems": True}


@dataclass(frozen=True, slots=True)
class Texts:
    """A list of short texts."""

    longest: int = 120

    def read(self, node: Node, what: str, sink: Sink) -> tuple[str, ...] | None:
        items = _items(node, what, sink)
        if items is None:
            return None
        texts = (Text(self.longest).read(item, what, sink) for item in items)
        return tuple(text for text in texts if text is not None)

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
            wanted = f"{what} must be two numbers: [{self.first}, {self.second}]"
            sink.error(node.mark, "wrong-shape", wanted, comma_for_a_point(node))
            return None
        numbers = []
        for item, name in zip(node.items, (self.first, self.second), strict=True):
            text = scalar_text(item, f"{what}, {name},", "a number", sink)
            value = read_number(item, f"{what}, {name},", sink) if text and isinstance(item, Scalar) else None
            if value is not None:
                numbers.append(value)
        if len(numbers) != 2:
            return None
        if self.ordered and numbers[0] >= numbers[1]:
            sink.error(
                node.mark, "number-out-of-range", f"{what}: {self.first} must be less than {self.second}"
            )
            return None
        return numbers[0], numbers[1]

    def words(self) -> str:
        return f"two numbers `[{self.first}, {self.second}]`"

    def schema(self) -> Schema:
        return {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
