"""A step in which no word speaks of its act."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.act_against_words import contradiction
from faultfinder.knowledge.checks.unsafe_access import told_otherwise
from faultfinder.knowledge.instructions.acts import ACTS, allowed
from faultfinder.knowledge.instructions.verbs import has_cue, strange_verb
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.value_types import quoted


def check(view: View) -> Iterator[Objection]:
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
        yield Objection(step.mark, message, example)
