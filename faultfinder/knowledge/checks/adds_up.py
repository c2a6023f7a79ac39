"""An answer that faults add up to, which the strongest-wins rule cannot reach."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.pushes import adds_up_only, only_pair
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "adds-up",
    WARNING,
    "faults may add up to an answer that none gives alone",
    "Several faults together give the most overriding answer that one of them gives alone. An answer "
    "that comes only from two at once (both heaters cold = no heat) would be called impossible. Ask "
    "with asks: what each fault does by itself, or say which single fault leads there.",
    """
observations:
  which_side:
    kind: look
    ask: Which side gets hot?
    answers: {both: Both, left: Left only, right: Right only, none: Neither}
states:
  left_off: {title: Left off, brought_on_by: {element_open: often}, shows: {which_side: {right: usually}}}
  right_off: {title: Right off, brought_on_by: {cut_out_open: often}, shows: {which_side: {left: usually}}}
""",
    """
observations:
  left_cold: {kind: look, ask: Is the left side cold?, answers: yes_no}
  right_cold: {kind: look, ask: Is the right side cold?, answers: yes_no}
asks:
  which_side:
    kind: look
    ask: Which side gets hot?
    choices:
      both: {text: Both, sets: {left_cold: no, right_cold: no}}
      left: {text: Left only, sets: {left_cold: no, right_cold: yes}}
      right: {text: Right only, sets: {left_cold: yes, right_cold: no}}
      none: {text: Neither, sets: {left_cold: yes, right_cold: yes}}
states:
  left_off: {title: Left off, brought_on_by: {element_open: often}, shows: {left_cold: usually}}
  right_off: {title: Right off, brought_on_by: {cut_out_open: often}, shows: {right_cold: usually}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for observation in view.pack.observations.values():
        if adds_up_only(view, observation):
            last = observation.answers[-1].id
            mark = view.answer_mark(observation, last)
            message = f'{observation.id}: no single cause leads to "{last}", but several may add up to it'
            yield view.problem(
                CODE, mark, message, "ask with asks: what each fault does by itself, or add the missing link"
            )
            continue
        pair = only_pair(view, observation)
        if pair is not None:
            first, second = pair
            mark = view.answer_mark(observation, second)
            message = (
                f'{observation.id}: with the faults behind "{first}" and behind "{second}" at once neither is seen, '
                f'but the rules would expect "{second}"'
            )
            yield view.problem(CODE, mark, message, "ask with asks: what each fault does by itself")
