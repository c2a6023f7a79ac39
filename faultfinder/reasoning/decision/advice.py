"""What to do next in a case: proofs, the search, the last round, a check-up. The planning stands in rollout.py,
what brought a fault on in root_causes.py; why there is nothing more to do, in stopping.py."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from faultfinder.knowledge.model import Access, Need
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.expected_loss import Price
from faultfinder.reasoning.decision.follow_ups import follow_ups, measured_first
from faultfinder.reasoning.decision.imagined import Imagined
from faultfinder.reasoning.decision.last_round import last_round, round_inside, slips_inside
from faultfinder.reasoning.decision.root_causes import reasons_first, tests_of_bringers
from faultfinder.reasoning.decision.scope import complaints_standing, concerned, price_list, to_mend_by
from faultfinder.reasoning.decision.step import Separates, Stage, Step, StepKind
from faultfinder.reasoning.decision.test_selection import (
    made_anyway,
    mendings,
    pay_by_themselves,
    with_looks,
    worth_doing,
)
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.reasoning.inference.assessment import Assessment


def steps(case: Assessment) -> list[Step]:
    """Everything worth doing, best first; empty when nothing is.

    Repairs are proved first. Then a complaint is heard out, and what the rules have measured first after it is
    measured; then comes what it raised, what brought on a fault that
    was found, the last round of the pack, and, as a check-up, whatever else pays.
    """
    if case.outside:
        return [Step(StepKind.HAND_OVER, case.pack.name, case.outside, case.access, 0.0, 0.0)]
    price, about = price_list(case), concerned(case)
    first = {name: cost for name, cost in price.items() if name in about}
    imagined = Imagined(case)
    if proofs := _proofs(case):
        return [*_before_proofs(case, imagined, price, first, proofs), *proofs]
    heard_out = [*follow_ups(case, imagined, first), *measured_first(case)]
    asked = {step.target for step in heard_out}
    search = worth_doing(case, imagined, first) if first else []
    out = [*heard_out, *(step for step in search if step.target not in asked)]
    if case.access is Access.OPEN_DEAD and case.repairs and out and out[0].access is not case.access:
        # What was found inside is put right: before the covers go back on, what else there is is looked at.
        out = [*round_inside(case), *slips_inside(case, imagined), *out]
    if _for_others(out):
        out += tests_of_bringers(case, imagined)
    if _for_others(out):
        inside = []
        if case.access is Access.OPEN_DEAD:
            inside = [*round_inside(case), *slips_inside(case, imagined)]
        out += inside or last_round(case) or _check_up(case, imagined, price)
    return out


def _for_others(steps: Iterable[Step]) -> bool:
    """Whether nothing is left but what is handed over."""
    return all(step.kind is StepKind.HAND_OVER for step in steps)


def _proofs(case: Assessment) -> list[Step]:
    """What proves the repairs made: the observations that the rules name, not yet made since."""
    out = []
    for name in case.to_prove:
        observation, given = case.pack.observations[name], case.latest(name)
        if given is not None and given.epoch >= case.last_changed(name):
            continue
        if case.available(observation) and possible(observation.applies, case.facts):
            out.append(made_anyway(case, observation, StepKind.PROVE))
    return sorted(out, key=lambda step: step.minutes)


def _before_proofs(
    case: Assessment,
    imagined: Imagined,
    price: Mapping[str, Price],
    first: Mapping[str, Price],
    proofs: Sequence[Step],
) -> list[Step]:
    """What is done before the repairs made are proved. first: the prices of what the search is about."""
    confidence, proved_at = case.confidence(), proofs[0].access
    found = [
        step
        for step in mendings(case, to_mend_by(case, price))
        if step.kind is StepKind.PUT_RIGHT and confidence[step.target] > FOUND
    ]
    if case.access is Access.OPEN_DEAD is not proved_at:
        # What else was found inside is put right before the machine is closed, so that it is opened once.
        inside = with_looks(case, imagined, [step for step in found if step.access is case.access], price)
        guessed = case.found()[case.remedies[-1]] <= FOUND
        if first and not inside and (complaints_standing(case) or guessed):
            # Nothing put right explains it: the search goes on where it stands open, not after opening once more.
            search = worth_doing(case, imagined, first)
            inside = [step for step in search if step.access is case.access]
        return [*inside, *round_inside(case), *slips_inside(case, imagined), *reasons_first(case, imagined)]
    # What would spoil a proof with the machine running, which would read wrong for it whatever was repaired.
    running = [proof.target for proof in proofs if proof.access is Access.IN_USE]
    spoiling = [
        step
        for step in found
        if step.access is not Access.OPEN_DEAD
        and any(case.bears_on(target, step.target) for target in running)
    ]
    if spoiling:
        return with_looks(case, imagined, spoiling, price)
    if proved_at is Access.IN_USE is not case.access:
        return reasons_first(case, imagined)
    return []


def _check_up(case: Assessment, imagined: Imagined, price: Mapping[str, Price]) -> list[Step]:
    """Tests that pay for all causes together, those at their base rate too: nobody complained of anything that points
    at them. What is left is named in the record as not looked at."""
    asked = (StepKind.ASK, StepKind.CHANGE_ACCESS)
    found = worth_doing(case, imagined, price)
    return [replace(step, stage=Stage.CHECK_UP) for step in found if step.kind in asked]


def worth_asking(case: Assessment, need: Need, most: int) -> list[Step]:
    """What has this need and is worth its minutes by itself, most worth first, so many at most, with reasons."""
    imagined = Imagined(case)
    found = pay_by_themselves(case, imagined, price_list(case), lambda look: look.need is need)
    return [with_reasons(case, step) for step in found[:most]]


def with_reasons(case: Assessment, step: Step) -> Step:
    """The step with what each answer to it would do; a question's by the observation it moves most. The plan itself
    is made on imagined machines: this takes its own time, and is worked out for what is shown alone."""
    if step.kind is not StepKind.ASK or step.reasons:
        return step
    question = case.pack.questions.get(step.target)
    confidence, price = case.confidence(), price_list(case)
    outlook = case.outlook(question.observations if question else [step.target])
    reasons = [_separations(answers, confidence, price) for answers in outlook.values()]
    if len(reasons) == 1:
        return replace(step, reasons=reasons[0])
    return replace(step, reasons=tuple(each for found in reasons for each in found[1:2]))


def _separations(
    answers: Mapping[str, tuple[float, Mapping[str, float]]],
    confidence: Mapping[str, float],
    price: Mapping[str, Price],
) -> tuple[Separates, ...]:
    """For each answer the cause whose chance it moves most, in the order of the answers."""
    out = []
    for answer, (chance, after) in answers.items():
        moves = {cause: abs(after.get(cause, 0.0) - confidence.get(cause, 0.0)) for cause in price}
        if moves:
            moved = max(moves, key=lambda cause: moves[cause])
            out.append(Separates(answer, chance, moved, confidence.get(moved, 0.0), after.get(moved, 0.0)))
    return tuple(out)
