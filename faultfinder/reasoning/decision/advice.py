"""What to do next in a case: proofs, the search, the last round, a check-up. The planning stands in rollout.py,
what brought a fault on in root_causes.py; why there is nothing more to do, in stopping.py."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from faultfinder.knowledge.model import Access, Need
from faultfinder.reasoning import constants
from faultfinder.reasoning.decision.expected_loss import Price
from faultfinder.reasoning.decision.follow_ups import follow_ups, measured_first
from faultfinder.reasoning.decision.imagined import Imagined, Worlds
from faultfinder.reasoning.decision.last_round import last_round, round_inside
from faultfinder.reasoning.decision.rollout import Planner
from faultfinder.reasoning.decision.root_causes import reasons_first, tests_of_bringers
from faultfinder.reasoning.decision.scope import FOUND, complaints_standing, concerned, price_list, to_mend_by
from faultfinder.reasoning.decision.step import Stage, Step, StepKind
from faultfinder.reasoning.decision.test_selection import (
    ask_step,
    made_anyway,
    mendings,
    separations,
    standing_of,
    with_looks,
    worth_doing,
)
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.reasoning.inference.assessment import Assessment
from faultfinder.reasoning.inference.machines import draw_machines


def steps(case: Assessment) -> list[Step]:
    """Everything worth doing, best first; empty when nothing is.

    Repairs are proved first. Then a complaint is heard out, and what the rules have measured first after it is
    measured; then comes what it raised, what brought on a fault that
    was found, the last round of the pack, and, as a check-up, whatever else pays.
    """
    if case.outside:
        return [Step(StepKind.HAND_OVER, case.pack.name, case.outside, case.access, 0.0, 0.0)]
    proofs = _proofs(case)
    confidence, price = case.confidence(), price_list(case)
    about = concerned(case)
    first = {name: cost for name, cost in price.items() if name in about}
    imagined = Imagined(case, draw_machines(case, constants.MACHINES))
    if proofs and case.access is Access.OPEN_DEAD is not proofs[0].access:
        inside = with_looks(case, imagined, _found_inside(case, confidence), price)
        if first and not inside and (complaints_standing(case) or _guessed(case)):
            # Nothing put right explains it: the search goes on where it stands open, not after opening once more.
            search = worth_doing(case, imagined, first)
            inside += [step for step in search if step.access is case.access]
        return [*inside, *round_inside(case), *reasons_first(case, imagined, confidence), *proofs]
    if spoiling := _spoiling(case, confidence, proofs):
        return [*with_looks(case, imagined, spoiling, price), *proofs]
    if proofs and proofs[0].access is Access.IN_USE is not case.access:
        return [*reasons_first(case, imagined, confidence), *proofs]
    if proofs:
        return proofs
    out = worth_doing(case, imagined, first) if first else []
    heard_out = follow_ups(case, imagined, first)
    heard_out += measured_first(case)
    asked = {step.target for step in heard_out}
    out = [*heard_out, *(step for step in out if step.target not in asked)]
    if case.access is Access.OPEN_DEAD and case.repairs and out and out[0].access is not case.access:
        # What was found inside is put right: before the covers go back on, what else there is is looked at.
        out = [*round_inside(case), *out]
    if not any(step.kind is not StepKind.HAND_OVER for step in out):
        out += tests_of_bringers(case, imagined, confidence)
    if not any(step.kind is not StepKind.HAND_OVER for step in out):
        inside = round_inside(case) if case.access is Access.OPEN_DEAD else []
        out += inside or last_round(case, confidence) or _check_up(case, imagined, price)
    return out


def with_reasons(case: Assessment, step: Step) -> Step:
    """The step with what each answer to it would do; a question's by the observation it moves most. The plan itself
    is made on imagined machines: this takes its own time, and is worked out for what is shown alone."""
    if step.kind is not StepKind.ASK or step.reasons:
        return step
    confidence, price = case.confidence(), price_list(case)
    names = [step.target]
    if step.target in case.pack.questions:
        names = list(case.pack.questions[step.target].observations)
    outlook = case.outlook(names)
    names = [name for name in names if name in outlook]
    reasons = [separations(outlook[name], confidence, price) for name in names]
    if len(names) == 1:
        return replace(step, reasons=reasons[0])
    return replace(step, reasons=tuple(each for found in reasons for each in found[1:2]))


def _check_up(case: Assessment, imagined: Imagined, price: Mapping[str, Price]) -> list[Step]:
    """Tests that pay for all causes together, those at their base rate too: nobody complained of anything that points
    at them. What is left is named in the record as not looked at."""
    asked = (StepKind.ASK, StepKind.CHANGE_ACCESS)
    return [
        replace(step, stage=Stage.CHECK_UP)
        for step in worth_doing(case, imagined, price)
        if step.kind in asked
    ]


def _proofs(case: Assessment) -> list[Step]:
    """What proves the repairs made: the observations that the rules name, not yet made since."""
    out = []
    for name in case.to_prove:
        observation = case.pack.observations[name]
        given = case.latest(name)
        if given is not None and given.epoch >= case.last_changed(name):
            continue
        if not case.available(observation) or not possible(observation.applies, case.facts):
            continue
        out.append(made_anyway(case, observation, StepKind.PROVE))
    return sorted(out, key=lambda step: step.minutes)


def _guessed(case: Assessment) -> bool:
    """Whether what was put right last was less likely there than not: what is looked for stands still."""
    return case.found()[case.remedies[-1]] <= FOUND


def _found_inside(case: Assessment, confidence: Mapping[str, float]) -> list[Step]:
    """What else was found inside an open machine and is worth putting right: done before it is closed to prove what
    was put right already, so that it is opened once."""
    return [
        step
        for step in mendings(case, to_mend_by(case, price_list(case)))
        if step.kind is StepKind.PUT_RIGHT
        and step.access is Access.OPEN_DEAD
        and confidence[step.target] > FOUND
    ]


def _spoiling(case: Assessment, confidence: Mapping[str, float], proofs: Sequence[Step]) -> list[Step]:
    """What else was found and would spoil a proof with the machine running, put right without opening anything: done
    before the proof, which would read wrong for it whatever was repaired."""
    running = [proof.target for proof in proofs if proof.access is Access.IN_USE]
    return [
        step
        for step in (mendings(case, to_mend_by(case, price_list(case))) if running else ())
        if step.kind is StepKind.PUT_RIGHT
        and step.access is not Access.OPEN_DEAD
        and confidence[step.target] > FOUND
        and any(case.bears_on(target, step.target) for target in running)
    ]


def worth_asking(case: Assessment, need: Need, most: int) -> list[Step]:
    """What has this need and is worth its minutes by itself, most worth first, so many at most, with reasons."""
    price = price_list(case)
    worlds = Worlds(Imagined(case, draw_machines(case, constants.MACHINES)), price)
    planner = Planner(worlds, constants.MACHINES)
    looks = [look for look in worlds(frozenset()).looks if look.need is need]
    found, _ = planner.weigh(planner.here(standing_of(case)), looks)
    pays = sorted(found, key=lambda each: (-each.gain, each.look.target))
    steps = [ask_step(case, each.look, 0.0, each.gain / constants.MACHINES) for each in pays]
    return [with_reasons(case, step) for step in steps[:most] if step.gain > constants.TALK]
