"""Two questions in the same words."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import together
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.model import Observation, Question
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "same-question",
    WARNING,
    "two questions in the same words",
    "A person who is asked the same twice answers the same twice, and the tool takes it for two "
    "pieces of evidence. Say what is different, or make one observation of the two.",
    """
observations:
  lid_stuck: {kind: look, ask: Does the lid stick?, answers: yes_no}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {lid_stuck: often}}
""",
    """
observations:
  lid_stuck: {kind: look, ask: Is the lid stuck fast?, answers: yes_no}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {lid_stuck: often}}
""",
)


def check(view: View) -> Iterator[Problem]:
    seen: dict[str, list[Observation | Question]] = {}
    for item in view.asked:
        words = " ".join(re.findall(r"\w+", item.ask.casefold()))
        for other in seen.get(words, []):
            if words and together(item.applies, other.applies) is not None and not _apart(item, other):
                message = f"{item.id}: {other.id} asks the same in the same words"
                yield view.problem(CODE, view.mark(item.id, "ask"), message, "say what is different")
                break
        seen.setdefault(words, []).append(item)
    facts: dict[str, str] = {}
    for fact in view.pack.facts.values():
        words = " ".join(re.findall(r"\w+", fact.ask.casefold()))
        if words and words in facts:
            message = f"{fact.id}: {facts[words]} asks the same in the same words"
            yield view.problem(CODE, view.fact_mark(fact.id, "ask"), message, "say what is different")
        facts.setdefault(words, fact.id)


def _apart(one: Observation | Question, other: Observation | Question) -> bool:
    """Whether their gates never open together."""
    return any(
        not set(answers) & set(other.only_if[name])
        for name, answers in one.only_if.items()
        if name in other.only_if
    )
