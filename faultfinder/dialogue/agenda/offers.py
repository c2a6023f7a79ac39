"""What there is to do now, as the job, the gate and the case have it: the steps on offer, and what they hang on."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from types import MappingProxyType

from faultfinder.dialogue.say import Said, caution
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Reply, Talk, connected
from faultfinder.errors import Refused
from faultfinder.job.events import Event
from faultfinder.job.findings import open_findings as findings_open
from faultfinder.job.findings import titles as open_findings
from faultfinder.knowledge.formulas.bands import facts_to_ask
from faultfinder.knowledge.model import Fact, Need, Observation, Question
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.grave import grave_titles
from faultfinder.reasoning.decision.last_round import closing_readings
from faultfinder.reasoning.decision.step import Step, StepKind
from faultfinder.reasoning.evidence.answers import Given
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.reasoning.inference.conflict import conflict
from faultfinder.safety import gate as safety
from faultfinder.safety.gate import Gate
from faultfinder.text.catalogue import say

CLOSE_STOPPED = "close:stopped"
"""Chosen: a stopped job is to end, once what is asked after a stop is answered."""
CLOSINGS = (
    ("fit_for_use", "close_fit"),
    ("left_isolated", "close_isolated"),
    ("handed_over", "close_handed"),
)


def item_of(talk: Talk, target: str) -> Observation | Question:
    """The question or observation; of a list in which several are ticked only what this machine can have."""
    pack = talk.pack
    if (item := pack.questions.get(target)) is None:
        return pack.observations[target]
    facts = talk.case.facts
    fitting = tuple(
        choice
        for choice in item.choices
        if any(possible(pack.observations[name].applies, facts) for name in choice.sets)
    )
    alike = len(fitting) == len(item.choices) or not fitting or not item.several
    return item if alike else replace(item, choices=fitting)


def can_be_asked(talk: Talk, target: str) -> bool:
    return target in talk.pack.questions or target in talk.pack.observations


def fact_behind_last(talk: Talk) -> tuple[str, str] | None:
    """A fact that the last reading cannot be told for sure without, and the reading: what is marked on a part is in
    sight where it was measured. One a reading, and none twice."""
    last = next(reversed(talk.case.answers), None)
    if last is None or last.reading is None or not talk.case.judged(last).on_the_edge:
        return None
    behind = facts_to_ask(talk.pack, talk.pack.observations[last.observation], talk.case.facts)
    if not behind or any(name in talk.facts_asked or name in talk.job.facts for name in behind):
        return None
    return behind[0], last.observation


def fact_of(talk: Talk, name: str) -> Fact:
    """A fact to ask for; how the machine is connected is asked of every machine, whatever its pack says."""
    if (fact := talk.pack.facts.get(name)) is not None:
        return fact
    ways = {kind: say(f"connection_{kind}") for kind in safety.CONNECTIONS}
    return Fact("connection", say("connection_ask"), "choice", MappingProxyType(ways))


def unknown_facts(talk: Talk) -> list[Fact]:
    """Facts that this machine has and that are not known."""
    facts = talk.pack.facts.values()
    return [
        each for each in facts if each.id not in talk.job.facts and possible(each.applies, talk.case.facts)
    ]


def offered(talk: Talk) -> list[Step]:
    """The steps worth doing that the person has not declined."""
    if talk.case.declined != talk.declined:
        talk.case.declined = talk.declined
    return [step for step in talk.case.steps() if step.target not in talk.declined]


def step_to(talk: Talk, target: str) -> Step | None:
    """The step on offer that has this target."""
    return next((step for step in offered(talk) if step.target == target), None)


def next_step(talk: Talk) -> Step | None:
    """The step to put to the person: the one they chose, else the best that is not a mere change of access."""
    best = (step for step in offered(talk) if step.kind is not StepKind.CHANGE_ACCESS)
    return step_to(talk, talk.chosen) or next(best, None)


def put_off(talk: Talk) -> str:
    """A fault that stands as found and whose remedy was put off, to be offered once more; empty for none."""
    now, over = talk.case.confidence(), talk.offered_again.union(talk.job.declined)
    waiting = [name for name in talk.declined & now.keys() if name not in over and now[name] > FOUND]
    return max(waiting, key=lambda name: now[name], default="")


def doable(talk: Talk) -> list[Step]:
    """The steps a person can choose from, in the order shown."""
    return [step for step in offered(talk) if step.kind is not StepKind.CHANGE_ACCESS][:8]


# -- ways -----------------------------------------------------------------------------------------------


def need_to_close(gate: Gate, closing: str, unfit: Collection[str] = ()) -> Need:
    """The access that a way of closing asks for; `unfit`: what was found that makes the machine unfit."""
    if closing == "fit_for_use":
        return Need.IN_USE
    if closing == "handed_over" and not gate.covers_off and safety.must_be_cut(gate, unfit):
        return Need.ISOLATED
    return Need.COVERS_ON if closing == "handed_over" or gate.covers_off else Need.ISOLATED


def finding_to_repeat(talk: Talk) -> str:
    """What is measured or looked at next because of an unsafe finding that stands, before the machine can be called
    fit for use; empty where nothing stands or nothing of it can be asked here."""
    findings = findings_open(talk.job)
    # All that is measured comes first: what tries one of them again may try the others with it.
    tests = [name for finding in findings for name in finding.tests]
    for name in (*tests, *(name for finding in findings for name in finding.again)):
        item = talk.pack.observations[name]
        if possible(item.applies, talk.case.facts) and _to_be_had(talk, item):
            return name
    return ""


def _to_be_had(talk: Talk, item: Observation | Question) -> bool:
    """Whether it is not declined and a way leads to it."""
    return item.id not in talk.declined and talk.case.need_of(item) not in talk.case.unreachable


def closing_reading(talk: Talk) -> str:
    """What is measured or looked at before a job that began so can be called fit for use; empty where nothing is
    owed, or nobody here can."""
    targets = (step.target for step in closing_readings(talk.case))
    return next((name for name in targets if _to_be_had(talk, item_of(talk, name))), "")


def hangs_on_connection(gate: Gate, need: Need) -> bool:
    """Whether the way to a need is another one for another connection, which is not known."""
    if gate.connection or safety.permits(gate, need):
        return False
    try:
        return any(action.id == "switched_off" for action in safety.way(connected(gate), need))
    except Refused:
        return False


# -- answers --------------------------------------------------------------------------------------------


def latest(talk: Talk) -> list[Given]:
    """The answers that can be corrected: the latest one to each observation, in the order first answered."""
    names = dict.fromkeys(given.observation for given in talk.case.answers)
    return [given for name in names if (given := talk.case.latest(name)) is not None]


def complaints(talk: Talk) -> list[str]:
    """What the job began with: the symptoms told before anything was asked, looked at or measured."""
    told = dict.fromkeys(each.name for each in talk.job.given if each.complaint)
    return [name for name in told if name in talk.pack.observations]


def complaints_to_try(talk: Talk) -> list[str]:
    """What the customer complained of, not tried again at the machine since something was last put right. Whoever
    could not try it said so."""
    out = []
    for name in complaints(talk):
        item, given = talk.pack.observations[name], talk.case.latest(name)
        if given is None or name in talk.case.skipped or item.sets_the_scene or was_tried(talk, name):
            continue
        if talk.case.amiss(given) or given.epoch != talk.case.epoch:
            out.append(name)
    return out


def was_tried(talk: Talk, name: str) -> bool:
    """Whether the complaint was told again after the last thing that was put right."""
    for each in reversed(talk.job.given):
        if each.kind == "put_right" or (each.kind == "answer" and each.name == name and not each.complaint):
            return each.kind == "answer"
    return False


def still_there(talk: Talk, name: str) -> bool:
    """Whether its last answer is an abnormal one."""
    given = talk.case.latest(name)
    return given is not None and talk.case.amiss(given)


def unsafe(talk: Talk) -> list[str]:
    """What makes the machine unfit: grave faults that stand above even chance now, one by one or together, and
    findings that are a hazard in themselves, for people."""
    return [*grave_titles(talk.case), *open_findings(talk.job)]


def changes(talk: Talk, before: dict[str, float], events: list[Event], said: Sequence[Said]) -> Reply:
    """After an answer, what it came to, and under it the faults that it moved, and a conflict where there is a new
    one."""
    out = [*said, *present.bar_lines(talk.case, before)]
    clash = conflict(talk.case)
    fits_least = clash.fits_least if clash is not None else ""
    if fits_least and fits_least != talk.clash:
        out.append(present.clash_line(talk.case, fits_least))
        if talk.case.answers_doubted:
            out.append(caution(say("count_less")))
    return replace(talk, clash=fits_least), events, out
