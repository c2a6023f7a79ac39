"""A question of several choices that leaves out something that could be wrong with what it asks for."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "choice-missing",
    WARNING,
    "a question of several choices leaves out an abnormal answer",
    'Who numbers "none of the others" has denied what was offered and no more. Where an observation has an abnormal '
    "answer that no choice stands for, nothing is taken as said about it, and it is asked again by itself.",
    """
asks:
  both_looks:
    kind: look
    ask: What do you see? Number all
    several: yes
    choices:
      thick: {text: Thick scale, sets: {scale_seen: thick}}
      cold: {text: It stays cold, sets: {stays_cold: yes}}
""",
    """
asks:
  both_looks:
    kind: look
    ask: What do you see? Number all
    several: yes
    choices:
      thin: {text: Thin scale, sets: {scale_seen: thin}}
      thick: {text: Thick scale, sets: {scale_seen: thick}}
      cold: {text: It stays cold, sets: {stays_cold: yes}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for question in view.pack.questions.values():
        if not question.several:
            continue
        for name in question.observations:
            item = view.pack.observations.get(name)
            missing = " or ".join(question.left_out(item)) if item is not None else ""
            if not missing:
                continue
            yield view.problem(
                CODE,
                view.mark(question.id, "choices"),
                f'{question.id}: no choice stands for {name}: {missing}, so "none of the others" says nothing of it',
                "add a choice for it",
            )
