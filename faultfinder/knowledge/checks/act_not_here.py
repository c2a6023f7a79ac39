"""A step whose act may not be shown in the access of its instruction."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.instructions.acts import ACTS, SHOWN_IN, allowed
from faultfinder.knowledge.model import Need, Step
from faultfinder.knowledge.problem import ERROR, Problem

CODE = Code(
    "act-not-here",
    ERROR,
    "the step does what its access does not allow",
    "Each act has the access states in which it may be shown, and an instruction may have only acts that "
    "are allowed in "
    "every state where it can be shown: nothing is run or fed but in_use, no lead comes off but open_dead. What is "
    "measured running gets an observation of its own; the run that proves a repair stands under then_run.",
    """
observations:
  element_glow:
    kind: look
    ask: Does the element glow?
    how:
      - run: Let it heat for a minute.
      - look: Look at the element.
    answers: {glows: Yes, dark: No}
    access: open_dead
""",
    """
observations:
  element_glow:
    kind: look
    ask: Is the element discoloured at one place?
    how:
      - uncover: Base cover off.
      - look: Look along the element.
    answers: {even: No, spot: Yes}
    access: open_dead
""",
)


def check(view: View) -> Iterator[Problem]:
    for item, key, need, step in view.steps():
        if not step.stated or allowed(step.act, need):
            continue
        where = (
            "then_run"
            if key == "then_run"
            else f"{key} with {'remedy_need' if key == 'remedy_how' else 'access'} {need}"
        )
        message = f'{item.id}: a step of "{step.act}" is not for {where}'
        yield view.problem(CODE, step.mark, message, _hint(step, key))


def _hint(step: Step, key: str) -> str:
    needs = [need for need in Need if SHOWN_IN[need] <= ACTS[step.act].states]
    if key == "remedy_how" and needs == [Need.IN_USE]:
        return "the run after the work goes under then_run, covers on"
    if key == "then_run":
        return "what is done with the supply cut goes under remedy_how"
    return f"it may be shown with {' or '.join(needs)}; give that its own observation"
