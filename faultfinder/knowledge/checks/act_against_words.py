"""A step whose words do something else than its act says."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.unsafe_access import told_otherwise
from faultfinder.knowledge.instructions.acts import ACTS, allowed
from faultfinder.knowledge.instructions.deeds import Found, against_act, against_need
from faultfinder.knowledge.instructions.unsafe_text import sentences
from faultfinder.knowledge.instructions.verbs import WORK, head_verbs, verbs_against
from faultfinder.knowledge.model import Need, Step
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.value_types import quoted


def check(view: View) -> Iterator[Objection]:
    for item, _, need, step in view.steps():
        if (step.stated and not allowed(step.act, need)) or told_otherwise(step.text, need):
            continue
        told = contradiction(step, need)
        if told is not None:
            message, hint = told
            yield Objection(step.mark, f"{item.id}: {message}", hint)


def contradiction(step: Step, need: Need) -> tuple[str, str] | None:
    """What the words of a step do that it must not do, and what to write instead; or None."""
    return _stated(step, need) if step.stated else _plain(step, need)


def _stated(step: Step, need: Need) -> tuple[str, str] | None:
    """What is wrong with the words of a step whose act its author states, and what to do about it."""
    found = against_act(step.text, step.act, need)
    if found is not None:
        but = f"the access is {need}" if step.act in found.deed.acts else f"the step says {step.act}"
        return f"{quoted(found.sentence)} {found.deed.says}, but {but}", _hint(found, need)
    for sentence in sentences(step.text):
        verb = verbs_against(sentence, step.act)
        if verb is not None:
            acts = ", ".join(act for act in ACTS if act in WORK[verb])
            message = f'{quoted(sentence)} begins with "{verb}", but the step says {step.act}'
            return message, f"a step of its own; {verb} can be: {acts}"
    return None


def _plain(step: Step, need: Need) -> tuple[str, str] | None:
    """The same for a plain text: whether any act that this access allows can be meant."""
    found = against_need(step.text, need)
    if found is not None:
        return f"{quoted(found.sentence)} {found.deed.says}, but the access is {need}", _hint(found, need)
    for sentence in sentences(step.text):
        for verb in head_verbs(sentence):
            if verb in WORK and not any(allowed(act, need) for act in WORK[verb]):
                acts = ", ".join(act for act in ACTS if act in WORK[verb])
                return (
                    f'{quoted(sentence)} begins with "{verb}", but the access is {need}',
                    f"{verb} can be: {acts}",
                )
    return None


def _hint(found: Found, need: Need) -> str:
    deed = found.deed
    if deed.never:
        return "there is no 'covers off and live' to work in"
    needs = " or ".join(each for each in Need if each in deed.needs)
    if need in deed.needs:
        acts = [act for act in ACTS if act in deed.acts]
        return f"give it a step of its own: {', '.join(acts[:4])}"
    return f"that is for {needs}: give it an observation of its own"
