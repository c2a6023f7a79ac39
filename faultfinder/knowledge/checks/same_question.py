"""Two questions in the same words."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import together
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Observation, Question
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    seen: dict[str, list[Observation | Question]] = {}
    for item in view.asked:
        words = " ".join(re.findall(r"\w+", item.ask.casefold()))
        for other in seen.get(words, []):
            if words and together(item.applies, other.applies) is not None and not _apart(item, other):
                message = f"{item.id}: {other.id} asks the same in the same words"
                yield Objection(view.mark(item.id, "ask"), message, "say what is different")
                break
        seen.setdefault(words, []).append(item)
    facts: dict[str, str] = {}
    for fact in view.pack.facts.values():
        words = " ".join(re.findall(r"\w+", fact.ask.casefold()))
        if words and words in facts:
            message = f"{fact.id}: {facts[words]} asks the same in the same words"
            yield Objection(view.fact_mark(fact.id, "ask"), message, "say what is different")
        facts.setdefault(words, fact.id)


def _apart(one: Observation | Question, other: Observation | Question) -> bool:
    """Whether their gates never open together."""
    return any(
        not set(answers) & set(other.only_if[name])
        for name, answers in one.only_if.items()
        if name in other.only_if
    )
