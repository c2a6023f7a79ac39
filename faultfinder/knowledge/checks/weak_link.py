"""A link that is no stronger than what sound machines show."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "weak-link",
    WARNING,
    "a link weaker than the background",
    "A cause that shows an answer less often than sound machines do speaks for nothing: whoever sees "
    "the answer believes in the background. Say how often the fault really shows it, or leave the "
    "link out.",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: none
    remedy: Replace the knob
    minutes: 5
    if_missed: 60
    shows: {lid_sticks: never}
    proof: [lid_sticks]
""",
    """
causes:
  knob_loose:
    title: Knob loose
    how_common: rare
    hazard: none
    remedy: Replace the knob
    minutes: 5
    if_missed: 60
    shows: {lid_sticks: often}
    proof: [lid_sticks]
""",
)


def check(view: View) -> Iterator[Problem]:
    for name, item in view.bringers.items():
        for link in item.shows.values():
            observation = view.pack.observations[link.observation]
            pushes = zip(link.pushes[1:], observation.background[1:], strict=True)
            if (
                max(observation.background[1:], default=0.0) > 0.6
                or observation.only_if
                or all(push == 0.0 or push > seen for push, seen in pushes)
            ):
                # What is asked only once something has shown has the background of what showed.
                continue
            pushed, seen = sum(link.pushes[1:]), sum(observation.background[1:])
            if 0.0 < pushed <= seen:
                message = (
                    f"{name}: {link.observation} is abnormal with it in {pushed:.3g}, "
                    f"and on sound machines in {seen:.3g}"
                )
                hint = "say how often the fault shows it, or leave the link out"
                yield view.problem(
                    CODE, view.key_mark(view.section_of(name), name, "shows", link.observation), message, hint
                )
