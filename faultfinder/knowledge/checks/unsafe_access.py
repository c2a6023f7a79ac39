"""An instruction that does more than its access state allows."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.instructions.deeds import BEHIND_A_COVER, against_need, never_right
from faultfinder.knowledge.instructions.unsafe_text import (
    bridging,
    open_and_running,
    opening,
    probing,
    probing_inside,
)
from faultfinder.knowledge.model import Cause, Need, State
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.value_types import quoted


def check(view: View) -> Iterator[Objection]:
    for item in view.items():
        if isinstance(item, State):
            continue
        need = item.remedy_need if isinstance(item, Cause) else item.need
        key = "remedy_need" if isinstance(item, Cause) else "access"
        for path, text in view.texts(item):
            if path[0] not in ("how", "why", "remedy_how", "remedy", "probes", "ask"):
                continue
            found = beyond(text, need, is_ask=path[0] == "ask")
            if found is None and path[0] == "remedy" and isinstance(item, Cause) and not item.remedy_steps:
                found = _inside(text, need)
            if found is None:
                continue
            sentence, what, how = found
            mark = view.mark(item.id, *path)
            message = f"{item.id}: {quoted(sentence)} {what}, but {key} is {need}"
            yield Objection(mark, message, f"{key}: {how}")


def _inside(text: str, need: Need) -> tuple[str, str, str] | None:
    """The same of a remedy that is said in a few words only: work on a part behind a cover."""
    found = against_need(text, need) if need not in (Need.OPEN_DEAD, Need.ANYWHERE) else None
    if found is None or found.deed.says != BEHIND_A_COVER:
        return None
    return found.sentence, found.deed.says, "open_dead; or say in remedy_how how it is reached from outside"


def beyond(text: str, need: Need, *, is_ask: bool = False) -> tuple[str, str, str] | None:
    """The sentence of a text that does more than an access allows, what it does, and the access that allows it."""
    if need is Need.OPEN_DEAD:
        return None
    if need is not Need.ISOLATED and (sentence := probing(text)) is not None:
        return sentence, "puts probes on electrical parts", "open_dead, or isolated at the pulled plug"
    if need is Need.ISOLATED and not is_ask and (sentence := probing_inside(text)) is not None:
        return sentence, "measures inside the machine", "open_dead; isolated is for the pulled plug"
    if (sentence := opening(text)) is not None:
        return sentence, "takes off a cover", "open_dead; or say that it needs no tool"
    return None


def told_otherwise(text: str, need: Need) -> bool:
    """Whether another check refuses a step for its words already: one mistake is told once."""
    beside = bridging(text) or never_right(text) or open_and_running(text)
    return bool(beside) or beyond(text, need) is not None
