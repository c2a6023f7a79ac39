"""A question that can never be asked."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import together
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Observation, Question
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for item in view.asked:
        if not item.only_if:
            continue
        why = _why_never(view, item)
        if why:
            mark = view.mark(item.id, "only_if")
            yield Objection(mark, f"{item.id}: can never be asked: {why}", "loosen only_if or applies")


def _why_never(view: View, item: Observation | Question) -> str:
    """Why all gates in front of a question cannot be open at once, or nothing."""
    needed: dict[str, tuple[str, ...]] = {}
    applies = item.applies
    waiting: list[tuple[str, Observation | Question]] = [(item.id, item)]
    passed: set[str] = set()
    while waiting:
        name, gated = waiting.pop()
        for gate, answers in gated.only_if.items():
            both = tuple(a for a in needed.get(gate, answers) if a in answers)
            if not both:
                return f"{gate} would have to be {' or '.join(needed[gate])} and {' or '.join(answers)}"
            needed[gate] = both
            if gate == item.id:
                return f"{name} waits for it" if name != item.id else "it waits for itself"
            if gate in passed:
                continue
            passed.add(gate)
            observation = view.pack.observations[gate]
            joined = together(applies, observation.applies)
            if joined is None:
                return f"{gate} is asked on other machines"
            applies = joined
            waiting.append((gate, observation))
    return ""
