"""What brought a found fault on: a cut-out that is replaced over a blocked vent opens again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from faultfinder.knowledge.model import Access, Kind, Need, Pack
from faultfinder.reasoning.decision import test_selection as plan
from faultfinder.reasoning.decision.scope import FOUND, price_list
from faultfinder.reasoning.decision.step import Step
from faultfinder.reasoning.decision.weigh import choice_about, made_anyway, tests_about
from faultfinder.reasoning.inference.assessment import Assessment

BRINGER_SETTLED = 0.1
"""What may have brought on a fault that was found is settled below this chance, or above one minus it; chosen."""
REASON_SETTLED = 0.05
"""The same for what opens a cut-out again once the machine runs; chosen."""


def unsettled_bringers(case: Assessment, confidence: Mapping[str, float]) -> dict[str, str]:
    """Causes that may have brought on a fault that was found and are neither ruled out nor taken as there:
    bringer -> the fault. A cut-out that is replaced over a blocked vent opens again."""
    out: dict[str, str] = {}
    begin = case.found()
    known = {name for name, p in begin.items() if p > FOUND} | set(case.repairs)
    for name in known:
        for bringer in _nearest_bringers(case.pack, name):
            if BRINGER_SETTLED < confidence.get(bringer, 0.0) < 1.0 - BRINGER_SETTLED:
                out.setdefault(bringer, name)
    return out


def _nearest_bringers(pack: Pack, name: str) -> set[str]:
    """The causes that bring a cause on, directly or through states."""
    out: set[str] = set()
    waiting = list(pack.causes[name].brought_on_by)
    while waiting:
        bringer = waiting.pop()
        if bringer in pack.states:
            waiting.extend(pack.states[bringer].brought_on_by)
        else:
            out.add(bringer)
    return out


def tests_of_bringers(case: Assessment, confidence: Mapping[str, float]) -> list[Step]:
    """When nothing else is worth its minutes: the cheapest test that settles what brought a found fault on."""
    unsettled = unsettled_bringers(case, confidence)
    if not unsettled:
        return []
    found = tests_about(case, choice_about(case, price_list(case)))
    steps = [plan.ask_step(test, case.access) for test in found]
    return _settling(steps, case.outlook(step.target for step in steps), unsettled, BRINGER_SETTLED)


def _settling(
    steps: Sequence[Step], outlook: plan.Outlook, bringers: Iterable[str], settled: float
) -> list[Step]:
    """For each of the bringers the step of fewest minutes that settles it, if any; each step once."""
    out: list[Step] = []
    for bringer in bringers:
        telling = [
            step
            for step in steps
            if step.target in outlook and _settles(outlook[step.target], bringer, settled)
        ]
        if telling:
            out.append(min(telling, key=lambda step: step.minutes))
    return list(dict.fromkeys(out))


def _settles(answers: Mapping[str, tuple[float, Mapping[str, float]]], bringer: str, settled: float) -> bool:
    """Whether some likely enough answer would settle the bringer one way or the other."""
    return any(
        chance > 0.1 and not (settled < after[bringer] < 1.0 - settled) for chance, after in answers.values()
    )


def reasons_first(case: Assessment, confidence: Mapping[str, float]) -> list[Step]:
    """What settles why a cut-out opened, before the machine is run over it: it would open again. A reason that is
    known is put right; else what can be made without running the machine or opening it anew."""
    waiting: set[str] = set()
    known: set[str] = set()
    for name in case.not_run_since:
        bringers = _nearest_bringers(case.pack, name)
        sure = {each for each in bringers if confidence.get(each, 0.0) >= 1.0 - BRINGER_SETTLED}
        known |= sure
        if not sure and bringers.isdisjoint(case.repairs):
            waiting |= {each for each in bringers if confidence.get(each, 0.0) > REASON_SETTLED}
    if known:
        mend = plan.mendings(case.pack, confidence, price_list(case), case.access, case.pack.access_minutes)
        return [step for step in mend if step.target in known - case.declined]
    if not waiting:
        return []
    able = [
        item
        for item in case.pack.observations.values()
        if item.kind is not Kind.TOLD
        and case.need_of(item) is not Need.IN_USE
        and (item.need is not Need.OPEN_DEAD or case.access is Access.OPEN_DEAD)
        and case.askable(item)
        and case.available(item)
        and any(case.bears_on(item.id, bringer) for bringer in waiting)
    ]
    steps = [made_anyway(case, item) for item in able]
    likeliest = sorted(waiting, key=lambda name: -confidence[name])
    found = _settling(steps, case.outlook(step.target for step in steps), likeliest, REASON_SETTLED)
    # What can be looked at while it stands open comes before it is closed.
    return sorted(found, key=lambda step: step.access is not case.access)
