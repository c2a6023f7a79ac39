"""A chance of 0 or 1 written as a number."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "certain",
    WARNING,
    "a chance of 0 or 1",
    "With 0 and 1 one wrong answer removes the true cause for good, whatever is measured later. "
    "Write always (0.98) or never (0.01), unless it cannot be otherwise by the nature of things.",
    """
states:
  cool: {title: Cool, brought_on_by: {scale_thick: often}, shows: {slow_to_boil: 1}}
""",
    """
states:
  cool: {title: Cool, brought_on_by: {scale_thick: often}, shows: {slow_to_boil: always}}
""",
)


def check(view: View) -> Iterator[Problem]:
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
    for seen in view.pack.observations.values():
        for answer, chance in zip(seen.answers[1:], seen.background[1:], strict=True):
            if chance in (0.0, 1.0) and view.written(seen.id, "background", answer.id) is not None:
                yield _told(view, seen.id, chance, "background", answer.id)
        if seen.reliability == 1.0:
            yield _told(view, seen.id, 1.0, "reliability")


def _told(view: View, item: str, chance: float, *path: str) -> Problem:
    word = "always" if chance else "never, or a small number"
    key = path[0]
    hint = "write 0.99" if key == "reliability" else f"write {word}"
    return view.problem(
        CODE, view.mark(item, *path), f"{item}: {key} is {chance:g}: no later answer can mend it", hint
    )
