"""The last round: what the pack has looked at before every closing, put together by where it is done."""

from __future__ import annotations

from faultfinder.dialogue.agenda.offers import complaints_to_try, doable
from faultfinder.dialogue.talk import Talk
from faultfinder.knowledge.model import Kind, Need, Observation, Question
from faultfinder.reasoning.decision.last_round import not_seen_yet
from faultfinder.reasoning.decision.step import Stage, Step, StepKind
from faultfinder.safety import gate as safety

INSIDE, OUTSIDE, RUNNING = PLACES = "inside", "outside", "running"
TOGETHER = "together"
"""What is no place of the last round: what is on offer, told in a word each, and asked on one screen."""
A_WORD = 1.0
"""Minutes that what is asked together takes at the most, each; chosen."""
BESIDE_ITEMS = 5
"""Lines of the screen beside a stop's items: the question, 'none', an example, the prompt and the status."""


def place_of(need: Need) -> str:
    """Where in the last round a need is had."""
    if need is Need.OPEN_DEAD:
        return INSIDE
    return RUNNING if need is Need.IN_USE else OUTSIDE


def round_items(talk: Talk, place: str) -> list[Observation | Question]:
    """What of the last round is still to be looked at there: once in a job, what is seen of the machine running again
    after every change. What is measured with the plug out is left to the return tests where it was opened."""
    case, pack = talk.case, talk.pack
    items: list[Observation | Question] = [*pack.questions.values(), *pack.observations.values()]
    if complaints_to_try(talk):
        items = [item for item in items if not item.symptom]  # told by trying it again, not from memory
    out: list[Observation | Question] = []
    for item in items:
        need = case.need_of(item)
        if not item.last_round or place_of(need) != place or item.id in talk.declined:
            continue
        if not case.askable(item) or not case.available(item):
            continue
        if need is not Need.IN_USE and not not_seen_yet(case, item):
            continue
        measured = isinstance(item, Observation) and item.reading is not None
        if not (measured and need is Need.ISOLATED and case.was_open):
            out.append(item)
    return out


def asked_together(talk: Talk, first: Step) -> tuple[str, ...]:
    """What is on offer where one stands and answered with a yes or no, from the first of it on: all that is told; in
    the check-up what takes a look too. Fewer than two are no list."""
    out = []
    for step in doable(talk):
        item = talk.pack.observations.get(step.target)
        if step.kind is not StepKind.ASK or item is None or item.reading is not None:
            continue
        a_word = len(item.answers) == 2 and item.minutes <= A_WORD
        if not a_word or not safety.permits(talk.gate, talk.case.need_of(item)):
            continue
        if item.kind is Kind.TOLD or (first.stage is step.stage is Stage.CHECK_UP):
            out.append(step.target)
    return tuple(out[: at_once(talk)]) if len(out) > 1 and out[0] == first.target else ()


def at_once(talk: Talk) -> int:
    """How many things fit on one screen, a line each; the others come at the next stop."""
    return max(1, talk.lines - BESIDE_ITEMS)


def need_missing(talk: Talk, items: list[Observation | Question]) -> Need | None:
    """The access to go to first so that all of these can be looked at; None when they can. The covers go back before
    what is looked at with them on."""
    needs = {talk.case.need_of(item) for item in items}
    for need in (Need.COVERS_ON, Need.OPEN_DEAD, Need.IN_USE, Need.ISOLATED):
        if need in needs and not safety.permits(talk.gate, need):
            return need
    return None


def standing_choices(talk: Talk, item: Question) -> list[str]:
    """The choices of a question that stand already: nobody takes them back for being asked in other words."""

    def stands(name: str, answer: str) -> bool:
        given = talk.case.latest(name)
        if given is None or talk.case.askable(talk.pack.observations[name]):
            return False
        return talk.case.judged(given).answer == answer

    return [each.id for each in item.choices if all(stands(*pair) for pair in each.sets.items())]
