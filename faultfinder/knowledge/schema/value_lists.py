"""Shapes of values that are lists: names, texts, pairs of numbers, steps of an instruction. See value_types.py."""

from __future__ import annotations

import re

from faultfinder.knowledge.instructions.acts import ACTS
from faultfinder.knowledge.instructions.words import WORK
from faultfinder.knowledge.model import Step
from faultfinder.knowledge.problem import Sink, Unfit
from faultfinder.knowledge.schema.typo_hints import ID, acts_meant
from faultfinder.knowledge.schema.value_types import (
    AN_ID,
    HUGE,
    Name,
    Shape,
    Sort,
    attempts,
    no_value,
    number,
    quoted,
    read_name,
    text,
    wrong_shape,
)
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar


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


def ids(of: str) -> Shape:
    """A list of ids, each once."""

    def read(node: Node, what: str, sink: Sink) -> tuple[Name, ...]:
        names: dict[str, Name] = {}
        for name in attempts(_one_name, ((item, what) for item in _items(node, what)), sink):
            if name.text in names:
                sink.error(name.mark, "duplicate-key", f"{what} names {quoted(name.text)} twice")
            names.setdefault(name.text, name)
        return tuple(names.values())

    schema = {"type": "array", "items": AN_ID, "uniqueItems": True}
    return Shape(read, f"list of {of} ids", schema, Sort.IDS, of)


def _one_name(node: Node, what: str, sink: Sink) -> Name:
    several = node.text.split() if isinstance(node, Scalar) else []
    if isinstance(node, Scalar) and len(several) > 1 and all(map(ID.fullmatch, several)):
        wrong = f"{what}: {quoted(node.text)} is not a name"
        raise Unfit(node.mark, "bad-name", wrong, f"write {', '.join(several)}")
    return read_name(node, what, sink)


def texts(longest: int = 120) -> Shape:
    """A list of short texts."""
    one = text(longest)

    def read(node: Node, what: str, sink: Sink) -> tuple[str, ...]:
        return attempts(one.read, ((item, what) for item in _items(node, what)), sink)

    return Shape(read, "list of texts", {"type": "array", "items": one.schema}, Sort.WORDS)


def pair(first: str, second: str, *, ordered: bool = False) -> Shape:
    """Two numbers, [low, high] or the like."""
    any_number = number(-HUGE)

    def read(node: Node, what: str, sink: Sink) -> tuple[float, float] | None:
        if not isinstance(node, ListNode) or len(node.items) != 2:
            wrong = f"{what} must be two numbers: [{first}, {second}]"
            raise Unfit(node.mark, "wrong-shape", wrong, comma_for_a_point(node))
        names = (f"{what}, {first},", f"{what}, {second},")
        numbers = attempts(any_number.read, zip(node.items, names, strict=True), sink)
        if len(numbers) != 2:
            return None
        if ordered and numbers[0] >= numbers[1]:
            raise Unfit(node.mark, "number-out-of-range", f"{what}: {first} must be less than {second}")
        return numbers[0], numbers[1]

    schema = {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
    return Shape(read, f"two numbers `[{first}, {second}]`", schema, Sort.PAIR)


_STEP = text(300)
"""The wording of a step; what is longer is more than one thing to do. Chosen."""
_WHOLE = text()


def steps() -> Shape:
    """`- look: Look along the whole hose`, one act a step. A plain text is a step of no act; see placing.py."""
    wanted = "steps ('- look: ...')"

    def read(node: Node, what: str, sink: Sink) -> tuple[Step, ...]:
        if isinstance(node, ListNode):
            rows = ((item, f"{what}, step {at}") for at, item in enumerate(node.items, 1))
            return attempts(_step, rows, sink)
        if not isinstance(node, Scalar):
            raise wrong_shape(node, what, f"a list of {wanted}")
        if not node.text.strip():
            raise no_value(node, what, wanted)
        return (_plain(node, what, sink),)

    step = {
        "type": "object",
        "minProperties": 1,
        "maxProperties": 1,
        "additionalProperties": False,
        "properties": {name: {**_STEP.schema, "description": act.says} for name, act in ACTS.items()},
    }
    listed = {"type": "array", "items": {"anyOf": [step, _STEP.schema]}}
    words = (
        "list of steps, each one act with its wording (`- look: Look along the hose`, see Acts); or a plain text, "
        "which is placed sentence by sentence"
    )
    return Shape(read, words, {"anyOf": [listed, _WHOLE.schema]})


def _plain(node: Scalar, what: str, sink: Sink) -> Step:
    return Step("", _WHOLE.read(node, what, sink), node.mark)


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
        hint = f"{act.text} can be: {can_be}" if can_be else acts_meant(act.text, ACTS)
        raise Unfit(act.mark, "unknown-act", f"{what}: {quoted(act.text)} is not an act", hint)
    return Step(act.text, _STEP.read(value, what, sink), value.mark)
