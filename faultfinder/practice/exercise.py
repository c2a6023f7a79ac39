"""An exercise: an apprentice works on a practice machine alone, without advice; time runs; what is unsafe ends it.

The apprentice chooses everything: what to ask, which safety action comes next, what to put right, how to leave the
machine. Nothing is refused politely as in a real job: reaching into a connected machine, or connecting one that
must not be, ends the exercise with the reason. What is merely out of order costs a mark. Every move that is made
is an event of a job, so the record can be judged and replayed like any other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from faultfinder.errors import FaultFinderError, Refused, UnknownName
from faultfinder.job import events as happened
from faultfinder.job.findings import titles
from faultfinder.knowledge.model import Access, Cause, Need, Observation, Question
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.practice.draw import PracticeJob, owners_words
from faultfinder.practice.technician import Work, arrive
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import ACTIONS, Action
from faultfinder.text.catalogue import say

CLOSINGS = safety.CLOSINGS


@dataclass(frozen=True, slots=True)
class Mark:
    """A thing done out of order, or forgotten: when (minutes into the job) and what."""

    minutes: float
    what: str


@dataclass(frozen=True, slots=True)
class ExerciseReply:
    """What the apprentice is told after a move. ended: the exercise is over. done: it was made, and went well.
    unsafe: the first line says what was done that can hurt."""

    lines: tuple[str, ...]
    ended: bool = False
    done: bool = True
    unsafe: bool = False


@dataclass
class Exercise:
    """An exercise under way. unsafe: why it was ended, where an unsafe act ended it."""

    work: Work
    marks: list[Mark] = field(default_factory=list)
    unsafe: str = ""

    @property
    def over(self) -> bool:
        return bool(self.unsafe) or self.work.state.closed is not None

    @property
    def minutes(self) -> float:
        return self.work.state.minutes


def begin(job: PracticeJob, wrong: float = 0.0) -> Exercise:
    """The apprentice stands before the machine. wrong: chance that an answer or a reading is a wrong one."""
    return Exercise(arrive(job, wrong, "exercise"))


def opening(exercise: Exercise) -> tuple[str, ...]:
    """What the apprentice is told at the start: the owner's words, and what the plate says."""
    job = exercise.work.job
    pack = job.machine.pack
    plate = []
    for name, value in job.facts.items():
        fact = pack.facts[name]
        shown = fact.choices.get(value, value)
        plate.append(f"{fact.ask.rstrip('?')}: {shown}{' ' + fact.unit if fact.unit else ''}")
    title = (job.title,) if job.title else ()
    return (*title, say("exercise_owner_says", job=owners_words(job)), *plate)


# -- what can be done -------------------------------------------------------------------------------------


def askable(exercise: Exercise) -> list[Observation | Question]:
    """Everything that can be asked or measured on such a machine, by the access it needs."""
    case = exercise.work.case
    pack = exercise.work.state.pack
    items: list[Observation | Question] = [*pack.questions.values(), *pack.observations.values()]
    order = list(Need)
    return sorted((item for item in items if case.askable(item)), key=lambda item: order.index(item.need))


def why_not(exercise: Exercise, item: Observation | Question) -> str:
    """Why a thing makes no sense on this machine, or empty. What was asked before may be asked again: whoever
    doubts a reading takes it once more."""
    case = exercise.work.case
    if not possible(item.applies, case.facts):
        return say("exercise_machine_has_no_such")
    for gate, allowed in item.only_if.items():
        given = case.latest(gate)
        if given is None or case.judged(given).answer not in allowed:
            return say("exercise_hangs_on_something_else", ask=case.pack.observations[gate].ask)
    return ""


def remedies(exercise: Exercise) -> list[Cause]:
    """Every remedy that such a machine may need."""
    case = exercise.work.case
    applicable = set(case.applicable)
    return [cause for cause in exercise.work.state.pack.causes.values() if cause.id in applicable]


def actions(exercise: Exercise) -> list[Action]:
    """All safety actions: the apprentice must know which comes next."""
    connection = exercise.work.state.gate.connection
    apart = {"plug": "isolator", "isolator": "plug"}.get(connection, "")
    return [action for action in ACTIONS.values() if not (apart and action.id.startswith(apart + "_"))]


# -- moves ------------------------------------------------------------------------------------------------


def ask(exercise: Exercise, name: str) -> ExerciseReply:
    """Ask or measure something. Raises UnknownName."""
    _still_on(exercise)
    work = exercise.work
    pack = work.state.pack
    if name not in pack.observations and name not in pack.questions:
        known = [*pack.observations, *pack.questions]
        raise UnknownName(say("practise_cannot_asked", typed=name, hint=did_you_mean(name, known)).strip())
    item: Observation | Question = pack.questions.get(name) or pack.observations[name]
    if reason := why_not(exercise, item):
        return ExerciseReply((reason,))
    need = work.case.need_of(item)
    if not safety.permits(work.state.gate, need):
        return _without_access(exercise, need, item.ask)
    reason = work.machine.cannot(name)
    work.steps += 1
    before = len(work.state.given)
    if reason:
        work.skip(name)
        work.noted("ask", name, item.ask, say("exercise_could_not_done"))
        return ExerciseReply((reason,))
    work.observe(item)
    found = work.told_since(before)
    work.noted("ask", name, item.ask, "; ".join(found))
    return ExerciseReply(tuple(found))


def act(exercise: Exercise, action_id: str) -> ExerciseReply:
    """Do a safety action. Raises UnknownName."""
    _still_on(exercise)
    if action_id not in ACTIONS:
        hint = did_you_mean(action_id, ACTIONS)
        raise UnknownName(say("exercise_there_no_action", action_id=action_id, hint=hint).strip())
    work, action = exercise.work, ACTIONS[action_id]
    if action not in safety.open_actions(work.state.gate):
        return _out_of_turn(exercise, action)
    was = work.state.gate.access
    outcome = work.confirm(action)
    found = action.outcome(outcome)
    assert found is not None
    lines = [found.text + ".", *([found.says] if found.says else [])]
    if work.state.gate.access is not was:
        lines.append(say("arrived", access=safety.access_words(work.state.gate.access)))
    return ExerciseReply(tuple(lines), done=outcome == action.outcomes[0].id)


def put_right(exercise: Exercise, cause_id: str) -> ExerciseReply:
    """Carry out a remedy, or hand a fault over where it is a licensed person's. Raises UnknownName."""
    _still_on(exercise)
    work = exercise.work
    cause = work.state.pack.causes.get(cause_id)
    if cause is None:
        hint = did_you_mean(cause_id, work.state.pack.causes)
        raise UnknownName(say("exercise_there_no_fault", cause_id=cause_id, hint=hint).strip())
    if cause_id not in work.case.applicable:
        return ExerciseReply((say("exercise_machine_kind_cannot_have"),))
    if cause.hand_to:
        work.hand_over(cause_id)
        return ExerciseReply((say("exercise_noted_for_licensed_person", remedy=cause.remedy),))
    need = safety.remedy_need(cause)
    if not safety.permits(work.state.gate, need):
        return _without_access(exercise, need, cause.remedy)
    work.put_right(cause_id)
    return ExerciseReply((say("exercise_done_now_prove", remedy=cause.remedy),))


def close(exercise: Exercise, closing: str) -> ExerciseReply:
    """Leave the machine: fit_for_use, left_isolated or handed_over."""
    _still_on(exercise)
    work = exercise.work
    if closing not in CLOSINGS:
        return ExerciseReply((say("exercise_job_ended_as_one", names=", ".join(CLOSINGS)),))
    if closing == "fit_for_use" and work.state.gate.access is not Access.IN_USE:
        return _unsafe(exercise, say("exercise_called_fit_for_use"))
    if reason := safety.why_not_close(work.state.gate, closing, titles(work.state)):
        if closing == "fit_for_use":
            return _unsafe(exercise, reason)
        _mark(exercise, say("exercise_tried_leave", reason=reason))
        return ExerciseReply((reason,))
    found = tuple(dict.fromkeys((*work.mended, *work.handed)))
    work.happen(happened.Closed(closing, found, (), round(work.state.minutes, 1)))
    return ExerciseReply((say("exercise_job_closed"),), ended=True)


# -- what goes wrong --------------------------------------------------------------------------------------


def _still_on(exercise: Exercise) -> None:
    if exercise.over:
        raise FaultFinderError(say("exercise_exercise_over"))


def _unsafe(exercise: Exercise, why: str) -> ExerciseReply:
    exercise.unsafe = why
    return ExerciseReply(
        (say("exercise_unsafe", why=why), say("exercise_ends_here")), ended=True, done=False, unsafe=True
    )


def _mark(exercise: Exercise, what: str) -> None:
    exercise.marks.append(Mark(exercise.minutes, what))


def _without_access(exercise: Exercise, need: Need, title: str) -> ExerciseReply:
    """A thing was begun without its access state: unsafe where it can hurt, else told."""
    gate = exercise.work.state.gate
    # Something to be looked at from outside while a danger sign is open: only with the supply cut.
    why = say("exercise_there_danger_sign_before", title=title)
    if gate.stop:
        why = say("exercise_after_stop_nothing_touched", title=title)
    elif need is Need.OPEN_DEAD:
        where = safety.access_words(gate.access)
        why = say("exercise_needs_machine_open_proved", title=title, where=where)
    elif need is Need.ISOLATED:
        why = say("exercise_needs_supply_cut_not", title=title)
    elif gate.covers_off:
        why = say("exercise_with_covers_off_machine", title=title)
    elif need is Need.IN_USE:
        try:
            safety.way(gate, need)
        except Refused as refusal:
            why = say("exercise_machine_must_not_run", refusal=refusal)
        else:
            _mark(exercise, say("exercise_wanted_on_machine_does", title=title))
            return ExerciseReply((say("exercise_does_not_run_switch"),))
    return _unsafe(exercise, why)


def _out_of_turn(exercise: Exercise, action: Action) -> ExerciseReply:
    """An action that is not its turn: connecting or opening wrongly is unsafe, the rest costs a mark."""
    gate = exercise.work.state.gate
    if action.id == "supply_on":
        owed = safety.owed_tests(gate)
        if gate.stop or gate.covers_off or gate.signs or owed:
            if gate.covers_off:
                return _unsafe(exercise, say("exercise_run_open"))
            return _unsafe(exercise, say("exercise_run_owing", tests=safety.in_words(owed)))
        first = next(iter(safety.way(gate, Need.IN_USE)), action)
        return _unsafe(exercise, say("exercise_switched_on_before_list", text=first.text))
    if action.id == "covers_off" and gate.access is not Access.ISOLATED:
        return _unsafe(exercise, say("exercise_covers_were_taken_off"))
    _mark(exercise, say("exercise_out_turn", text=action.text))
    return ExerciseReply((say("exercise_not_now_something_else"),), done=False)


def forgotten(exercise: Exercise) -> Sequence[Mark]:
    """What was left undone at the end: repairs not proved, complaints not looked at again."""
    work = exercise.work
    if not work.mended:
        return []
    told = []
    pack, proved = work.state.pack, {given.observation for given in work.case.answers if given.epoch > 0}
    for cause in (pack.causes[name] for name in dict.fromkeys(work.mended)):
        proof = {each for each in cause.proof if not work.machine.cannot(each)}
        if proof and proved.isdisjoint(proof):
            told.append(say("exercise_not_proved", title=cause.title))
    for name in work.complaints_left():
        told.append(say("exercise_complaint_not_looked_at", ask_text=pack.observations[name].ask))
    return [Mark(exercise.minutes, what) for what in told]
