"""The shape of an instruction: a list of steps, each an act with its wording. See value_types.py."""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.knowledge.instructions.acts import ACTS
from faultfinder.knowledge.instructions.words import WORK
from faultfinder.knowledge.model import Step
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.value_types import Schema, Text, kind_of, quoted, scalar_text
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar

LONGEST = 300
"""Letters of one step; what is longer is more than one thing to do. Chosen."""


@dataclass(frozen=True, slots=True)
class Steps:
    """`- look: Look along the whole hose`, one act a step. A plain text is a step of no act; see placing.py."""

    def read(self, node: Node, what: str, sink: Sink) -> tuple[Step, ...] | None:
        if isinstance(node, Scalar) and node.text.strip():
            return _plain(node, what, sink)
        if isinstance(node, Scalar):
            scalar_text(node, what, "steps ('- look: ...')", sink)
            return None
        if not isinstance(node, ListNode):
            sink.error(
                node.mark,
                "wrong-shape",
                f"{what} must be a list of steps ('- look: ...'), not {kind_of(node)}",
            )
            return None
        steps = (
            self._step(item, f"{what}, step {number}", sink) for number, item in enumerate(node.items, 1)
        )
        return tuple(step for step in steps if step is not None)

    def _step(self, node: Node, what: str, sink: Sink) -> Step | None:
        if isinstance(node, Scalar) and node.text.strip():
            return next(iter(_plain(node, what, sink)), None)
        if not isinstance(node, MapNode):
            sink.error(
                node.mark, "wrong-shape", f"{what} must be an act with its wording, not {kind_of(node)}"
            )
            return None
        if len(node.pairs) != 1:
            mark = node.pairs[1][0].mark if len(node.pairs) > 1 else node.mark
            sink.error(mark, "wrong-shape", f"{what}: one act a step", "begin each with '- '")
            return None
        act, value = node.pairs[0]
        if act.text not in ACTS:
            can_be = ", ".join(each for each in ACTS if each in WORK.get(act.text, ()))
            hint = f"{act.text} can be: {can_be}" if can_be else did_you_mean(act.text, ACTS)
            sink.error(act.mark, "unknown-act", f"{what}: {quoted(act.text)} is not an act", hint)
            return None
        text = Text(LONGEST).read(value, what, sink)
        return Step(act.text, text, value.mark) if text is not None else None

    def words(self) -> str:
        steps = "list of steps, each one act with its wording (`- look: Look along the hose`, see Acts)"
        return f"{steps}; or a plain text, which is placed sentence by sentence"

    def schema(self) -> Schema:
        wording = Text(LONGEST).schema()
        step = {
            "type": "object",
            "minProperties": 1,
            "maxProperties": 1,
            "additionalProperties": False,
            "properties": {name: {**wording, "description": act.says} for name, act in ACTS.items()},
        }
        return {"anyOf": [{"type": "array", "items": {"anyOf": [step, wording]}}, Text().schema()]}


def _plain(node: Scalar, what: str, sink: Sink) -> tuple[Step, ...]:
    text = Text().read(node, what, sink)
    return (Step("", text, node.mark),) if text is not None else ()
