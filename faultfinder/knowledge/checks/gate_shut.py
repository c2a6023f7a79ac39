"""A link to an observation whose gate the cause never opens."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.only_if_never import check as never_asked
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    never = {problem.message.partition(":")[0] for problem in never_asked(view)}
    for observation in view.pack.observations.values():
        if observation.id in never:
            continue
        for gate, answers in observation.only_if.items():
            if gate not in view.pack.observations or view.pack.observations[gate].healthy in answers:
                continue
            for name, item in view.bringers.items():
                if observation.id in item.shows and not _opens(view, name, gate, answers):
                    wanted = f"{gate} {' or '.join(answers)}"
                    message = f"{name}: {observation.id} is asked only after {wanted}, which it never shows"
                    hint = f"let it show {gate} as well, or leave the link out"
                    mark = view.key_mark(view.section_of(name), name, "shows", observation.id)
                    yield Objection(mark, message, hint)


def _opens(view: View, name: str, gate: str, answers: tuple[str, ...]) -> bool:
    """Whether a cause or state, what it brings on or what brings it on, leads to one of the answers."""
    seen = {name}
    waiting = [name]
    while waiting:
        there = waiting.pop()
        link = view.bringers[there].shows.get(gate)
        if link is not None:
            observation = view.pack.observations[gate]
            if any(link.pushes[observation.index(answer)] > 0 for answer in answers):
                return True
        for other in (*view.brought_on.get(there, ()), *view.bringers[there].brought_on_by):
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return False
