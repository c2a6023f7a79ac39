"""What comes next in a conversation: the one thing to ask for, chosen from the job, the gate and the case."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace
from types import MappingProxyType

from faultfinder.dialogue import present
from faultfinder.dialogue.safety_test import test_to_measure
from faultfinder.dialogue.say import Option, Said, caution, heading
from faultfinder.dialogue.talk import (
    AskAction,
    AskClose,
    AskComplaint,
    AskDangers,
    AskFact,
    AskGo,
    AskHandOver,
    AskPlate,
    AskRemedy,
    AskRemedyDone,
    AskStopped,
    AskTest,
    Current,
    Over,
    Talk,
    connected,
)
from faultfinder.dialogue.typed import name_of
from faultfinder.dialogue.words import minutes_text, say
from faultfinder.errors import Refused
from faultfinder.job.findings import open_findings as findings_open
from faultfinder.job.findings import titles as open_findings
from faultfinder.knowledge.bands import facts_to_ask
from faultfinder.knowledge.model import Fact, Need, Observation, Question
from faultfinder.reasoning.decision.grave import grave_titles
from faultfinder.reasoning.decision.step import Step, StepKind
from faultfinder.reasoning.evidence.answers import Given
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.reasoning.inference.conflict import conflict
from faultfinder.safety import gate as safety
from faultfinder.safety.gate import Gate

CONNECTION = Fact(
    "connection",
    say("connection_ask"),
    "choice",
    MappingProxyType({kind: say(f"connection_{kind}") for kind in safety.CONNECTIONS}),
)
"""How the machine is connected, for packs that do not ask it in words of their own."""
MEASURE = "measure"
"""Chosen: the return tests that were put off or failed are to be measured after all."""
CLOSE_STOPPED = "close:stopped"
"""Chosen: a stopped job is to end, once what is asked after a stop is answered."""
CLOSINGS = (
    ("fit_for_use", "close_fit"),
    ("left_isolated", "close_isolated"),
    ("handed_over", "close_handed"),
)


def item_of(talk: Talk, target: str) -> Observation | Question:
    pack = talk.job.pack
    return pack.questions[target] if target in pack.questions else pack.observations[target]


# -- what is asked next ---------------------------------------------------------------------------------


def next_current(talk: Talk) -> tuple[Talk, Current]:
    """The next thing to ask for; the talk comes back with what was wished for struck off once it is reached."""
    job = talk.job
    if job.closed is not None:
        return talk, Over()
    if talk.gate.stop:
        action = safety.asked_after_stop(talk.gate) if talk.chosen == CLOSE_STOPPED else None
        return talk, (AskAction(action.id, Need.ANYWHERE) if action else AskStopped())
    if talk.chosen == MEASURE:
        if (test := test_to_measure(talk)) is not None:
            return talk, test
        talk = replace(talk, chosen="")
    if talk.chosen.startswith("close:"):
        # Whoever wants to end is asked for nothing but what the ending hangs on.
        return closing_way(talk)
    if not talk.symptoms_done:
        return talk, AskComplaint()
    if not talk.dangers_done:
        return talk, AskDangers()
    for fact in required_facts(talk):
        return talk, AskFact(fact.id, True)
    if not talk.plate_done and not talk.case.outside and plate_facts(talk):
        return talk, AskPlate()
    wanted = talk.wanted
    if wanted is not None and not safety.permits(talk.gate, wanted):
        return way_to(talk, wanted)
    talk = replace(talk, wanted=None)
    if job.remedy is not None:
        return remedy_current(talk, job.remedy.cause)
    return step_current(talk)


def required_facts(talk: Talk) -> list[Fact]:
    """Facts that the job cannot go on without; none for a machine that is outside the pack anyway."""
    if talk.case.outside:
        return []
    return [
        fact
        for fact in talk.job.pack.facts.values()
        if fact.required and fact.id not in talk.job.facts and possible(fact.applies, talk.case.facts)
    ]


def plate_facts(talk: Talk) -> list[Fact]:
    """Facts that could be known by now and are not; for the one line that asks for all of them."""
    return [
        fact
        for fact in talk.job.pack.facts.values()
        if fact.id not in talk.job.facts and possible(fact.applies, talk.case.facts)
    ]


PLATE_AT_ONCE = 9
"""How many facts the plate question names; chosen for a small screen. The others are asked when they matter."""


def on_the_plate(talk: Talk) -> list[Fact]:
    """The facts to name when the plate is read: those that stand on it, else the first ones."""
    facts = plate_facts(talk)
    there = [fact for fact in facts if "plate" in fact.where.casefold()]
    return (there or facts)[:PLATE_AT_ONCE]


def way_to(talk: Talk, need: Need) -> tuple[Talk, Current]:
    """The next action of the way to a need, or the fact that the way hangs on; no way: choose another step."""
    try:
        current = on_the_way(talk.gate, need)
    except Refused:
        return step_current(replace(talk, wanted=None, chosen="", case=talk.case))
    return step_current(replace(talk, wanted=None)) if current is None else (talk, current)


def on_the_way(gate: Gate, need: Need) -> AskAction | AskFact | None:
    """What is asked next on the way to a need: how the machine is connected where the way hangs on it, else the next
    action; None when the need is permitted. Raises Refused, saying why, where no way leads there."""
    if not gate.connection and not safety.permits(gate, need) and _needs_cutting(gate, need):
        return AskFact("connection", True)
    action = safety.next_action(gate, need)
    return None if action is None else AskAction(action.id, need)


def _needs_cutting(gate: Gate, need: Need) -> bool:
    """Whether the supply is cut on the way to a need, if it can be cut at all."""
    try:
        return any(action.id == "switched_off" for action in safety.way(connected(gate), need))
    except Refused:
        return False


def fact_of(talk: Talk, name: str) -> Fact:
    """A fact to ask for; how the machine is connected is asked of every machine, whatever its pack says."""
    fact = talk.job.pack.facts.get(name)
    return fact if fact is not None else CONNECTION


def offered(talk: Talk) -> list[Step]:
    """The steps worth doing that the person has not declined."""
    if talk.case.declined != talk.declined:
        talk.case.declined = talk.declined
    return [step for step in talk.case.steps() if step.target not in talk.declined]


def need_of_step(talk: Talk, step: Step) -> Need | None:
    """The access that a test needs; None for any other kind of step."""
    return talk.case.need_of(item_of(talk, step.target)) if can_be_asked(talk, step.target) else None


def next_step(talk: Talk) -> Step | None:
    """The step to put to the person: the one they chose, else the best that is not a mere change of access."""
    open_steps = offered(talk)
    for step in open_steps:
        if step.target == talk.chosen:
            return step
    return next((step for step in open_steps if step.kind is not StepKind.CHANGE_ACCESS), None)


def step_current(talk: Talk) -> tuple[Talk, Current]:
    if talk.chosen and not talk.chosen.startswith("close:") and can_be_asked(talk, talk.chosen):
        chosen = next((step for step in offered(talk) if step.target == talk.chosen), None)
        return test_current(talk, talk.chosen, proof=chosen is not None and chosen.kind is StepKind.PROVE)
    step = next_step(talk)
    if step is None:
        return talk, AskClose()
    match step.kind:
        case StepKind.PUT_RIGHT:
            if safety.remedy_need(talk.job.pack.causes[step.target]) in talk.case.unreachable:
                return talk, AskHandOver(step.target)
            return talk, AskRemedy(step.target)
        case StepKind.HAND_OVER:
            return talk, (AskClose() if talk.case.outside else AskHandOver(step.target))
        case _:
            return test_current(talk, step.target, proof=step.kind is StepKind.PROVE)


def can_be_asked(talk: Talk, target: str) -> bool:
    pack = talk.job.pack
    return target in pack.questions or target in pack.observations


def test_current(talk: Talk, target: str, *, proof: bool) -> tuple[Talk, Current]:
    """A test: first the access it needs, then the facts that its limits hang on, then the test itself."""
    item = item_of(talk, target)
    need = talk.case.need_of(item)
    if not safety.permits(talk.gate, need):
        if talk.wanted is need:
            return way_to(talk, need)
        return talk, AskGo(need, target)
    if isinstance(item, Observation) and item.reading is not None:
        for name in facts_to_ask(talk.job.pack, item, talk.case.facts):
            if name not in talk.job.facts and name not in talk.facts_asked:
                return talk, AskFact(name, False)
    return talk, AskTest(target, proof)


def remedy_current(talk: Talk, cause: str) -> tuple[Talk, Current]:
    need = safety.remedy_need(talk.job.pack.causes[cause])
    if not safety.permits(talk.gate, need):
        if need in talk.case.unreachable:
            return talk, AskRemedyDone(cause)
        return way_to(replace(talk, wanted=need), need)
    return talk, AskRemedyDone(cause)


def finding_to_repeat(talk: Talk) -> str:
    """What is measured or looked at next because of an unsafe finding that stands, before the machine can be called
    fit for use; empty where nothing stands or nothing of it can be asked here."""
    for finding in findings_open(talk.job):
        for name in (*finding.tests, finding.observation):
            item = talk.job.pack.observations[name]
            if not possible(item.applies, talk.case.facts) or name in talk.declined:
                continue
            if talk.case.need_of(item) not in talk.case.unreachable:
                return name
    return ""


def closing_way(talk: Talk) -> tuple[Talk, Current]:
    """On the way to a way of closing: the actions that it still needs."""
    closing = talk.chosen.removeprefix("close:")
    if closing == "fit_for_use" and (again := finding_to_repeat(talk)):
        return test_current(replace(talk, chosen=again), again, proof=True)
    need = need_to_close(talk.gate, closing, unsafe(talk))
    if safety.may_close(talk.gate, closing, unsafe(talk)):
        still = complaints_to_ask(talk) if closing == "fit_for_use" else []
        return (talk, AskTest(still[0], True)) if still else (talk, AskClose())
    try:
        current = on_the_way(talk.gate, need)
    except Refused:
        current = None
    return (replace(talk, chosen=""), AskClose()) if current is None else (talk, current)


def need_to_close(gate: Gate, closing: str, unsafe: Collection[str] = ()) -> Need:
    """The access that a way of closing asks for; `unsafe`: what was found that makes the machine unfit."""
    if closing == "fit_for_use":
        return Need.IN_USE
    if closing == "handed_over" and not gate.covers_off and safety.must_be_cut(gate, unsafe):
        return Need.ISOLATED
    return Need.COVERS_ON if closing == "handed_over" or gate.covers_off else Need.ISOLATED


def latest(talk: Talk) -> list[Given]:
    """The answers that can be corrected: the latest one to each observation, in the order first answered."""
    names = dict.fromkeys(given.observation for given in talk.case.answers)
    return [given for name in names if (given := talk.case.latest(name)) is not None]


def complaints_to_ask(talk: Talk) -> list[str]:
    """What the customer complained of, not looked at again since something was put right."""
    out = []
    for name in dict.fromkeys(given.observation for given in talk.case.answers):
        item, given = talk.job.pack.observations[name], talk.case.latest(name)
        assert given is not None
        if not item.symptom or given.epoch == talk.case.epoch or name in talk.case.skipped:
            continue
        if talk.case.judged(given).answer != item.healthy:
            out.append(name)
    return out


def still_complained_of(talk: Talk, names: Iterable[str]) -> bool:
    """Whether one of these symptoms is still there."""
    for name in names:
        item, given = talk.job.pack.observations[name], talk.case.latest(name)
        if item.symptom and given is not None and talk.case.judged(given).answer != item.healthy:
            return True
    return False


def unsafe(talk: Talk) -> list[str]:
    """What makes the machine unfit: grave faults that stand above even chance now, one by one or together, and
    findings that are a hazard in themselves, for people."""
    return [*grave_titles(talk.case), *open_findings(talk.job)]


def actions_left(gate: Gate, need: Need) -> int:
    """How many actions the way to a need still has; 1 where it begins and does not lead there to the end."""
    try:
        return len(safety.way(gate, need))
    except Refused:
        return 1


def changes(talk: Talk, before: dict[str, float], said: list[Said]) -> tuple[Talk, list[Said]]:
    """After an answer, what it came to, and under it: the faults that it moved, a conflict where there is a new one,
    and the status line."""
    out = [*said, *present.bar_items(talk, before)]
    clash = conflict(talk.case)
    fits_least = clash.fits_least if clash is not None else ""
    if fits_least and fits_least != talk.clash:
        out.append(caution(say("conflict", name=name_of(fits_least))))
        if talk.case.answers_doubted:
            out.append(caution(say("count_less")))
    return replace(talk, clash=fits_least), [*out, present.status(talk)]


def steps_said(talk: Talk) -> list[Said]:
    said: list[Said] = [heading(say("steps_head"))]
    for number, step in enumerate(doable(talk), 1):
        minutes, worth = minutes_text(step.minutes), minutes_text(step.worth)
        key = "step_line_last" if step.last else "step_line"
        text = say(key, title=step.title.rstrip("?."), minutes=minutes, worth=worth)
        said.append(Option(number, f"do {number}", text))
    return said


def doable(talk: Talk) -> list[Step]:
    """The steps a person can choose from, in the order shown."""
    return [step for step in offered(talk) if step.kind is not StepKind.CHANGE_ACCESS][:8]
