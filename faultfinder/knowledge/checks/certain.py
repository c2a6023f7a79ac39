"""A chance of 0 or 1 written as a number."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for name, item in view.bringers.items():
        for bringer, chance in item.brought_on_by.items():
            if chance in (0.0, 1.0):
                yield _told(view, name, chance, "brought_on_by", bringer)
        for observation, link in item.shows.items():
            answers = view.pack.observations[observation].answers[1:]
            for answer, push in zip(answers, link.pushes[1:], strict=True):
                if push == 1.0 or (
                    push == 0.0 and view.written(name, "shows", observation, answer.id) is not None
                ):
                    yield _told(view, name, push, "shows", observation, answer.id)
            if not any(link.pushes[1:]) and view.written(name, "shows", observation) is not None:
                yield _told(view, name, 0.0, "shows", observation)
    for seen in view.pack.observations.values():
        for answer, chance in zip(seen.answers[1:], seen.background[1:], strict=True):
            if chance in (0.0, 1.0) and view.written(seen.id, "background", answer.id) is not None:
                yield _told(view, seen.id, chance, "background", answer.id)
        if seen.reliability == 1.0:
            yield _told(view, seen.id, 1.0, "reliability")


def _told(view: View, item: str, chance: float, *path: str) -> Objection:
    word = "always" if chance else "never, or a small number"
    key = path[0]
    hint = "write 0.99" if key == "reliability" else f"write {word}"
    return Objection(
        view.mark(item, *path), f"{item}: {key} is {chance:g}: no later answer can mend it", hint
    )
