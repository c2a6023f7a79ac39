"""The same customer's words under two observations."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import together
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "same-words",
    WARNING,
    "the customer's words mean two things",
    "said lists the words by which a complaint is known. The same words under two observations make "
    "every such complaint ambiguous.",
    """
observations:
  lid_hot: {kind: told, ask: Is the lid hot?, answers: yes_no, symptom: yes, said: [dead]}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {lid_hot: often}}
""",
    """
observations:
  lid_hot: {kind: told, ask: Is the lid hot?, answers: yes_no, symptom: yes, said: [burns my hand]}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {lid_hot: often}}
""",
)


def check(view: View) -> Iterator[Problem]:
    first: dict[str, str] = {}
    for observation in view.pack.observations.values():
        for number, words in enumerate(observation.said):
            plain = " ".join(words.casefold().split())
            if plain in first and first[plain] == observation.id:
                message = f'{observation.id}: said has "{words}" twice'
                yield view.problem(
                    CODE, view.listed_mark(observation.id, "said", number), message, "leave one out"
                )
            elif plain in first:
                other = view.pack.observations[first[plain]]
                if together(observation.applies, other.applies) is not None:
                    message = f'{observation.id}: "{words}" is said of {other.id} as well'
                    hint = "leave it with the one that it means"
                    yield view.problem(CODE, view.listed_mark(observation.id, "said", number), message, hint)
            first.setdefault(plain, observation.id)
