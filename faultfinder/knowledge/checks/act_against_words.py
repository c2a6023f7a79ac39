"""A step whose words do something else than its act says."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.acts import ACTS, allowed
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.deeds import Found, against_act, never_right
from faultfinder.knowledge.model import Need
from faultfinder.knowledge.problem import ERROR, Problem
from faultfinder.knowledge.shapes import quoted
from faultfinder.knowledge.verbs import WORK, verbs_against
from faultfinder.knowledge.view import View
from faultfinder.knowledge.wording import bridging, sentences

CODE = Code(
    "act-against-words",
    ERROR,
    "the words of a step do something else than its act",
    "The gate goes by the act of a step, people by its words: both must say the same. One step does one thing; what its "
    "words do besides (switching on, opening, putting a meter on, pulling a lead off) is a step of its own, in an access "
    "where that may be shown.",
    """
observations:
  element_glow:
    kind: look
    ask: Does the element glow?
    how:
      - look: Put the plug in for a moment and look at the element.
    answers: {glows: Yes, dark: No}
    access: open_dead
""",
    """
observations:
  element_glow:
    kind: look
    ask: Does it glow through the slots?
    how:
      - plug_in: Put the plug in.
      - look: Look through the slots.
    answers: {glows: Yes, dark: No}
    access: in_use
""",
)


def check(view: View) -> Iterator[Problem]:
    for item, _, need, step in view.steps():
        if not allowed(step.act, need) or bridging(step.text) or never_right(step.text):
            continue
        found = against_act(step.text, step.act, need)
        if found is not None:
            message = f"{item.id}: {quoted(found.sentence)} {found.deed.says}, but the step says {step.act}"
            if step.act in found.deed.acts:
                message = f"{item.id}: {quoted(found.sentence)} {found.deed.says}, but the access is {need}"
            yield view.problem(CODE, step.mark, message, _hint(found, need))
            continue
        for sentence in sentences(step.text):
            verb = verbs_against(sentence, step.act)
            if verb is not None:
                acts = ", ".join(act for act in ACTS if act in WORK[verb])
                message = f'{item.id}: {quoted(sentence)} begins with "{verb}", but the step says {step.act}'
                yield view.problem(CODE, step.mark, message, f"a step of its own; {verb} can be: {acts}")
                break


def _hint(found: Found, need: Need) -> str:
    deed = found.deed
    if deed.never:
        return "there is no 'covers off and live' to work in"
    needs = " or ".join(each for each in Need if each in deed.needs)
    if need in deed.needs:
        acts = [act for act in ACTS if act in deed.acts]
        return f"give it a step of its own: {', '.join(acts[:4])}"
    return f"that is for {needs}: give it an observation of its own"
