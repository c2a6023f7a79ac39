"""A step whose act may not be shown in the access of its instruction."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.instructions.acts import ACTS, SHOWN_IN, allowed
from faultfinder.knowledge.model import Need, Step
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for item, key, need, step in view.steps():
        if not step.stated or allowed(step.act, need):
            continue
        where = (
            "then_run"
            if key == "then_run"
            else f"{key} with {'remedy_need' if key == 'remedy_how' else 'access'} {need}"
        )
        message = f'{item.id}: a step of "{step.act}" is not for {where}'
        yield Objection(step.mark, message, _hint(step, key))


def _hint(step: Step, key: str) -> str:
    needs = [need for need in Need if SHOWN_IN[need] <= ACTS[step.act].states]
    if key == "remedy_how" and needs == [Need.IN_USE]:
        return "the run after the work goes under then_run, covers on"
    if key == "then_run":
        return "what is done with the supply cut goes under remedy_how"
    return f"it may be shown with {' or '.join(needs)}; give that its own observation"
