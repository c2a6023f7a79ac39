"""A step in which no word speaks of its act."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.checks.act_against_words import contradiction
from faultfinder.knowledge.checks.unsafe_access import told_otherwise
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.instructions.acts import ACTS, allowed
from faultfinder.knowledge.instructions.verbs import has_cue, strange_verb
from faultfinder.knowledge.problem import WARNING, Problem
from faultfinder.knowledge.schema.value_types import quoted

CODE = Code(
    "act-unplaced",
    WARNING,
    "the checker cannot tell what a step does",
    "Whether the words of a step do what its act says is looked at word by word. Where no known word stands, or a "
    "sentence begins with a verb that is not known, nobody has checked it: say it in plainer words, or be "
    "sure yourself.",
    """
observations:
  lid_seen:
    kind: look
    ask: Is the lid whole?
    how:
      - look: Frobnicate the lid.
    answers: yes_no
""",
    """
observations:
  lid_seen:
    kind: look
    ask: Is the lid whole?
    how:
      - look: Look at the lid from both sides.
    answers: yes_no
""",
)


def check(view: View) -> Iterator[Problem]:
    for item, _, need, step in view.steps():
        if not allowed(step.act, need) or told_otherwise(step.text, need) or contradiction(step, need):
            continue
        example = f"write it as in: {ACTS[step.act].example}"
        if not step.stated:
            example = f"say what it does: - {step.act}: ..."
        strange = strange_verb(step.text)
        if not has_cue(step.text, step.act):
            message = f"{item.id}: no word of {quoted(step.text)} says {step.act}"
        elif strange:
            message = f'{item.id}: "{strange}" in {quoted(step.text)} is no verb known for {step.act}'
        else:
            continue
        yield view.problem(CODE, step.mark, message, example)
