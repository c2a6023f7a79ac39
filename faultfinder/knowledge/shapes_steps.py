"""The shape of an instruction: a list of steps, each an act with its wording. See shapes.py."""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.knowledge.acts import ACTS
from faultfinder.knowledge.model import Step
from faultfinder.knowledge.nodes import ListNode, MapNode, Node, Scalar
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.shapes import Schema, Text, kind_of, quoted
from faultfinder.knowledge.suggest import did_you_mean
from faultfinder.knowledge.verbs import likely_act

LONGEST = 300
"""Letters of one step; what is longer is more than one thing to do. Chosen."""


@dataclass(frozen=True, slots=True)
class Steps:
    """`- look: Look along the whole hose`, one act a step."""

    def read(self, node: Node, what: str, sink: Sink) -> tuple[Step, ...] | None:
        if isinstance(node, Scalar) and node.text.strip():
            sink.error(node.mark, "no-act", f"{what} says nothing of what is done", _as_steps(node.text))
            return None
        if not isinstance(node, ListNode):
            sink.error(
                node.mark, "wrong-shape", f"{what} must be a list of steps ('- look: ...'), not {kind_of(node)}"
            )
            return None
        steps = (self._step(item, f"{what}, step {number}", sink) for number, item in enumerate(node.items, 1))
        return tuple(step for step in steps if step is not None)

    def _step(self, node: Node, what: str, sink: Sink) -> Step | None:
        if isinstance(node, Scalar) and node.text.strip():
            sink.error(node.mark, "no-act", f"{what} says nothing of what is done", _as_steps(node.text))
            return None
        if not isinstance(node, MapNode):
            sink.error(node.mark, "wrong-shape", f"{what} must be an act with its wording, not {kind_of(node)}")
            return None
        if len(node.pairs) != 1:
            mark = node.pairs[1][0].mark if len(node.pairs) > 1 else node.mark
            sink.error(mark, "wrong-shape", f"{what}: one act a step", "begin each with '- '")
            return None
        act, value = node.pairs[0]
        if act.text not in ACTS:
            hint = did_you_mean(act.text, ACTS)
            sink.error(act.mark, "unknown-act", f"{what}: {quoted(act.text)} is no act", hint)
            return None
        text = Text(LONGEST).read(value, what, sink)
        return Step(act.text, text, value.mark) if text is not None else None

    def words(self) -> str:
        return "list of steps, each one act with its wording: `- look: Look along the hose`; see Acts"

    def schema(self) -> Schema:
        wording = Text(LONGEST).schema()
        step = {
            "type": "object",
            "minProperties": 1,
            "maxProperties": 1,
            "additionalProperties": False,
            "properties": {name: {**wording, "description": act.says} for name, act in ACTS.items()},
        }
        return {"type": "array", "items": step}


def _as_steps(text: str) -> str:
    """How the first step of a plain text would be written."""
    line = " ".join(text.split("\n")[0].split()).removeprefix("1.").strip()
    return f"write steps, one act each, such as: - {likely_act(line)}: {quoted(line)[1:-1]}"
