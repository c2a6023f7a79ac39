"""What brought a found fault on: a cut-out that is replaced over a blocked vent opens again."""

from __future__ import annotations

from collections.abc import Iterable

from faultfinder.knowledge.model import Access, Kind, Need, Observation, Pack
from faultfinder.reasoning import constants
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.imagined import Imagined
from faultfinder.reasoning.decision.scope import price_list
from faultfinder.reasoning.decision.step import Step
from faultfinder.reasoning.decision.test_selection import made_anyway, mendings
from faultfinder.reasoning.inference.assessment import Assessment


def unsettled_bringers(case: Assessment) -> dict[str, str]:
    """Causes that may have brought on a fault that was found and are neither ruled out nor taken as there:
    bringer -> the fault. A cut-out that is replaced over a blocked vent opens again."""
    out: dict[str, str] = {}
    begin, confidence = case.found(), case.confidence()
    known = dict.fromkeys([*(name for name, p in begin.items() if p > FOUND), *case.remedies])
    for name in known:
        for bringer in sorted(_nearest_bringers(case.pack, name)):
            if constants.SETTLED < confidence.get(bringer, 0.0) < 1.0 - constants.SETTLED:
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


def tests_of_bringers(case: Assessment, imagined: Imagined) -> list[Step]:
    """When nothing else is worth its minutes: the cheapest test that settles what brought a found fault on."""
    unsettled = unsettled_bringers(case)
    return _settling(case, imagined, unsettled, case.pack.observations.values()) if unsettled else []


def _settling(
    case: Assessment, imagined: Imagined, bringers: Iterable[str], items: Iterable[Observation]
) -> list[Step]:
    """For each of the bringers what settles it in the fewest minutes, if anything does; each step once."""
    able = [item for item in items if case.offers(item)]
    out: list[Step] = []
    for bringer in bringers:
        telling = [
            item
            for item in able
            if bringer in imagined.behind[item.id] and _settles(imagined, item.id, bringer)
        ]
        steps = [made_anyway(case, item) for item in telling]
        if steps:
            out.append(min(steps, key=lambda step: step.minutes))
    return list(dict.fromkeys(out))


def _settles(imagined: Imagined, name: str, bringer: str) -> bool:
    """Whether some likely enough answer would settle the bringer one way or the other."""
    settled = constants.SETTLED
    return any(
        size > settled * imagined.count and not settled < there / size < 1.0 - settled
        for size, there in imagined.after(name, bringer)
    )


def reasons_first(case: Assessment, imagined: Imagined) -> list[Step]:
    """What settles why a cut-out opened, before the machine is run over it: it would open again. A reason that is
    known is put right; else what can be made without running the machine or opening it anew."""
    confidence = case.confidence()
    waiting: set[str] = set()
    known: set[str] = set()
    for name in case.not_run_since:
        bringers = _nearest_bringers(case.pack, name)
        sure = {each for each in bringers if confidence.get(each, 0.0) >= 1.0 - constants.SETTLED}
        known |= sure
        if not sure and bringers.isdisjoint(case.repairs):
            waiting |= {each for each in bringers if confidence.get(each, 0.0) > constants.SETTLED}
    if known:
        mends = {name: {name, *cause.also_mends} for name, cause in case.pack.causes.items()}
        return [step for step in mendings(case, price_list(case)) if known & mends[step.target]]
    if not waiting:
        return []
    able = [
        item
        for item in case.pack.observations.values()
        if item.kind is not Kind.TOLD
        and case.need_of(item) is not Need.IN_USE
        and (item.need is not Need.OPEN_DEAD or case.access is Access.OPEN_DEAD)
    ]
    found = _settling(case, imagined, sorted(waiting, key=lambda name: -confidence[name]), able)
    # What can be looked at while it stands open comes before it is closed.
    return sorted(found, key=lambda step: step.access is not case.access)
