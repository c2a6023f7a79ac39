"""An instruction that does more than its access state allows."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.code import Code
from faultfinder.knowledge.model import Cause, Need, State
from faultfinder.knowledge.problem import ERROR, Problem
from faultfinder.knowledge.shapes import quoted
from faultfinder.knowledge.view import View
from faultfinder.knowledge.wording import opening, probing, probing_inside

CODE = Code(
    "unsafe-access",
    ERROR,
    "the instruction does more than its access allows",
    "Probes on terminals belong to a machine proved dead (open_dead), or at least to a pulled plug; "
    "a cover that needs a tool comes off only for open_dead. With in_use, covers_on or anywhere the "
    "machine may be live while it is done.",
    """
observations:
  heats_up:
    kind: look
    ask: Does the element get hot?
    how: Put the probes on the element terminals while it heats.
    answers: {warm: Yes, cold: No}
    access: in_use
""",
    """
observations:
  heats_up:
    kind: look
    ask: Does the element get hot?
    how: Listen for the first bubbles after half a minute.
    answers: {warm: Yes, cold: No}
    access: in_use
""",
)


def check(view: View) -> Iterator[Problem]:
    for item in view.items():
        if isinstance(item, State):
            continue
        need = item.remedy_need if isinstance(item, Cause) else item.need
        if need is Need.OPEN_DEAD:
            continue
        key = "remedy_need" if isinstance(item, Cause) else "access"
        for path, text in view.texts(item):
            if path[0] not in ("why", "remedy", "probes", "ask"):
                continue
            if need is not Need.ISOLATED and (sentence := probing(text)) is not None:
                what, hint = (
                    "puts probes on electrical parts",
                    f"{key}: open_dead, or isolated at the pulled plug",
                )
            elif (
                need is Need.ISOLATED and path[0] != "ask" and (sentence := probing_inside(text)) is not None
            ):
                what, hint = (
                    "measures inside the machine",
                    f"{key}: open_dead; isolated is for the pulled plug",
                )
            elif (sentence := opening(text)) is not None:
                what, hint = "takes off a cover", f"{key}: open_dead; or say that it needs no tool"
            else:
                continue
            mark = view.mark(item.id, *path)
            yield view.problem(CODE, mark, f"{item.id}: {quoted(sentence)} {what}, but {key} is {need}", hint)
