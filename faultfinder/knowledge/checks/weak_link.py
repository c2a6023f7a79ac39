"""A link that is no stronger than what sound machines show."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
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
                yield Objection(
                    view.key_mark(view.section_of(name), name, "shows", link.observation), message, hint
                )
