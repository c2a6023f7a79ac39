"""A choice of several that sets a healthy answer."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "several-healthy",
    WARNING,
    "a ticked choice sets a healthy answer",
    "With several: yes each tick reports something; what is not ticked becomes healthy when the "
    "person says so. A tick that sets a healthy answer contradicts the one that sets it abnormal.",
    """
asks:
  what_is_wrong:
    kind: told
    ask: What is wrong?
    several: yes
    choices:
      cold: {text: Stays cold, sets: {stays_cold: yes}}
      fine: {text: Heats well, sets: {stays_cold: no}}
""",
    """
asks:
  what_is_wrong:
    kind: told
    ask: What is wrong?
    several: yes
    choices:
      cold: {text: Stays cold, sets: {stays_cold: yes}}
      slow: {text: Slow, sets: {slow_to_boil: yes}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for question in view.pack.questions.values():
        if not question.several:
            continue
        for choice in question.choices:
            for observation, answer in choice.sets.items():
                if answer == view.pack.observations[observation].healthy:
                    mark = view.mark(question.id, "choices", choice.id, "sets", observation)
                    message = (
                        f'{question.id}: the tick "{choice.id}" sets {observation} to its healthy answer'
                    )
                    yield view.problem(
                        CODE, mark, message, "leave it out; what is not ticked can become healthy"
                    )
