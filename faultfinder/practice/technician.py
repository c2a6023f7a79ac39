"""Somebody who works through a job on a practice machine, step by step, under the safety rules of a real one.

Every move is an event of the job, applied by the job's own rules: access is walked action by action, instructions
are given only where they may be, return tests are made and can fail. So a finished job leaves a record that the
independent reader can judge. What to do next is the business of a policy (policies.py).
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from faultfinder.errors import FaultFinderError, Refused
from faultfinder.job import events as happened
from faultfinder.job.events import ACCESS_NOT_CONFIRMED, Event
from faultfinder.job.findings import not_to_be_run, open_findings, titles
from faultfinder.job.state import JobState, apply, begin
from faultfinder.job.told import take
from faultfinder.knowledge.formulas.bands import facts_to_ask
from faultfinder.knowledge.model import Access, Need, Observation, Question
from faultfinder.practice.answering import Witness
from faultfinder.practice.draw import PracticeJob, readable_facts
from faultfinder.practice.machine import Machine, PracticeError
from faultfinder.practice.making import draw_fault
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.grave import grave_titles
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import RETURN_TESTS, Action
from faultfinder.safety.dangers import denied_by_none, symptoms_asked
from faultfinder.text.catalogue import say

DISTURBED = 0.03
"""Chance that somebody who has had a machine open leaves something off; chosen."""
MOST_STEPS = 150
OUR_WORK = "our_own_work"


@dataclass(frozen=True, slots=True)
class PathStep:
    """One step of a job as it went. kind: ask, put right, hand over. found: what came out. minutes: at its end.
    worth: minutes that the tool expected it to save, where the tool chose it."""

    kind: str
    target: str
    title: str
    found: str
    minutes: float
    worth: float = 0.0


@dataclass
class Work:
    """A job under way on a practice machine. Grows by `happen`; the numbers are counted for the score."""

    job: PracticeJob
    machine: Machine
    state: JobState
    case: Case
    chance: random.Random
    witness: Witness
    events: list[Event]
    fed: int = 0
    steps: int = 0
    declined: frozenset[str] = frozenset()
    handed: tuple[str, ...] = ()
    mended: tuple[str, ...] = ()
    for_nothing: tuple[str, ...] = ()
    parts_for_nothing: int = 0
    bad_actions: frozenset[str] = frozenset()
    path: list[PathStep] = field(default_factory=list)

    # -- events ----------------------------------------------------------------------------------------

    def happen(self, event: Event) -> None:
        """Let an event happen: to the job, its record and the case."""
        was = self.state
        self.state = apply(self.state, event)
        self.events.append(event)
        for given in self.state.given[self.fed :]:
            take(self.case, given)
        self.fed = len(self.state.given)
        if self.state.gate is not was.gate:
            self.case.access = self.state.gate.access
            self._looked_after(was)
        if self.state.gate is not was.gate or self.state.given is not was.given:
            self.case.unreachable = out_of_reach(self.state) | not_to_be_run(self.state, self.case)

    def _looked_after(self, was: JobState) -> None:
        """What changes on the machine itself when it is closed up or run again."""
        now = self.state.gate
        if was.gate.covers_off and not now.covers_off and self.chance.random() < DISTURBED:
            self._arises(OUR_WORK)
        if now.access is Access.IN_USE and was.gate.access is not Access.IN_USE:
            for cause in dict.fromkeys(self.mended):
                note = self.machine.description.faults.get(cause)
                if note is None or note.returns_when is None or cause in self.machine.causes:
                    continue
                if self.machine.holds(note.returns_when):
                    self._arises(cause)

    def _arises(self, cause: str) -> None:
        if cause in self.machine.description.faults and cause not in self.machine.causes:
            try:
                fault = draw_fault(self.machine, cause, self.chance)
            except PracticeError:
                return
            self.machine = self.machine.with_faults((*self.machine.faults, fault))

    # -- moves -----------------------------------------------------------------------------------------

    def reach(self, need: Need) -> bool:
        """Walk to the access that is needed, action by action; False where no way leads there."""
        for _ in range(80):
            try:
                action = safety.next_action(self.state.gate, need)
            except Refused:
                return False
            if action is None:
                return True
            if not self.act(action):
                return False
        return False

    def confirm(self, action: Action) -> str:
        """Do one safety action: the id of its outcome."""
        outcome = self.machine.outcome(action)
        done = happened.ReturnTested if action.id in RETURN_TESTS else happened.Confirmed
        self.happen(done(action.id, outcome))
        return outcome

    def act(self, action: Action) -> bool:
        """Do one safety action; False where it keeps going wrong."""
        if self.confirm(action) == action.outcomes[0].id:
            return True
        again = action.id in self.bad_actions
        self.bad_actions |= {action.id}
        note = self.machine.description.actions.get(action.id)
        for name in note.tells if note else ():
            item = self.state.pack.observations[name]
            if self.case.askable(item) and safety.permits(self.state.gate, item.need):
                self.answer(item)
        return not again and not self.state.gate.stop

    def ask(self, target: str, worth: float = 0.0) -> None:
        """Make an observation or put a question; what cannot be made is passed over."""
        pack = self.state.pack
        item: Observation | Question = pack.questions.get(target) or pack.observations[target]
        self.steps += 1
        before = len(self.state.given)
        there = self.reach(self.case.need_of(item))
        if there:
            self.looked_up(item)
        if there and not possible(item.applies, self.case.facts):
            pass  # the machine has none of it, and what it has is known from here on
        elif not there or self.machine.cannot(target):
            self.skip(target)
        else:
            self.observe(item)
        self.noted("ask", target, item.ask, "; ".join(self.told_since(before)), worth)

    def looked_up(self, item: Observation | Question) -> None:
        """What the test hangs on is seen where it is made: whether the machine has such a part at all, and what a
        reading is held against, as often as that is to be had there."""
        known = readable_facts(self.machine)
        seen = [name for name in item.applies if name in self.state.pack.facts]
        if isinstance(item, Observation) and item.reading is not None:
            asked = facts_to_ask(self.state.pack, item, self.case.facts)
            seen += [name for name in asked if self.machine.told_when_asked(name)]
        for name in seen:
            if name not in self.state.facts and name in known:
                self.happen(happened.FactGiven(name, known[name]))

    def observe(self, item: Observation | Question) -> None:
        """Make an observation whose access is there: its instruction is given, what is found recorded."""
        if item.need not in (Need.ANYWHERE, Need.COVERS_ON):
            safety.instruction_for_observation(self.state.gate, item)
            self.happen(happened.Advised(item.id, item.need.value))
        if isinstance(item, Observation):
            self.answer(item)
            return
        choices = self.witness.choices(self.machine, item, self.chance, self._said(item))
        self.happen(happened.Chosen(item.id, choices, self._access(item.need)))
        for name, answer in self.case.choices(item, choices).items():
            self._danger(name, answer)

    def _said(self, question: Question) -> dict[str, str]:
        """What was told since anything was changed: nobody takes it back for being asked again in other words."""
        if question.need is not Need.ANYWHERE:
            return {}
        told = {}
        for name in question.observations:
            given = self.case.latest(name)
            if given is not None and given.epoch == self.case.epoch:
                told[name] = self.case.judged(given).answer
        return told

    def noted(self, kind: str, target: str, title: str, found: str, worth: float = 0.0) -> None:
        self.path.append(PathStep(kind, target, title, found, round(self.state.minutes, 1), worth))

    def told_since(self, before: int) -> list[str]:
        """What was recorded since so many givens, as a person reads it."""
        pack = self.state.pack
        out = []
        for given in self.state.given[before:]:
            if given.kind == "skip":
                out.append(say("exercise_could_not_done"))
            elif given.kind == "answer" and (question := pack.questions.get(given.name)) is not None:
                values = given.value if isinstance(given.value, tuple) else (given.value,)
                texts = [choice.text for choice in question.choices if choice.id in values]
                out += texts or [say("none_of_these")]
            elif given.kind == "answer":
                item, value = pack.observations[given.name], str(given.value)
                text = next((answer.text for answer in item.answers if answer.id == value), value)
                bare = item.reading is not None and text == value != "OL" and " " not in value
                out.append(f"{value} {item.reading.unit}" if bare and item.reading else text)
        return out

    def answer(self, item: Observation) -> None:
        """Record what is found, with its danger sign."""
        found = self.witness.answer(self.machine, item.id, self.chance)
        access, inside = self._access(item.need), item.need is Need.OPEN_DEAD
        if item.reading is not None:
            self.happen(happened.Answered(item.id, reads=found, access=access, inside=inside))
        else:
            self.happen(happened.Answered(item.id, found, access=access, inside=inside))
            self._danger(item.id, found)

    def _access(self, need: Need) -> str:
        """How the access of an answer is recorded: nothing for what needs none, else confirmed here or not."""
        if need is Need.ANYWHERE:
            return ""
        return str(self.state.gate.access) if safety.permits(self.state.gate, need) else ACCESS_NOT_CONFIRMED

    def _danger(self, name: str, answer: str) -> None:
        sign = self.state.pack.observations[name].danger.get(answer)
        if sign and not self.state.gate.stop:
            self.happen(happened.DangerSeen(sign))

    def skip(self, target: str, because: str = "cannot_here") -> None:
        self.happen(happened.Skipped(target, because))

    def put_right(self, cause: str) -> None:
        """Carry out a remedy, for good or for nothing."""
        item = self.state.pack.causes[cause]
        self.steps += 1
        if not self.reach(safety.remedy_need(item)):
            self.declined |= {cause}
            return
        need = safety.remedy_need(item)
        safety.instruction_for_remedy(self.state.gate, item)
        self.happen(happened.Advised(cause, need.value, item.remedy))
        self.happen(happened.RemedyStarted(cause, item.minutes, item.remedy))
        mended = self.machine.without(cause)
        # A part renewed under another name of its fault is not renewed for nothing.
        there = mended.faults != self.machine.faults
        if there and self.chance.random() < item.takes:
            self.machine = mended
        if not there:
            self.for_nothing += (cause,)
            self.parts_for_nothing += item.part_costs > 0
        self.mended += (cause,)
        self.bad_actions = frozenset()
        self.declined = frozenset(self.handed)
        inside = need is Need.OPEN_DEAD
        self.happen(happened.PutRight(cause, self._access(need), inside, item.touches_electrics, item.remedy))
        self._worked("put right", cause, there=there)

    def _worked(self, kind: str, cause: str, *, there: bool) -> None:
        found = say("technician_there") if there else say("technician_for_nothing")
        self.noted(kind, cause, self.state.pack.causes[cause].remedy, found)

    def hand_over(self, cause: str) -> None:
        """Name a fault for a licensed person."""
        self.steps += 1
        self.handed += (cause,)
        self.declined |= {cause}
        remedy = self.state.pack.causes[cause].remedy
        self.happen(happened.Noted(say("technician_for_licensed_person", remedy=remedy)))
        self._worked(say("technician_hand_over"), cause, there=cause in self.machine.causes)

    # -- the end ---------------------------------------------------------------------------------------

    def complaints_left(self) -> list[str]:
        """Complaints that were not looked at again since something was put right."""
        left = []
        for name in dict.fromkeys(given.observation for given in self.case.answers):
            item, given = self.state.pack.observations[name], self.case.latest(name)
            assert given is not None
            if not item.symptom or given.epoch == self.case.epoch or name in self.case.skipped:
                continue
            if self.case.judged(given).answer != item.healthy:
                left.append(name)
        return left

    def unsafe(self) -> list[str]:
        """What makes the machine unfit: grave faults above even chance, alone or together, and unsafe findings."""
        return [*grave_titles(self.case), *titles(self.state)]

    def close(self, *, last: bool = False) -> bool:
        """End the job as well as it can be ended. False: what was complained of was looked at again first (`last`:
        it is not)."""
        if not last and not self.state.gate.stop and not self.handed and (again := self._looked_at_again()):
            for name in again:
                self.ask(name)
            return False
        if self.state.gate.access is Access.IN_USE and not self.handed:
            if safety.may_close(self.state.gate, "fit_for_use", self.unsafe()):
                self._closed("fit_for_use")
                return True
        if self.state.gate.stop:
            for action in safety.open_actions(self.state.gate):
                self.happen(happened.Confirmed(action.id, "cannot"))
            self._closed("handed_over" if self.state.gate.stop == "voltage" else "left_isolated")
            return True
        closing = "handed_over" if self.handed else "left_isolated"
        self.reach(Need.COVERS_ON)
        # A grave fault that was handed on is named at the close, whatever was found later.
        causes = [self.state.pack.causes[name] for name in self.handed if name not in self.mended]
        handed = [cause.title for cause in causes if cause.hazard.grave]
        if closing == "left_isolated" or safety.must_be_cut(self.state.gate, [*self.unsafe(), *handed]):
            self.reach(Need.ISOLATED)
        self._closed(closing)
        return True

    def _looked_at_again(self) -> list[str]:
        """What is looked at again before the end: what was complained of, else what is behind an unsafe finding."""
        if not self.unsafe() and self.reach(Need.IN_USE) and (left := self.complaints_left()):
            return left
        findings = open_findings(self.state)
        tests = [name for finding in findings for name in finding.tests]
        return list(dict.fromkeys((*tests, *(name for finding in findings for name in finding.again))))

    def _closed(self, closing: str) -> None:
        begin_with = self.case.found()
        named = [
            name
            for name, chance in begin_with.items()
            if chance > FOUND or name in self.state.put_right or name in self.handed
        ]
        named.sort(key=lambda name: -begin_with[name])
        minutes = round(self.state.minutes, 1)
        try:
            self.happen(happened.Closed(closing, tuple(named), (), minutes))
        except Refused:
            self.happen(happened.Closed("handed_over", tuple(named), (), minutes))


def out_of_reach(state: JobState) -> frozenset[Need]:
    """Access that no way leads to from here; an unknown connection is taken as a plug."""
    gate = state.gate if state.gate.connection else replace(state.gate, connection="plug")
    out = set()
    for need in Need:
        try:
            safety.way(gate, need)
        except Refused:
            out.add(need)
    return frozenset(out)


def arrive(job: PracticeJob, wrong: float = 0.0, salt: str = "") -> Work:
    """The job begins: the facts known, the complaint and its danger signs are taken down."""
    pack, chance = job.machine.pack, random.Random(f"work:{job.seed}:{salt}")
    work = Work(job, job.machine, begin(pack), Case(pack), chance, Witness(wrong), [])
    work.happen(happened.Opened(pack.name, pack.version, pack.fingerprint))
    for name, value in job.facts.items():
        work.happen(happened.FactGiven(name, value))
    tell(work, job.complaint.items())
    danger_list(work)
    work.case.unreachable = out_of_reach(work.state)
    return work


def danger_list(work: Work) -> None:
    """The danger list is put: its symptoms are told, or denied with it. It is one answer; who errs says 'none'."""
    forgets = work.witness.wrong > 0 and work.chance.random() < work.witness.wrong
    pack = work.machine.pack
    denied = {item.id for item in denied_by_none(pack)}
    for item in symptoms_asked(pack):
        answer = item.healthy if forgets else work.machine.answer(item.id)
        met = answer != item.healthy
        if work.machine.applies(item) and work.case.latest(item.id) is None and (met or item.id in denied):
            tell(work, [(item.id, answer)])


def tell(work: Work, complaint: Iterable[tuple[str, str]]) -> None:
    """Take down what the owner says. A reading never stands among it."""
    for name, answer in complaint:
        try:
            work.happen(happened.Answered(name, answer, access=""))
        except FaultFinderError:
            continue
        work._danger(name, answer)
