"""The same customer's words under two observations."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import together
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    first: dict[str, str] = {}
    for observation in view.pack.observations.values():
        for number, words in enumerate(observation.said):
            plain = " ".join(words.casefold().split())
            if plain in first and first[plain] == observation.id:
                message = f'{observation.id}: said has "{words}" twice'
                yield Objection(view.listed_mark(observation.id, "said", number), message, "leave one out")
            elif plain in first:
                other = view.pack.observations[first[plain]]
                if together(observation.applies, other.applies) is not None:
                    message = f'{observation.id}: "{words}" is said of {other.id} as well'
                    hint = "leave it with the one that it means"
                    yield Objection(view.listed_mark(observation.id, "said", number), message, hint)
            first.setdefault(plain, observation.id)
